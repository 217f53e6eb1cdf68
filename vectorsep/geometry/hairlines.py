"""Hairline gaps: slips of a drawing program's rounding, or as wide as a job says, filled before anything is made of the
areas."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from vectorsep.geometry.arrays import Flags, Floats, Geometries, Indices
from vectorsep.geometry.boolean import HAIRLINE_MM, difference, intersection, intersections, union
from vectorsep.geometry.cover import corners_of
from vectorsep.geometry.measure import strip_sizes
from vectorsep.geometry.offset import grow, inset_at_least
from vectorsep.geometry.region import edge_lines, edges_in_parts, gather
from vectorsep.geometry.tiles import Untiled, paired
from vectorsep.geometry.visible import DUST_MM, visible_of_kinds
from vectorsep.model import Region

SHORTEST = 5.0
"""A filled place shorter than so many widths is the rounded bottom of a concave corner, which closing always makes."""
FACING = -0.8
"""Cosine of the angle between the two sides of a gap, each run along with the cloth on the same hand. Where they part
by more than 37 degrees, what is narrower than a hairline is shorter than SHORTEST says."""
LONGEST = 50.0
"""Edges are taken in parts of so many widths at most: of two long ones that part from a point, as rays do, only what is
beside it counts."""
PLACE = 10.0
"""Lines are looked at together by squares of so many reaches."""
REACH = 3.0
"""How many widths around a narrow place the art is looked at: closing a gap changes nothing further off."""


def without_gaps(areas: Sequence[Region], narrower_mm: float) -> list[Region]:
    """Areas with matched edges, where every gap narrower than that belongs to the first of the areas beside it: what
    was drawn over that keeps its shape."""
    long = without_hairlines(areas, narrower_mm)
    return visible_of_kinds(long, range(len(long)), len(long), noise_mm=0.0, gap_mm=narrower_mm)


def without_hairlines(areas: Sequence[Region], width_mm: float = HAIRLINE_MM) -> list[Region]:
    """The same for long gaps alone, open to the cloth at an end or not. What areas enclose on all sides is taken by
    `visible_of_kinds`, however short."""
    pieces, kind = shapely.get_parts(list(areas), return_index=True)
    sides = _facing_edges(pieces, width_mm)
    if not len(sides):
        return list(areas)
    near, of = _around(sides, REACH * width_mm, pieces)
    slits = _slits(near, sides, width_mm)
    if not len(slits):
        return list(areas)
    room = union(shapely.buffer(slits, DUST_MM / 2, quad_segs=1))  # wider than the slits: what is above cuts it to size
    kinds = np.unique(kind[of])[::-1]  # the first of them lies on top
    below = [intersection(grow(gather(near[kind[of] == each]), width_mm), room) for each in kinds]
    met = np.unique(shapely.STRtree(pieces).query(slits, predicate="dwithin", distance=DUST_MM)[1])
    painted, painted_kinds = [*below, *pieces[met]], [*kinds, *kind[met]]
    try:
        filled = visible_of_kinds(painted, painted_kinds, len(areas), noise_mm=0.0, gap_mm=0.0, rescue=False)
    except Untiled:  # a rescue grid moves edges: then all of them, or those of pieces further off match no longer
        return visible_of_kinds([*below, *pieces], [*kinds, *kind], len(areas), noise_mm=0.0, gap_mm=0.0)
    left_alone = np.delete(np.arange(len(pieces)), met)
    return [gather([*pieces[left_alone[kind[left_alone] == i]], area]) for i, area in enumerate(filled)]


def _around(sides: Geometries, reach_mm: float, pieces: Geometries) -> tuple[Geometries, Indices]:
    """What of the pieces lies within reach of lines, and which piece each is of. Each is cut by what is around the
    places beside it: around all of them may be one net, as on a chequered page, and all pieces would be cut by that."""
    place, around = _by_place(sides, reach_mm)
    piece, side = shapely.STRtree(sides).query(pieces, predicate="dwithin", distance=reach_mm)
    of, beside = np.divmod(np.unique(piece * len(around) + place[side]), len(around))
    met, first = np.unique(of, return_index=True)
    windows = [union(around[places]) for places in np.split(beside, first[1:])]
    return np.array(intersections(pieces[met], np.array(windows, dtype=object)), dtype=object), met


def _by_place(sides: Geometries, reach_mm: float) -> tuple[Indices, Geometries]:
    """In which square of a lattice each line lies, and all within reach of the lines of each: of hundreds of rays that
    meet in a point, each has all others beside it there."""
    left, top, right, bottom = shapely.bounds(sides).T
    middles = np.stack([left + right, top + bottom], axis=1) / 2
    _, place = np.unique(np.floor(middles / (PLACE * reach_mm)), axis=0, return_inverse=True)
    by_place = np.argsort(place, kind="stable")
    around = shapely.buffer(sides[by_place], reach_mm, quad_segs=1)
    first = np.searchsorted(place[by_place], np.arange(1, place.max() + 1))
    return place, np.array([union(some) for some in np.split(around, first)], dtype=object)


def _slits(near: Geometries, sides: Geometries, width_mm: float) -> Geometries:
    """The gaps that closing the art by their width fills, looked for only where its edges face each other closely.

    What comes out of the closing is inset by more than it was grown, so that no edge that moved by the engine's
    error passes for a gap.
    """
    art = union(near)
    filled = difference(inset_at_least(grow(art, width_mm / 2), width_mm / 2), art)
    slits = shapely.get_parts(intersection(filled, union(shapely.buffer(sides, width_mm, quad_segs=1))))
    long: Geometries = slits[strip_sizes(slits)[0] >= SHORTEST * width_mm]
    return long


def _facing_edges(pieces: Geometries, width_mm: float) -> Geometries:
    """The edges between art and cloth that face another one across less than a width of cloth, as lines."""
    corners = corners_of(shapely.orient_polygons(pieces))
    _, outer = paired(corners)
    whole = np.stack([corners.points[outer], corners.points[outer + 1]], axis=1)
    edges, _, _ = edges_in_parts(whole, LONGEST * width_mm)
    lines = edge_lines(edges)
    one, other = shapely.STRtree(lines).query(lines, predicate="dwithin", distance=width_mm)
    facing: Geometries = lines[np.unique(one[_face(edges[:, 0], edges[:, 1], one, other)])]
    return facing


def _face(start: Floats, end: Floats, one: Indices, other: Indices) -> Flags:
    """Which pairs of edges run against each other with cloth between them. Cloth lies on the right hand."""
    along = (end - start) / np.hypot(*(end - start).T)[:, None]
    against = (along[one] * along[other]).sum(axis=1) < FACING
    to_cloth = np.stack([along[one, 1], -along[one, 0]], axis=1)
    reach = [((point[other] - start[one]) * to_cloth).sum(axis=1) for point in (start, end)]
    towards = np.maximum(*reach) > -DUST_MM
    return np.asarray(against & towards)
