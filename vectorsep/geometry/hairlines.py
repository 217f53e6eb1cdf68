"""Hairline gaps that are open to the cloth at an end: slips of a drawing program's rounding, filled before anything
is made of the areas."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from vectorsep.geometry.boolean import HAIRLINE_MM, difference, intersection, union
from vectorsep.geometry.cover import Flags, Floats, Indices, Regions, corners_of
from vectorsep.geometry.measure import strip_sizes
from vectorsep.geometry.offset import grow, inset_at_least
from vectorsep.geometry.region import edge_lines, gather
from vectorsep.geometry.tiles import paired
from vectorsep.geometry.visible import DUST_MM, visible_of_kinds
from vectorsep.model import Region

SHORTEST_MM = 5 * HAIRLINE_MM
"""A filled place shorter than this is the rounded bottom of a concave corner, which closing always makes."""
FACING = -0.8
"""Cosine of the angle between the two sides of a gap, each run along with the cloth on the same hand. Where they part
by more than 37 degrees, what is narrower than a hairline is shorter than SHORTEST_MM."""
REACH_MM = 3 * HAIRLINE_MM
"""How much of the art around a narrow place is looked at: closing a gap changes nothing further off."""


def without_hairlines(areas: Sequence[Region]) -> list[Region]:
    """Areas with matched edges, where every gap narrower than a hairline belongs to the area that borders it most.

    Gaps that areas enclose on all sides are taken before, by `visible_of_kinds`.
    """
    pieces, kind = shapely.get_parts(list(areas), return_index=True)
    slits = _slits(pieces)
    if not len(slits):
        return list(areas)
    tree = shapely.STRtree(pieces)
    hosts = _best_neighbours(slits, tree, kind)
    below = shapely.buffer(slits, DUST_MM / 2, quad_segs=1)  # wider than the slits: what lies above cuts them to size
    met = np.unique(tree.query(below, predicate="intersects")[1])
    filled = visible_of_kinds([*below, *pieces[met]], [*hosts, *kind[met]], len(areas), matched=True)
    left_alone = np.delete(np.arange(len(pieces)), met)
    return [gather([*pieces[left_alone[kind[left_alone] == i]], area]) for i, area in enumerate(filled)]


def _slits(pieces: Regions) -> Regions:
    """The gaps that closing the art by a hairline fills, looked for only where its edges face each other closely.

    What comes out of the closing is inset by more than it was grown, so that no edge that moved by the engine's
    error passes for a gap.
    """
    sides = _facing_edges(pieces)
    if not len(sides):
        return sides
    near = union(shapely.buffer(sides, REACH_MM, quad_segs=1))
    shapely.prepare(near)
    art = union([intersection(piece, near) for piece in pieces[shapely.intersects(near, pieces)]])
    filled = difference(inset_at_least(grow(art, HAIRLINE_MM / 2), HAIRLINE_MM / 2), art)
    slits = shapely.get_parts(intersection(filled, union(shapely.buffer(sides, HAIRLINE_MM, quad_segs=1))))
    long: Regions = slits[strip_sizes(slits)[0] >= SHORTEST_MM]
    return long


def _facing_edges(pieces: Regions) -> Regions:
    """The edges between art and cloth that face another one across less than a hairline of cloth, as lines."""
    corners = corners_of(shapely.orient_polygons(pieces))
    _, outer = paired(corners)
    start, end = corners.points[outer], corners.points[outer + 1]
    lines = edge_lines(np.stack([start, end], axis=1))
    one, other = shapely.STRtree(lines).query(lines, predicate="dwithin", distance=HAIRLINE_MM)
    facing: Regions = lines[np.unique(one[_face(start, end, one, other)])]
    return facing


def _face(start: Floats, end: Floats, one: Indices, other: Indices) -> Flags:
    """Which pairs of edges run against each other with cloth between them. Cloth lies on the right hand."""
    along = (end - start) / np.hypot(*(end - start).T)[:, None]
    against = (along[one] * along[other]).sum(axis=1) < FACING
    to_cloth = np.stack([along[one, 1], -along[one, 0]], axis=1)
    reach = [((point[other] - start[one]) * to_cloth).sum(axis=1) for point in (start, end)]
    towards = np.maximum(*reach) > -DUST_MM
    return np.asarray(against & towards)


def _best_neighbours(slits: Regions, tree: shapely.STRtree, kind: Indices) -> Indices:
    """For each slit, the kind of the pieces in the tree that share most with a thin skin around it."""
    skins = shapely.buffer(slits, HAIRLINE_MM / 2, quad_segs=1)
    slit, piece = tree.query(skins, predicate="intersects")
    shared_mm2 = shapely.area(shapely.intersection(skins[slit], tree.geometries[piece]))
    total_mm2 = np.zeros((len(slits), int(kind.max()) + 1))
    np.add.at(total_mm2, (slit, kind[piece]), shared_mm2)
    return np.asarray(total_mm2.argmax(axis=1))
