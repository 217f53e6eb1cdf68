"""From rings to the region they fill, by the non-zero or the even-odd rule (SVG 2, 13.4.2)."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely import LineString, MultiPolygon, Polygon

from vectorsep.geometry.arrays import Flags, Geometries, Indices
from vectorsep.geometry.boolean import union
from vectorsep.geometry.curves import Points
from vectorsep.geometry.region import EMPTY, polygons_only
from vectorsep.model import Region

EngineFailure = shapely.GEOSException
"""What the geometry engine raises where floating arithmetic defeats it."""
MAX_CROSSINGS = 100_000
"""Outlines estimated to cross themselves more often than this are refused: no drawing does, and memory is finite."""
_FEW = 600
"""Rings of fewer edges are cut without asking how often they cross."""
_SAMPLE = 600
"""Edges looked at to estimate the crossings."""


class Unfillable(ValueError):
    """An outline that cannot be filled, such as one that crosses itself more than MAX_CROSSINGS times."""


def filled_each(shapes: Sequence[Sequence[Points]], even_odd: Sequence[bool]) -> list[Region | Unfillable]:
    """The regions that the closed rings of many shapes fill, by the even-odd or the non-zero rule; an error in place of
    one that cannot be had. Each ring is an (n, 2) array; its first point need not be repeated.

    Rings that neither cross themselves nor each other keep their coordinates untouched.
    """
    plain = uncrossed(shapes, even_odd)
    return [
        _filled_or_error(shape, rule) if region is None else region
        for region, shape, rule in zip(plain, shapes, even_odd, strict=True)
    ]


def uncrossed(shapes: Sequence[Sequence[Points]], even_odd: Sequence[bool]) -> list[Region | None]:
    """The regions of those shapes whose rings cross neither themselves nor each other; None for the others.

    Shapes of one ring, the bulk of any drawing, are built and judged in one go.
    """
    rings = [[ring for ring in map(_closed, shape) if len(ring) >= 4] for shape in shapes]
    found: list[Region | None] = [
        EMPTY if not shape else None if len(shape) == 1 else _nested_rings(shape, rule)
        for shape, rule in zip(rings, even_odd, strict=True)
    ]
    single = [i for i, shape in enumerate(rings) if len(shape) == 1]
    if single:
        discs = _discs([rings[i][0] for i in single])
        for i, disc, valid in zip(single, discs, shapely.is_valid(discs), strict=True):
            found[i] = disc if valid else None
    return found


def _discs(rings: Sequence[Points]) -> Geometries:
    """Each ring's own inside, as polygons that may be invalid."""
    counts = [len(ring) for ring in rings]
    lines = shapely.linearrings(np.concatenate(rings), indices=np.repeat(np.arange(len(rings)), counts))
    return np.asarray(shapely.polygons(lines))


def _filled_or_error(shape: Sequence[Points], even_odd: bool) -> Region | Unfillable:
    try:
        return _crossing_rings([ring for ring in map(_closed, shape) if len(ring) >= 4], even_odd)
    except Unfillable as error:
        return error
    except EngineFailure as error:
        return Unfillable(f"the geometry engine gives up on it ({error})")


def filled_rings(rings: Sequence[Points]) -> list[Region]:
    """The region of each ring on its own, by the non-zero rule. Raises Unfillable."""
    regions = []
    for region in filled_each([[ring] for ring in rings], [False] * len(rings)):
        if isinstance(region, Unfillable):
            raise region
        regions.append(region)
    return regions


def _closed(ring: Points) -> Points:
    """Without points that repeat their forerunner, and with the first point repeated last."""
    if len(ring) < 3:
        return ring[:0]
    moves = (ring[1:] != ring[:-1]).any(axis=1)
    kept = ring if moves.all() else ring[np.concatenate([[True], moves])]
    return kept if (kept[0] == kept[-1]).all() else np.concatenate([kept, kept[:1]])


def _nested_rings(rings: list[Points], even_odd: bool) -> Region | None:
    """The region of rings that are simple and do not cross, or None where that does not hold."""
    discs = _discs(rings)
    if not shapely.is_valid(discs).all():
        return None
    lines = shapely.get_exterior_ring(discs)
    inner, outer = _containments(discs)
    turns = np.where(shapely.is_ccw(lines), 1, -1)
    outside = np.bincount(inner, weights=turns[outer], minlength=len(rings)).astype(int)
    depth = np.bincount(inner, minlength=len(rings))
    if even_odd:
        shown_in, shown_out = (depth + 1) % 2 == 1, depth % 2 == 1
    else:
        shown_in, shown_out = outside + turns != 0, outside != 0
    if not _is_needless(discs, shown_in == shown_out, inner, outer):
        return None
    shells, holes = np.flatnonzero(shown_in & ~shown_out), np.flatnonzero(shown_out & ~shown_in)
    owned = _owners(holes, shells, inner, outer, depth)
    if owned is None:
        return None
    region = _assembled(lines, shells, owned)
    return region if region is not None and region.is_valid else None


def _containments(discs: Geometries) -> tuple[Indices, Indices]:
    """Index pairs (inner, outer): a point inside the one lies in the larger other."""
    tree = shapely.STRtree(discs)
    inner, outer = tree.query(shapely.point_on_surface(discs), predicate="within")
    areas = shapely.area(discs)
    larger = areas[outer] > areas[inner]
    return inner[larger], outer[larger]


