"""Films, proof and report of a finished job, as bytes; the disk is somebody else's business."""

from vectorsep.films.labels import label_notices
from vectorsep.films.manifest import REPORT, Manifest, PlateEntry, read_manifest, write_manifest
from vectorsep.films.papers import write_papers
from vectorsep.films.pdf import write_films_pdf, write_separations_pdf
from vectorsep.films.proof import write_proof
from vectorsep.films.report import REPORT_PAGE, write_report
from vectorsep.films.sheet import lay_out_sheet
from vectorsep.films.svg import write_bare_film, write_films

__all__ = [
    "REPORT",
    "REPORT_PAGE",
    "Manifest",
    "PlateEntry",
    "label_notices",
    "lay_out_sheet",
    "read_manifest",
    "write_bare_film",
    "write_films",
    "write_films_pdf",
    "write_manifest",
    "write_papers",
    "write_proof",
    "write_report",
    "write_separations_pdf",
]
