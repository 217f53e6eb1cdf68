"""The page cut along every edge that can be seen, into tiles that share exact edges."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from vectorsep.geometry.arrays import Complex, Flags, Floats, Geometries, Indices
from vectorsep.geometry.boolean import RESCUE_GRID_MM, difference, union
from vectorsep.geometry.cover import NOTHING, Corners, Cover, corners_of, cover_of
from vectorsep.geometry.region import edge_lines, polygons_only
from vectorsep.model import Region

FRAME_EDGES = 4
FRAME_MM = 1.0
"""How far the frame around the tiles lies from the art: far enough that its edges never matter."""
LOST_MM2 = 1e-6
"""Tiles may lack so much of an area by rounding: a square of one micrometre."""

NOISE_MM = 1e-9
"""Corners that are meant to be one differ by less after a transform or two, and become one again."""
SLIVER_MM = 5e-5
"""Points so near to an edge are no good to tell what region is there: edges move by noise, or by a rescue grid."""
TIGHT_MM = SLIVER_MM / 2
"""Farther from its edge than this a point is as good as a narrow polygon has any. To look for a better one takes a
millisecond, and of tiles whose coordinates end after four decimals thousands of gaps are as narrow as that."""
ONE_LINE_MM = 5e-5
"""Two lines may be one if they differ by no more where they are nearest to the origin: noise at the ends of a short
edge turns it, and its line reaches across the page."""
RESCUE_DECIMALS = (7, 6, 5)
"""Where floating arithmetic fails, corners are rounded to so many decimals of a millimetre and cut on that grid: edges
that lie apart by less fall together, and where they still get in each other's way, the next grid moves them."""


class Untiled(RuntimeError):
    """The geometry engine could not cut the page, not on a rescue grid either."""


@dataclass(frozen=True, slots=True, eq=False)
class Borders:
    """Every edge between two tiles."""

    one: Indices
    other: Indices
    length_mm: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Tiles:
    """Disjoint polygons that fill the frame, each under one region all over."""

    polygons: Geometries
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
        return [_region(of_kind) for of_kind in np.split(pieces[by_kind], bounds)]

    def _clusters(self, kinds: Indices) -> Indices:
        """For each tile the lowest tile that it hangs together with by borders between tiles of one kind.

        Every round hangs the lowest tile known so far on that across a border, if this is lower, and goes down from
        each tile to where its own hangs: at each, at least half of what is not told yet comes to hang on another.
        """
        same = kinds[self.borders.one] == kinds[self.borders.other]
        one, other = self.borders.one[same], self.borders.other[same]
        lowest = np.arange(len(kinds))
        while len(one):
            mine, others = lowest[one], lowest[other]
            np.minimum.at(lowest, np.maximum(mine, others), np.minimum(mine, others))
            while (lowest[lowest] != lowest).any():
                lowest = lowest[lowest]
            apart = lowest[one] != lowest[other]
            one, other = one[apart], other[apart]
        return lowest


def _unions(tiles: Geometries, cluster: Indices) -> Geometries:
    """The union of each cluster 0, 1, ... of tiles with matched edges, tiles sorted by cluster."""
    ends = np.flatnonzero(np.diff(cluster, append=-1)) + 1
    counts = np.diff(ends, prepend=0)
    unions = tiles[ends - 1].copy()
    several = np.flatnonzero(counts > 1)
    if not len(several):
        return unions
    together = np.asarray(shapely.geometrycollections(tiles, indices=cluster))[several]
    try:
        unions[several] = shapely.coverage_union_all(together[:, None], axis=1)
        lacking = several[np.abs(shapely.area(together) - shapely.area(unions[several])) > LOST_MM2]
    except shapely.GEOSException:
        lacking = several
    for i in lacking:
        unions[i] = _union(tiles[ends[i] - counts[i] : ends[i]])
    return unions


def _union(tiles: Geometries) -> Region:
    """The union of tiles the slow way. Raises Untiled where the engine loses some of them even so."""
    slack_mm2 = LOST_MM2 + RESCUE_GRID_MM * float(shapely.length(tiles).sum())
    for grid_mm in (None, RESCUE_GRID_MM):
        joined = union(tiles) if grid_mm is None else polygons_only(shapely.union_all(tiles, grid_size=grid_mm))
        if abs(float(shapely.area(tiles).sum()) - joined.area) <= slack_mm2:
            return joined
    raise Untiled("the geometry engine loses some of the art")


def _region(pieces: Geometries) -> Region:
    """Disjoint polygons as one value."""
    return pieces[0] if len(pieces) == 1 else shapely.MultiPolygon(pieces.tolist())


def tiles_of(painted: Geometries, noise_mm: float = NOISE_MM, *, rescue: bool = True) -> Tiles:
    """Cut the page by regions in painter's order, lowest first, none of them empty.

    Corners no further apart than the noise become one. On a rescue grid all corners move: with `rescue` false none is
    tried. Raises Untiled.
    """
    cover = cover_of(painted)
    edges = _seen_edges(cover, noise_mm)
    decimals = RESCUE_DECIMALS if rescue else ()
    on_grids = [(replace(edges, points=np.round(edges.points, places)), 10.0**-places) for places in decimals]
    for attempt, grid_mm in ((edges, None), *on_grids):
        try:
            with np.errstate(invalid="ignore"):  # the engine leaves floating-point flags behind that mean nothing
                tiles = _tiles_between(attempt, cover, grid_mm)
        except shapely.GEOSException:
            continue
        if tiles is not None:
            return tiles
    raise Untiled("the geometry engine gives up on painter's order")


