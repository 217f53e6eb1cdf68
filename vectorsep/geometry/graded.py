"""An inset that yields where the area is narrow, so that thin details keep a printable core.

The idea: a point may be the centre of a kept disc of half the least width wherever it lies deep enough.
Falling depths are tried in steps; each step keeps only centres that the deeper steps lost, which are the
ridges of narrow places. Corners of wide places are no ridges: there the plain inset stands.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from vectorsep.geometry.boolean import difference, intersection, union
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM, closed, grow, inset, thinned
from vectorsep.geometry.region import EMPTY, larger_pieces
from vectorsep.model import Region

STEP_MM = 0.01
"""The largest step between two depths tried: the kept core comes out at most two steps wider than the least width."""
MAX_STEPS = 20
"""More steps cost time and buy less than a press can show; the step grows instead."""
RIDGE_SLACK = 3.0
"""A centre within this many steps of the deeper centres belongs to them. Lower values take blunt corners (below
2 arcsin(1/3) = 39 degrees at 3) for ridges; higher ones break the core where an area tapers."""

CORNER_SHARE = 0.25
"""A disc of radius r leaves r^2 (1 - pi/4) = 0.215 r^2 of a right-angled corner uncovered. Pieces up to this share
of r^2 are such corners, which want no mending; a neck so short keeps its plain inset, broken by less than 0.1 mm."""


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
    reach_mm = depth_mm + radius_mm
    core = inset(area, reach_mm)
    plain = intersection(inset(area, depth_mm), grow(core, 2 * radius_mm))
    missed = larger_pieces(difference(area, grow(core, reach_mm + CHORD_TOLERANCE_MM)), CORNER_SHARE * reach_mm**2)
    if missed.is_empty:
        return GradedInset(plain, EMPTY)
    # Depth is measured on a cut-out that reaches two reaches past where it is used, so its cuts do not show.
    narrow = intersection(area, grow(missed, 4 * reach_mm))
    mended = grow(missed, 2 * reach_mm)
    unmended = difference(mended, grow(core, radius_mm))
    ridges = _ridges(narrow, unmended, [depth_mm, *_depths(depth_mm, least_depth_mm)], radius_mm)
    discs = (grow(ridge, radius_mm - CHORD_TOLERANCE_MM) for ridge in ridges)
    cores = thinned(union([intersection(plain, mended), *discs]), CHORD_TOLERANCE_MM)
    smooth = intersection(closed(cores, radius_mm), intersection(inset(narrow, least_depth_mm), mended))
    lost = difference(missed, grow(inset(narrow, least_depth_mm + radius_mm), 2 * (least_depth_mm + radius_mm)))
    return GradedInset(thinned(union([plain, smooth]), CHORD_TOLERANCE_MM), lost)


def _depths(depth_mm: float, least_depth_mm: float) -> list[float]:
    span_mm = depth_mm - least_depth_mm
    steps = min(MAX_STEPS, max(1, math.ceil(span_mm / STEP_MM)))
    return [depth_mm - span_mm * (i + 1) / steps for i in range(steps)]


def _ridges(narrow: Region, unmended: Region, depths_mm: list[float], radius_mm: float) -> list[Region]:
    """Per falling depth, the centres that the depth before it lost, within the places that want mending."""
    slack_mm = RIDGE_SLACK * max(depths_mm[0] - depths_mm[-1], STEP_MM) / (len(depths_mm) - 1)
    deeper, ridges = inset(narrow, depths_mm[0] + radius_mm), []
    for depth_mm in depths_mm[1:]:
        centres = inset(narrow, depth_mm + radius_mm)
        ridge = intersection(difference(centres, grow(deeper, slack_mm)), unmended)
        if not ridge.is_empty:
            ridges.append(ridge)
        deeper = centres
    return ridges