def _is_needless(discs: Geometries, dropped: Flags, inner: Indices, outer: Indices) -> bool:
    """Whether every ring that bounds nothing lies truly inside those thought to hold it, and holds none halfway."""
    if not dropped.any():
        return True
    concerned = dropped[inner] | dropped[outer]
    if not shapely.contains(discs[outer[concerned]], discs[inner[concerned]]).all():
        return False
    lost = np.flatnonzero(dropped)
    a, b = shapely.STRtree(discs).query(discs[lost], predicate="intersects")
    pairs = set(zip(inner.tolist(), outer.tolist(), strict=True))
    return all(
        (i, j) in pairs or (j, i) in pairs or shapely.touches(discs[i], discs[j])
        for i, j in zip(lost[a].tolist(), b.tolist(), strict=True)
        if i != j
    )


def _owners(
    holes: Indices,
    shells: Indices,
    inner: Indices,
    outer: Indices,
    depth: Indices,
) -> dict[int, list[int]] | None:
    """For each shell the holes whose innermost surrounding shell it is; None where a hole lies in no shell, as it can
    where rings cross."""
    is_shell, is_hole = np.zeros(len(depth), dtype=bool), np.zeros(len(depth), dtype=bool)
    is_shell[shells], is_hole[holes] = True, True
    fitting = is_hole[inner] & is_shell[outer]
    inner, outer = inner[fitting], outer[fitting]
    order = np.argsort(depth[outer], kind="stable")
    owner = dict(zip(inner[order].tolist(), outer[order].tolist(), strict=True))
    owned: dict[int, list[int]] = {}
    for hole, shell in owner.items():
        owned.setdefault(shell, []).append(hole)
    return owned if len(owner) == len(holes) else None


def _assembled(lines: Geometries, shells: Indices, owned: dict[int, list[int]]) -> Region | None:
    pieces = [
        Polygon(lines[shell], [lines[hole] for hole in owned[shell]]) if shell in owned else Polygon(lines[shell])
        for shell in shells.tolist()
    ]
    if not pieces:
        return None
    return pieces[0] if len(pieces) == 1 else MultiPolygon(pieces)


def _crossing_rings(rings: list[Points], even_odd: bool) -> Region:
    """Cut all rings at their crossings, then keep the faces whose winding number the rule fills."""
    starts = np.concatenate([ring[:-1] for ring in rings])
    ends = np.concatenate([ring[1:] for ring in rings])
    _guard_crossings(starts, ends)
    noded = shapely.union_all([LineString(ring) for ring in rings])
    faces = shapely.get_parts(shapely.polygonize([noded]))
    if not len(faces):
        return EMPTY
    winding = _winding_numbers(shapely.get_coordinates(shapely.point_on_surface(faces)), starts, ends)
    shown = faces[winding % 2 == 1] if even_odd else faces[winding != 0]
    try:
        return polygons_only(shapely.coverage_union_all(shown)) if len(shown) else EMPTY
    except EngineFailure:
        return union(list(shown))


def _guard_crossings(starts: Points, ends: Points) -> None:
    """Estimate the crossings from a sample of edges, and refuse what no machine could cut."""
    count = len(starts)
    if count < _FEW:
        return
    chosen = np.linspace(0, count - 1, _SAMPLE).astype(int)
    a, b = starts[chosen], ends[chosen]
    side_a = _side(a[:, None], b[:, None], a) * _side(a[:, None], b[:, None], b)
    crossing = (side_a < 0) & (side_a.T < 0)
    estimate = crossing.sum() / 2 * (count / _SAMPLE) ** 2
    if estimate > MAX_CROSSINGS:
        raise Unfillable(f"crosses itself about {estimate:,.0f} times")


def _side(a: Points, b: Points, point: Points) -> Points:
    ab, ap = b - a, point - a
    return np.asarray(np.sign(ab[..., 0] * ap[..., 1] - ab[..., 1] * ap[..., 0]))


def _winding_numbers(points: Points, starts: Points, ends: Points) -> Indices:
    """How often the edges run around each point, counted along a ray to the right."""
    low, high = np.minimum(starts[:, 1], ends[:, 1]), np.maximum(starts[:, 1], ends[:, 1])
    sloping = low < high
    starts, ends, low, high = starts[sloping], ends[sloping], low[sloping], high[sloping]
    right = np.maximum(starts[:, 0], ends[:, 0])
    tree = shapely.STRtree(shapely.box(np.minimum(starts[:, 0], ends[:, 0]), low, right, high))
    far = right.max() + 1
    rays = np.stack([points, np.stack([np.full(len(points), far), points[:, 1]], axis=1)], axis=1)
    winding = np.zeros(len(points), dtype=np.intp)
    for first in range(0, len(points), 1000):
        chunk = slice(first, first + 1000)
        ray, edge = tree.query(shapely.linestrings(rays[chunk]))
        x, y = points[chunk][ray].T
        s, e = starts[edge], ends[edge]
        meets = (y >= low[edge]) & (y < high[edge])
        at = s[:, 0] + (y - s[:, 1]) / (e[:, 1] - s[:, 1]) * (e[:, 0] - s[:, 0])
        sense = np.where(e[:, 1] > s[:, 1], 1, -1) * (meets & (at > x))
        winding[chunk] = np.bincount(ray, weights=sense, minlength=len(points[chunk])).astype(np.intp)
    return winding
