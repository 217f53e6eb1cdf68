"""The independent check: measures the plates as they are, knows nothing of how they were made, changes nothing."""

from vectorsep.check.marks import marks_findings
from vectorsep.check.readback import READING_ERROR_MM, margin_of_film, plate_of_film
from vectorsep.check.stack import check_stack, measure_stack
from vectorsep.check.viewer import viewer_findings

__all__ = [
    "READING_ERROR_MM",
    "check_stack",
    "margin_of_film",
    "marks_findings",
    "measure_stack",
    "plate_of_film",
    "viewer_findings",
]