def _tiles_between(edges: Corners, cover: Cover, grid_mm: float | None) -> Tiles | None:
    """The tiles that edges cut the page into, or None where the engine left out some."""
    noded = shapely.union_all([*_lines_through(edges), _frame(cover.regions)], grid_size=grid_mm)
    faces, *unused = shapely.polygonize_full([noded])
    polygons: Geometries = shapely.get_parts(faces)
    corners = corners_of(polygons)
    borders, outer = paired(corners)
    if len(outer) != FRAME_EDGES:
        return None
    missing = _missing(edges, corners)
    left, right = _both_sides(shapely.get_parts(unused))
    asked = [_inner_points(polygons), edges.points[missing], left, right]
    owner, under, on_left, on_right = np.split(
        cover.topmost(np.concatenate(asked)), np.cumsum([len(points) for points in asked])[:-1]
    )
    differs = on_left != on_right  # in hidden parts they are the same
    if (_tile_at(polygons, left[differs]) == _tile_at(polygons, right[differs])).any():
        return None  # an edge between them was left out
    tiles = Tiles(polygons, borders, owner)
    lost = edges.region[missing][under <= edges.region[missing]]
    slack_mm2 = LOST_MM2 + (grid_mm or 0.0) * shapely.length(cover.regions)
    fails = any(_difference_mm2(tiles, cover.regions, i) > slack_mm2[i] for i in np.unique(lost).tolist())
    return None if fails else tiles


def _tile_at(polygons: Geometries, points: Floats) -> Indices:
    """The tile that each point (mm) lies in, or NOTHING."""
    tile = np.full(len(points), NOTHING)
    if len(points):
        found, point = shapely.STRtree(np.asarray(shapely.points(points))).query(polygons, predicate="intersects")
        tile[point] = found
    return tile


def _both_sides(lines: Geometries) -> tuple[Floats, Floats]:
    """For each line a point close to its middle on either side, (n, 2) mm."""
    before, middle, after = (
        shapely.get_coordinates(shapely.line_interpolate_point(lines, share, normalized=True))
        for share in (0.49, 0.5, 0.51)
    )
    way = after - before
    length = np.hypot(way[:, 0], way[:, 1])
    reach = np.minimum(SLIVER_MM, shapely.length(lines) / 4) / np.where(length > 0, length, 1.0)
    aside = np.stack([-way[:, 1], way[:, 0]], axis=1) * reach[:, None]
    return middle + aside, middle - aside


def _inner_points(polygons: Geometries) -> Floats:
    """A point in each polygon, (n, 2) mm, where it is wide: in a sliver, noise would decide what region it is in."""
    points = shapely.point_on_surface(polygons)
    wide = 2 * shapely.area(polygons) > SLIVER_MM * shapely.length(polygons)
    tight = wide & (shapely.distance(points, shapely.boundary(polygons)) < TIGHT_MM)
    widest = shapely.maximum_inscribed_circle(polygons[tight])
    points[tight] = shapely.get_point(widest, 0)
    return np.asarray(shapely.get_coordinates(points))


def _missing(edges: Corners, corners: Corners) -> Indices:
    """Which ends of edges are the corner of no tile."""
    known = np.sort(_fingerprints(corners.points))
    asked = _fingerprints(edges.points)
    at = np.minimum(np.searchsorted(known, asked), len(known) - 1)
    return np.flatnonzero(known[at] != asked)


def _difference_mm2(tiles: Tiles, painted: Geometries, region: int) -> float:
    """How much more or less the tiles of a region cover than what is visible of it. A spike of no width may be lost."""
    above = painted[region + 1 :]
    above = above[shapely.intersects(above, painted[region])]
    visible_mm2 = difference(painted[region], union(above)).area
    return abs(float(shapely.area(tiles.polygons[tiles.owner == region]).sum()) - visible_mm2)


def _frame(painted: Geometries) -> shapely.LinearRing:
    left, top, right, bottom = shapely.total_bounds(painted) + FRAME_MM * np.array([-1, -1, 1, 1])
    return shapely.LinearRing([(left, top), (right, top), (right, bottom), (left, bottom)])


def _lines_through(corners: Corners) -> list[BaseGeometry]:
    """All edges as lines, those that follow on each other in one."""
    starts = corners.leads_on & ~np.append(False, corners.leads_on[:-1])
    return list(np.asarray(shapely.linestrings(corners.points, indices=np.cumsum(starts) - 1)))


