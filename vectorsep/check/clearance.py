"""Clearance: the smallest distance from an upper plate's edge to the blocker's edge, and where it is."""

from __future__ import annotations

from collections.abc import Iterator

from vectorsep.geometry.boolean import difference
from vectorsep.geometry.measure import edge, smallest_distance
from vectorsep.geometry.region import EMPTY, covers, inner_point
from vectorsep.model import Clearance, Finding, Plate
from vectorsep.units import floored, format_mm, format_mm2


def measure_clearance(plate: Plate, blocker: Plate, reading_error_mm: float = 0.0) -> Clearance:
    """Measure one upper plate against the blocker. All lengths in mm, areas in mm2; `at_mm` lies on the plate.

    `reading_error_mm` is how far the two outlines together may lie from those that were drawn; the distance is
    given less that, so it is never overstated.
    """
    if plate.area.is_empty:
        return Clearance(plate, None, None)
    outside = EMPTY if covers(blocker.area, plate.area) else difference(plate.area, blocker.area)
    if not outside.is_empty:
        return Clearance(plate, 0.0, inner_point(outside), outside.area)
    distance_mm, at_mm = smallest_distance(edge(plate.area), edge(blocker.area))
    return Clearance(plate, max(0.0, distance_mm - reading_error_mm), at_mm)


def clearance_findings(clearance: Clearance, tolerance_mm: float) -> Iterator[Finding]:
    """What a measured clearance means at a registration tolerance. Nothing where it holds, or for the blocker."""
    if clearance.distance_mm is None:
        return
    ink = clearance.plate.ink
    if clearance.outside_mm2 > 0:
        bare = format_mm2(clearance.outside_mm2)
        message = f"{bare} of ink lies past the blocker, on bare cloth: take it away, or separate again"
        yield Finding("past-blocker", "unsafe", ink, message, clearance.at_mm)
    elif not clearance.distance_mm >= tolerance_mm:  # so written, a distance that is no number fails too
        message = (
            f"this plate comes within {floored(clearance.distance_mm):.4f} mm of the blocker's edge; "
            f"the press needs {format_mm(tolerance_mm)}: separate again with a clearance of no less"
        )
        yield Finding("clearance-short", "unsafe", ink, message, clearance.at_mm)
