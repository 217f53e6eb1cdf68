"""An inset that yields where the area is narrow, so that thin details keep a printable core.

The idea: a point may be the centre of a kept disc of half the least width wherever it lies deep enough.
Falling depths are tried in steps; each step keeps only centres that the deeper steps lost, which are the
ridges of narrow places. Corners of wide places are no ridges: there the plain inset stands.
"""

from __future__ import annotations

from dataclasses import dataclass

from vectorsep.geometry.boolean import difference, intersection, union
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM, grow, inset
from vectorsep.geometry.region import EMPTY
from vectorsep.model import Region

STEP_MM = 0.02
"""The largest step between two depths tried: the kept core comes out at most two steps wider than the least width."""
MAX_STEPS = 16
"""More steps cost time and buy less than a press can show; the step grows instead."""
RIDGE_SLACK = 4.0
"""A centre within this many steps of the deeper centres belongs to them. Lower values take blunt corners (below
2 arcsin(1/4) = 29 degrees at 4) for ridges; higher ones break the core where an area tapers."""


@dataclass(frozen=True, slots=True)
class GradedInset:
    """The inset, and the narrow places that were too thin to keep any of it."""

    area: Region
    lost: Region


def graded_inset(area: Region, depth_mm: float, least_width_mm: float, least_depth_mm: float) -> GradedInset:
    """Inset by the depth where that leaves the least width; where it does not, by less, but never by under the
    least depth; where even that leaves less than the least width, keep nothing and say so.

    The result is everywhere at least `least_depth_mm` inside the area, but for the chord tolerance.
    """
    radius_mm = least_width_mm / 2
    least_depth_mm = min(depth_mm, least_depth_mm)
    core = inset(area, depth_mm + radius_mm)
    plain = intersection(inset(area, depth_mm), grow(core, 2 * radius_mm))
    narrow = _narrow_places(area, core, depth_mm + radius_mm)
    if narrow.is_empty:
        return GradedInset(plain, EMPTY)
    ridges = _ridges(narrow, core, _depths(depth_mm, least_depth_mm), radius_mm)
    kept = union([plain, *(grow(ridge, radius_mm - CHORD_TOLERANCE_MM) for ridge in ridges)])
    return GradedInset(kept, _lost_places(narrow, least_depth_mm + radius_mm))


def _narrow_places(area: Region, core: Region, reach_mm: float) -> Region:
    """The area around places that the core does not reach, with enough surroundings to measure depth there."""
    missed = difference(area, grow(core, reach_mm + CHORD_TOLERANCE_MM))
    if inset(missed, CHORD_TOLERANCE_MM).is_empty:
        return EMPTY
    return intersection(area, grow(missed, 3 * reach_mm))


def _depths(depth_mm: float, least_depth_mm: float) -> list[float]:
    span_mm = depth_mm - least_depth_mm
    steps = min(MAX_STEPS, max(1, -int(-span_mm // STEP_MM)))
    return [depth_mm - span_mm * (i + 1) / steps for i in range(steps)]


def _ridges(narrow: Region, core: Region, depths_mm: list[float], radius_mm: float) -> list[Region]:
    step_mm = max(depths_mm[0] - depths_mm[-1], STEP_MM) / len(depths_mm)
    taken = grow(core, radius_mm)
    deeper, ridges = core, []
    for depth_mm in depths_mm:
        centres = inset(narrow, depth_mm + radius_mm)
        ridge = difference(centres, union([taken, grow(deeper, RIDGE_SLACK * step_mm)]))
        if not ridge.is_empty:
            ridges.append(ridge)
        deeper = centres
    return ridges


def _lost_places(narrow: Region, reach_mm: float) -> Region:
    """Places that hold no disc of the reach. Corners blunter than about 39 degrees lie within twice the reach
    of a disc that fits, so they are not counted; the first stretch of a thin branch is not, either."""
    return difference(narrow, grow(inset(narrow, reach_mm), 2 * reach_mm))
