"""How wide an area is beyond its border, told by steps.

A disc of the width must fit into the area near the border. Where its middle can be is an inset; whether one is near is
asked of the middles of the border's edges, for points are cheaper than overlays. A border is told by steps from the
widest down, each only where no wider one held.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from vectorsep.geometry.arrays import Flags, Floats, Geometries, Indices
from vectorsep.geometry.boolean import intersection
from vectorsep.geometry.borders import Border
from vectorsep.geometry.near import near_bounds, stretches
from vectorsep.geometry.offset import UNEVEN_MM, inset, quarter_segments
from vectorsep.geometry.region import gather, polygons
from vectorsep.geometry.windows import windows_around
from vectorsep.model import Region

TOUCHING_MM = 1e-6
"""A piece whose bounds a border misses by no more than this may have it on its edge."""
STRAIGHT_IN = 1.05
"""A disc that touches the border has its middle so many radii straight in, and the engine's error in an inset."""
STRIP = 1.05
"""Discs wider than a strip's mean width by this factor seldom fit into it anywhere."""
FEW_CORNERS = 300
"""Pieces with no more corners are looked at whole; cutting windows out of them would be more work."""
SHORT_OF_EDGE = 0.01
"""A way to the edge is looked at but for this share of it."""
LOOK = 1.5
"""Discs whose middles are no farther away than their width lie within so many widths."""


def widths_beyond(border: Border, area: Region, widths_mm: Sequence[float]) -> Floats:
    """For each edge of a border the widest of some widths (mm, falling) of which a disc fits into the area beyond,
    with its middle no farther from the edge's middle than its width; 0 where none does.

    A disc that touches the edge is half its width away. The rest of the way is for corners, of 60 degrees and more:
    no wide place counts as thin at its corner.
    """
    found, asked = np.zeros(len(border.ends)), border
    left = np.arange(len(found))
    pieces = np.asarray(polygons(area))
    pieces = pieces[near_bounds(pieces, border.stretches(), TOUCHING_MM)]
    first = _first_that_may_fit(pieces, widths_mm)
    for nth, width_mm in enumerate(widths_mm):
        core = inset(gather(pieces[first <= nth]), width_mm / 2)
        if core.is_empty:
            continue
        near = _near(core, pieces, asked, width_mm)
        found[left[near]] = width_mm
        left, asked = left[~near], asked.where(~near)
        if not len(left):
            break
        pieces, first = _around(asked.stretches(), pieces, first, LOOK * width_mm)
    return found


def _near(core: Region, pieces: Geometries, border: Border, distance_mm: float) -> Flags:
    """Which edges have their middles within the distance of where a disc's middle can be, in the same pieces. Where it
    can be straight in, nothing needs to be measured."""
    shapely.prepare(core)  # made here, so that no other thread has it
    near = np.asarray(shapely.contains_xy(core, *border.beyond(STRAIGHT_IN * distance_mm / 2).T))
    points, asked = np.asarray(shapely.points(border.middles[~near])), np.flatnonzero(~near)
    within = shapely.dwithin(core, points, distance_mm)
    if within.any():
        near[asked[within]] = _lie_in(gather(pieces), _shortest_ways(core, points[within]))
    return near


def _shortest_ways(core: Region, points: Geometries) -> Geometries:
    """The shortest way from a region to each point: the engine's own search for it takes ten times longer."""
    outline = stretches(core)
    point, stretch = shapely.STRtree(outline).query_nearest(points, all_matches=False)
    return np.asarray(shapely.shortest_line(outline[stretch], points[point]))


def _lie_in(area: Region, ways: Geometries) -> Flags:
    """Which straight ways to its edge lie in an area: the others come out of it and in again. The very edge is left
    out, where rounding decides."""
    ends = shapely.get_coordinates(ways).reshape(-1, 2, 2)
    ends[:, 1] += SHORT_OF_EDGE * (ends[:, 0] - ends[:, 1])
    shapely.prepare(area)
    return np.asarray(shapely.covers(area, shapely.linestrings(ends)))


def _first_that_may_fit(pieces: Geometries, widths_mm: Sequence[float]) -> Indices:
    """The first of the widths that need be asked for in each piece. In a strip's that is found at once: the narrowest
    that is wider than the strip is on average does not fit, and so none that is wider."""
    mean_mm = 2 * shapely.area(pieces) / shapely.length(pieces)
    wider = (np.asarray(widths_mm) > STRIP * mean_mm[:, None]).sum(axis=1)
    strips = np.flatnonzero(wider)
    radii = np.asarray(widths_mm)[wider[strips] - 1] / 2
    fits = ~shapely.is_empty(
        shapely.buffer(pieces[strips], -(radii + UNEVEN_MM), quad_segs=quarter_segments(widths_mm[0] / 2))
    )
    wider[strips[fits]] = 0
    return np.asarray(wider)


def _around(lines: Geometries, pieces: Geometries, first: Indices, room_mm: float) -> tuple[Geometries, Indices]:
    """What of the pieces lies around lines, and the first width to be asked for in each: small pieces as they are, of
    large ones what lies in windows."""
    near = near_bounds(pieces, lines, room_mm)
    pieces, first = pieces[near], first[near]
    large = shapely.get_num_coordinates(pieces) > FEW_CORNERS
    if not large.any():
        return pieces, first
    cut = intersection(gather(pieces[large]), windows_around(shapely.bounds(lines), room_mm))
    inside = np.asarray(polygons(cut), dtype=object)
    return np.append(pieces[~large], inside), np.append(first[~large], np.zeros(len(inside), dtype=np.intp))
