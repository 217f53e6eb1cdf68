"""The page cut along every edge that can be seen, into tiles that share exact edges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from vectorsep.geometry.boolean import RESCUE_GRID_MM, union
from vectorsep.geometry.cover import Corners, Cover, Indices, Regions, corners_of, cover_of
from vectorsep.geometry.region import gather
from vectorsep.model import Region

FRAME_MM = 1.0
"""How far the frame around the tiles lies from the art: far enough that its edges never matter."""
LOST_MM2 = 1e-6
"""Joined tiles may lack so much of their area by rounding: a square of one micrometre."""

NOISE_DECIMALS = 11
"""Of a millimetre. Corners that are meant to be one differ by less after a transform or two, and become one again;
areas change by far less than a square of one micrometre."""


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
    left, top, right, bottom = shapely.total_bounds(painted)
    frame = shapely.box(left - FRAME_MM, top - FRAME_MM, right + FRAME_MM, bottom + FRAME_MM)
    polygons, borders = _cut(frame, [frame.exterior, *_seen_lines(cover)])
    inner = shapely.get_coordinates(shapely.point_on_surface(polygons))
    return Tiles(polygons, borders, cover.topmost(inner))


def _seen_lines(cover: Cover) -> Sequence[BaseGeometry]:
    """All edges that can be seen, those that follow on each other in one line."""
    leads_on = cover.seen_edges()
    follows = np.append(False, leads_on[:-1])
    drawn = leads_on | follows
    line = np.cumsum(leads_on & ~follows) - 1
    points = np.round(cover.corners.points[drawn], NOISE_DECIMALS)
    lines: Sequence[BaseGeometry] = shapely.linestrings(points, indices=line[drawn])
    return lines


def _cut(frame: shapely.Polygon, lines: list[BaseGeometry]) -> tuple[Regions, Borders]:
    """The tiles between the lines, which must fill the frame: a failure of the engine never passes for tiles."""
    for grid_mm in (None, RESCUE_GRID_MM):
        try:
            noded = shapely.union_all(lines, grid_size=grid_mm)
            tiles = shapely.get_parts(shapely.polygonize([noded]))
        except shapely.GEOSException:
            continue
        borders, outer = paired(corners_of(tiles))
        if len(outer) == len(frame.exterior.coords) - 1:
            return tiles, borders
    raise Untiled("the geometry engine gives up on painter's order")


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
