"""The page cut along every edge that can be seen, into tiles that share exact edges."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from vectorsep.geometry.boolean import RESCUE_GRID_MM, difference, union
from vectorsep.geometry.cover import Corners, Cover, Floats, Indices, Regions, corners_of, cover_of
from vectorsep.geometry.region import gather
from vectorsep.model import Region

FRAME_EDGES = 4
FRAME_MM = 1.0
"""How far the frame around the tiles lies from the art: far enough that its edges never matter."""
LOST_MM2 = 1e-6
"""Tiles may lack so much of an area by rounding: a square of one micrometre."""

NOISE_DECIMALS = 9
"""Of a millimetre. Corners that are meant to be one differ by less after a transform or two, and become one again."""
RESCUE_DECIMALS = 6
"""The decimals of RESCUE_GRID_MM."""


class Untiled(RuntimeError):
    """The geometry engine could not cut the page, not on the rescue grid either."""


@dataclass(frozen=True, slots=True, eq=False)
class Borders:
    """Every edge between two tiles."""

    one: Indices
    other: Indices
    length_mm: NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Tiles:
    """Disjoint polygons that fill the frame, each under one region all over."""

    polygons: Regions
    borders: Borders
    owner: Indices
    """The topmost region on each tile, or NOTHING."""

    def joined(self, kinds: Indices, count: int) -> list[Region]:
        """The tiles of each kind 0 .. count - 1 put together; kinds is one number a tile. Borders stay matched."""
        cluster = self._clusters(kinds)
        order = np.argsort(cluster, kind="stable")
        order = order[kinds[order] >= 0]
        first, number = np.unique(cluster[order], return_inverse=True)
        pieces, piece = shapely.get_parts(_unions(self.polygons[order], number), return_index=True)
        kind = kinds[first][piece]
        by_kind = np.argsort(kind, kind="stable")
        bounds = np.searchsorted(kind[by_kind], np.arange(1, count))
        return [gather(of_kind) for of_kind in np.split(pieces[by_kind], bounds)]

    def _clusters(self, kinds: Indices) -> Indices:
        """For each tile the lowest tile that it hangs together with by borders between tiles of one kind.

        Every round passes the lowest known tile on across all borders, then on to those who know the passer.
        """
        same = kinds[self.borders.one] == kinds[self.borders.other]
        one, other = self.borders.one[same], self.borders.other[same]
        lowest = np.arange(len(kinds))
        while True:
            passed = lowest.copy()
            np.minimum.at(passed, one, lowest[other])
            np.minimum.at(passed, other, lowest[one])
            passed = passed[passed]
            if (passed == lowest).all():
                return lowest
            lowest = passed


def _unions(tiles: Regions, cluster: Indices) -> Regions:
    """The union of each cluster 0, 1, ... of tiles with matched edges, tiles sorted by cluster."""
    ends = np.flatnonzero(np.append(np.diff(cluster), 1)) + 1
    counts = np.diff(ends, prepend=0)
    unions = tiles[ends - 1].copy()
    several = np.flatnonzero(counts > 1)
    if not len(several):
        return unions
    together = np.asarray(shapely.geometrycollections(tiles, indices=cluster))[several]
    try:
        unions[several] = shapely.coverage_union_all(together[:, None], axis=1)
        lacking = several[shapely.area(together) - shapely.area(unions[several]) > LOST_MM2]
    except shapely.GEOSException:
        lacking = several
    for i in lacking:
        unions[i] = union(tiles[ends[i] - counts[i] : ends[i]])
    return unions


def tiles_of(painted: Regions) -> Tiles:
    """Cut the page by regions in painter's order, lowest first, none of them empty. Raises Untiled."""
    cover = cover_of(painted)
    lines = _seen_lines(cover)
    for attempt, grid_mm in ((lines, None), (lines.rounded(), RESCUE_GRID_MM)):
        try:
            tiles = _tiles_between(attempt, cover, grid_mm)
        except shapely.GEOSException:
            continue
        if tiles is not None:
            return tiles
    raise Untiled("the geometry engine gives up on painter's order")


