"""From rings to the region they fill, by the non-zero or the even-odd rule (SVG 2, 13.4.2)."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon

from vectorsep.geometry.curves import Points
from vectorsep.geometry.region import EMPTY, polygons_only
from vectorsep.model import Region

MAX_CROSSINGS = 1_000_000
"""Outlines estimated to cross themselves more often than this are refused: no drawing does, and memory is finite."""
_SAMPLE = 1_500
"""Edges looked at to estimate the crossings."""


class TooManyCrossings(ValueError):
    """An outline crosses itself more than MAX_CROSSINGS times."""


def filled_each(shapes: Sequence[Sequence[Points]], even_odd: Sequence[bool]) -> list[Region | TooManyCrossings]:
    """The regions of many shapes, each as `filled` gives it, or the error it raises.

    Shapes of one simple ring, the bulk of any drawing, are built and judged in one go.
    """
    rings = {i: _closed(shape[0]) for i, shape in enumerate(shapes) if len(shape) == 1}
    single = [i for i, ring in rings.items() if len(ring) >= 4]
    simple: dict[int, Region] = {}
    if single:
        counts = [len(rings[i]) for i in single]
        coordinates = np.concatenate([rings[i] for i in single])
        discs = np.asarray(
            shapely.polygons(shapely.linearrings(coordinates, indices=np.repeat(np.arange(len(counts)), counts)))
        )
        valid = shapely.is_valid(discs)
        simple = {i: disc for i, disc, good in zip(single, discs, valid, strict=True) if good}
    return [
        simple[i] if i in simple else _filled_or_error(shape, rule)
        for i, (shape, rule) in enumerate(zip(shapes, even_odd, strict=True))
    ]


def _filled_or_error(shape: Sequence[Points], even_odd: bool) -> Region | TooManyCrossings:
    try:
        return filled(shape, even_odd=even_odd)
    except TooManyCrossings as error:
        return error


def filled(outlines: Sequence[Points], *, even_odd: bool) -> Region:
    """The region that closed rings fill. Each ring is an (n, 2) array; its first point need not be repeated.

    Rings that neither cross themselves nor each other keep their coordinates untouched. Raises TooManyCrossings.
    """
    rings = [ring for ring in map(_closed, outlines) if len(ring) >= 4]
    if not rings:
        return EMPTY
    if len(rings) == 1:
        only = Polygon(rings[0])
        if only.is_valid:
            return only
    else:
        nested = _nested_rings(rings, even_odd)
        if nested is not None:
            return nested
    return _crossing_rings(rings, even_odd)


def _closed(ring: Points) -> Points:
    """Without points that repeat their forerunner, and with the first point repeated last."""
    if len(ring) < 3:
        return ring[:0]
    moves = (ring[1:] != ring[:-1]).any(axis=1)
    kept = ring if moves.all() else ring[np.concatenate([[True], moves])]
    return kept if (kept[0] == kept[-1]).all() else np.concatenate([kept, kept[:1]])


def _nested_rings(rings: list[Points], even_odd: bool) -> Region | None:
    """The region of rings that are simple and do not cross, or None where that does not hold."""
    counts = np.array([len(ring) for ring in rings])
    lines = np.asarray(
        shapely.linearrings(np.concatenate(rings), indices=np.repeat(np.arange(len(rings)), counts))
    )
    discs = np.asarray(shapely.polygons(lines))
    if not shapely.is_valid(discs).all():
        return None
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
    region = _assembled(lines, shells, _owners(holes, shells, inner, outer, depth))
    return region if region is not None and region.is_valid else None


def _containments(discs: NDArray[np.object_]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Index pairs (inner, outer): a point inside the one lies in the larger other."""
    tree = shapely.STRtree(discs)
    inner, outer = tree.query(shapely.point_on_surface(discs), predicate="within")
    areas = shapely.area(discs)
    larger = areas[outer] > areas[inner]
    return inner[larger], outer[larger]


def _is_needless(
    discs: NDArray[np.object_], dropped: NDArray[np.bool_], inner: NDArray[np.intp], outer: NDArray[np.intp]
) -> bool:
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
    holes: NDArray[np.intp],
    shells: NDArray[np.intp],
    inner: NDArray[np.intp],
    outer: NDArray[np.intp],
    depth: NDArray[np.intp],
) -> dict[int, list[int]]:
    """For each shell the holes whose innermost surrounding shell it is."""
    is_shell, is_hole = np.zeros(len(depth), dtype=bool), np.zeros(len(depth), dtype=bool)
    is_shell[shells], is_hole[holes] = True, True
    fitting = is_hole[inner] & is_shell[outer]
    inner, outer = inner[fitting], outer[fitting]
    order = np.argsort(depth[outer], kind="stable")
    owner = dict(zip(inner[order].tolist(), outer[order].tolist(), strict=True))
    owned: dict[int, list[int]] = {}
    for hole, shell in owner.items():
        owned.setdefault(shell, []).append(hole)
    return owned if len(owner) == len(holes) else {}


def _assembled(lines: NDArray[np.object_], shells: NDArray[np.intp], owned: dict[int, list[int]]) -> Region | None:
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
    edges = np.asarray(shapely.linestrings(np.stack([starts, ends], axis=1)))
    noded = shapely.node(shapely.multilinestrings(edges))
    faces = shapely.get_parts(shapely.polygonize(shapely.get_parts(noded)))
    if not len(faces):
        return EMPTY
    winding = _winding_numbers(shapely.get_coordinates(shapely.point_on_surface(faces)), starts, ends)
    shown = faces[winding % 2 == 1] if even_odd else faces[winding != 0]
    return polygons_only(shapely.union_all(shown)) if len(shown) else EMPTY


def _guard_crossings(starts: Points, ends: Points) -> None:
    """Estimate the crossings from a sample of edges, and refuse what no machine could cut."""
    count = len(starts)
    if count < _SAMPLE:
        return
    chosen = np.linspace(0, count - 1, _SAMPLE).astype(int)
    a, b = starts[chosen], ends[chosen]
    side_a = _side(a[:, None], b[:, None], a) * _side(a[:, None], b[:, None], b)
    crossing = (side_a < 0) & (side_a.T < 0)
    estimate = crossing.sum() / 2 * (count / _SAMPLE) ** 2
    if estimate > MAX_CROSSINGS:
        raise TooManyCrossings(f"crosses itself about {estimate:,.0f} times")


def _side(a: Points, b: Points, point: Points) -> Points:
    ab, ap = b - a, point - a
    return np.asarray(np.sign(ab[..., 0] * ap[..., 1] - ab[..., 1] * ap[..., 0]))


def _winding_numbers(points: Points, starts: Points, ends: Points) -> NDArray[np.intp]:
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
