"""The independent check: measures the plates as they are, knows nothing of how they were made, changes nothing."""

from vectorsep.check.films import FilmReading, measure_films, read_back, read_edited, unreadable
from vectorsep.check.folder import REGISTRATION, FolderState, folder_findings, folder_state, settings_findings
from vectorsep.check.order import tolerance_findings
from vectorsep.check.readback import film_areas, plate_of_film
from vectorsep.check.stack import measure_stack
from vectorsep.check.viewer import viewer_findings
from vectorsep.check.whereabouts import Whereabouts

__all__ = [
    "REGISTRATION",
    "FilmReading",
    "FolderState",
    "Whereabouts",
    "film_areas",
    "folder_findings",
    "folder_state",
    "measure_films",
    "measure_stack",
    "plate_of_film",
    "read_back",
    "read_edited",
    "settings_findings",
    "tolerance_findings",
    "unreadable",
    "viewer_findings",
]
