"""The papers that go with the films: both PDFs, the proof, the report."""

from __future__ import annotations

from vectorsep.films.pdf import write_films_pdf, write_separations_pdf
from vectorsep.films.proof import write_proof
from vectorsep.films.report import REPORT_PAGE, write_report
from vectorsep.separation import Separation


def write_papers(job: Separation) -> dict[str, bytes]:
    """Every file of a job's folder, name to content, but the films themselves and the manifest that lists all."""
    drawn = (job.films, job.sheet, job.settings, job.job_name)
    return {
        "films.pdf": write_films_pdf(*drawn),
        "separations.pdf": write_separations_pdf(*drawn),
        "proof.svg": write_proof(job),
        REPORT_PAGE: write_report(job),
    }