def _tiles_between(lines: _Lines, cover: Cover, grid_mm: float | None) -> Tiles | None:
    """The tiles that lines cut the page into, or None where the engine left out some."""
    noded = shapely.union_all([*lines.strings(), _frame(cover.regions)], grid_size=grid_mm)
    polygons: Regions = shapely.get_parts(shapely.polygonize([noded]))
    corners = corners_of(polygons)
    borders, outer = paired(corners)
    if len(outer) != FRAME_EDGES:
        return None
    inner = shapely.get_coordinates(shapely.point_on_surface(polygons))
    tiles = Tiles(polygons, borders, cover.topmost(inner))
    suspects = np.unique(lines.region[_lost(lines, corners, cover)])
    slack_mm2 = LOST_MM2 + (grid_mm or 0.0) * shapely.length(cover.regions)
    differs = any(_difference_mm2(tiles, cover.regions, i) > slack_mm2[i] for i in suspects.tolist())
    return None if differs else tiles


def _lost(lines: _Lines, corners: Corners, cover: Cover) -> Indices:
    """Which corners that can be seen are the corner of no tile. An end in hidden parts bounds nothing, and may be."""
    known = np.sort(_fingerprints(corners.points))
    asked = _fingerprints(lines.points)
    at = np.minimum(np.searchsorted(known, asked), len(known) - 1)
    missing = np.flatnonzero(known[at] != asked)
    return missing[cover.topmost(lines.points[missing]) <= lines.region[missing]]


def _difference_mm2(tiles: Tiles, painted: Regions, region: int) -> float:
    """How much more or less the tiles of a region cover than what is visible of it. A spike of no width may be lost."""
    above = painted[region + 1 :]
    above = above[shapely.intersects(above, painted[region])]
    visible_mm2 = difference(painted[region], union(above)).area
    return abs(float(shapely.area(tiles.polygons[tiles.owner == region]).sum()) - visible_mm2)


def _frame(painted: Regions) -> shapely.LinearRing:
    left, top, right, bottom = shapely.total_bounds(painted) + FRAME_MM * np.array([-1, -1, 1, 1])
    return shapely.LinearRing([(left, top), (right, top), (right, bottom), (left, bottom)])


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Corners in a row along all edges that can be seen."""

    points: Floats
    region: Indices
    line: Indices
    """Which line a corner is on: edges that follow on each other are one."""

    def rounded(self) -> _Lines:
        """The lines on the rescue grid."""
        return replace(self, points=np.round(self.points, RESCUE_DECIMALS))

    def strings(self) -> list[BaseGeometry]:
        return list(np.asarray(shapely.linestrings(self.points, indices=self.line)))


def _seen_lines(cover: Cover) -> _Lines:
    leads_on = cover.seen_edges()
    follows = np.append(False, leads_on[:-1])
    drawn = leads_on | follows
    line = np.cumsum(leads_on & ~follows) - 1
    return _Lines(_without_noise(cover.corners.points[drawn]), cover.corners.region[drawn], line[drawn])


def _without_noise(points: Floats) -> Floats:
    """Corners that differ by noise alone take the place of the first of them; all others stay exactly."""
    _, first, same = np.unique(_fingerprints(np.round(points, NOISE_DECIMALS)), return_index=True, return_inverse=True)
    moved: Floats = points[first[same]]
    return moved


def _fingerprints(points: Floats) -> Floats:
    """One number a point, the same for the same point, quicker to sort than two."""
    return np.asarray(np.e * points[:, 0] + np.pi * points[:, 1])


def paired(corners: Corners) -> tuple[Borders, Indices]:
    """The edges that two regions share, and which edges, by the corner they start at, belong to one region alone.

    In a tiling no two edges cross, so that edges with the same middle are the same edge.
    """
    start = np.flatnonzero(corners.leads_on)
    (x0, y0), (x1, y1) = corners.points[start].T, corners.points[start + 1].T
    twice_middle = (x0 + x1) + 1j * (y0 + y1)
    order = np.argsort(twice_middle, kind="stable")
    one, other = order[:-1], order[1:]
    equal = twice_middle[one] == twice_middle[other]
    shared = equal & (x0[one] == x1[other]) & (y0[one] == y1[other])
    shared &= (x1[one] == x0[other]) & (y1[one] == y0[other])
    one, other = one[shared], other[shared]
    alone = np.ones(len(start), dtype=bool)
    alone[one] = alone[other] = False
    length_mm = np.hypot(x1[one] - x0[one], y1[one] - y0[one])
    owner = corners.region[start]
    return Borders(owner[one], owner[other], length_mm), start[alone]