def _seen_edges(cover: Cover, noise_mm: float) -> Corners:
    """The ends of all edges that can be seen, each edge once."""
    seen = _ends(cover.corners, cover.seen_edges())
    if noise_mm > 0:
        seen = replace(seen, points=_without_noise(seen.points, noise_mm))
    seen = _ends(seen, seen.leads_on & ~_repeated(seen))
    return _through_corners(seen, noise_mm) if noise_mm > 0 else seen


def _ends(corners: Corners, edges: Flags) -> Corners:
    """The corners that some edges, given by where they start, run between."""
    ends = edges | np.append(False, edges[:-1])
    return Corners(corners.points[ends], corners.region[ends], edges[ends])


def _without_noise(points: Floats, noise_mm: float) -> Floats:
    """Corners that differ by noise alone take the place of the first of them; all others stay exactly.

    Corners are the same where they round to the same, on either of two lattices: those that lie astride the lines of
    the one are well inside those of the other.
    """
    for shift in (0.0, 0.5):
        marks = _fingerprints(np.round(points / noise_mm + shift))
        _, first, same = np.unique(marks, return_index=True, return_inverse=True)
        moved = points[first[same]]
        near = np.abs(moved - points).max(axis=1, initial=0.0) <= noise_mm
        points = np.where(near[:, None], moved, points)
    return points


def _through_corners(corners: Corners, noise_mm: float) -> Corners:
    """Edges that pass a corner by noise alone, and run along one that ends there, lead through it. Where one shape's
    corner lies on another's edge, as in a row of unlike tiles that is turned, a gap of a last bit would stay between
    them, open to the cloth: no overlay finds what has no area."""
    first = np.flatnonzero(corners.leads_on)
    first = first[_along_others(corners.points[first], corners.points[first + 1])]
    start, end = corners.points[first], corners.points[first + 1]
    ends, lines = np.concatenate([start, end]), edge_lines(np.stack([start, end], axis=1))
    points: Geometries = np.asarray(shapely.points(ends))
    edge, met = shapely.STRtree(points).query(lines, predicate="dwithin", distance=noise_mm)
    through = ends[met]
    between = (through != start[edge]).any(axis=1) & (through != end[edge]).any(axis=1)
    edge, through = edge[between], through[between]
    onward = np.lexsort((((through - start[edge]) * (end - start)[edge]).sum(axis=1), edge))
    edge, through = edge[onward], through[onward]
    once = (np.diff(edge, prepend=-1) != 0) | (np.diff(through, axis=0, prepend=through[:1]) != 0).any(axis=1)
    at, through = first[edge[once]], through[once]
    return Corners(
        np.insert(corners.points, at + 1, through, axis=0),
        np.insert(corners.region, at + 1, corners.region[at]),
        np.insert(corners.leads_on, at + 1, True),
    )


def _along_others(start: Floats, end: Floats) -> Flags:
    """Which edges lie on a line with another, as told by where that line is nearest to the origin: some may not."""
    points, way = (start.view(np.complex128).ravel(), (end - start).view(np.complex128).ravel())
    across = 1j * way / np.maximum(np.abs(way), NOISE_MM)
    foot = across * (across.conj() * points).real
    marks = _fingerprints(np.stack([foot.real, foot.imag], axis=1))
    order = np.argsort(marks)
    alike = np.diff(marks[order]) < ONE_LINE_MM
    along = np.zeros(len(marks), dtype=bool)
    along[order[:-1][alike]] = along[order[1:][alike]] = True
    return along


def _repeated(corners: Corners) -> Flags:
    """For each corner, whether a region further up has the same edge as starts there, in either direction."""
    start, end, order = _by_middle(corners)
    lower, upper = order[:-1], order[1:]
    same = (start[lower] == start[upper]) & (end[lower] == end[upper])
    turned = (start[lower] == end[upper]) & (end[lower] == start[upper])
    repeated = np.zeros(len(corners.points), dtype=bool)
    first = np.flatnonzero(corners.leads_on)
    repeated[first[lower[np.asarray(same | turned)]]] = True
    return repeated


def _fingerprints(points: Floats) -> Floats:
    """One number a point, the same for the same point, quicker to sort than two."""
    return np.asarray(np.e * points[:, 0] + np.pi * points[:, 1])


def paired(corners: Corners) -> tuple[Borders, Indices]:
    """The edges that two regions share, and which edges, by the corner they start at, belong to one region alone."""
    start, end, order = _by_middle(corners)
    one, other = order[:-1], order[1:]
    shared = (start[one] == end[other]) & (end[one] == start[other])
    one, other = one[shared], other[shared]
    alone = np.ones(len(start), dtype=bool)
    alone[one] = alone[other] = False
    first = np.flatnonzero(corners.leads_on)
    owner = corners.region[first]
    return Borders(owner[one], owner[other], np.abs(end[one] - start[one])), first[alone]


def _by_middle(corners: Corners) -> tuple[Complex, Complex, Indices]:
    """Start and end of each edge, as complex numbers, and the edges sorted by their middles, lower regions first.

    Edges that do not cross are the same where they have the same middle.
    """
    first = np.flatnonzero(corners.leads_on)
    points = corners.points.view(np.complex128).ravel()
    start, end = points[first], points[first + 1]
    return start, end, np.argsort(start + end, kind="stable")
