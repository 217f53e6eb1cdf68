"""Painter's order: what stays visible of each region under all those painted after it.

Worked from the top in batches of about one layer. What the batches so far leave free is kept as pieces; a lower
region is cut to the free pieces it meets, so that regions hidden by many layers cost next to nothing and the
work ends when nothing is free. Within a batch each region loses the union of those above that meet it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from vectorsep.geometry.boolean import difference, union
from vectorsep.geometry.region import EMPTY, polygons_only
from vectorsep.model import Region

Regions: TypeAlias = NDArray[np.object_]

LAYERS_A_BATCH = 1.5
"""How often a batch covers the art's bounding box, areas summed. Below one, free pieces hang together and grow
large; above two, the pairs within a batch do."""
FRAME = np.array([-1.0, -1.0, 1.0, 1.0])
"""What is free at first reaches a millimetre past the art on every side, so that its edges never matter."""


def visible_parts(painted: Sequence[Region]) -> list[Region]:
    """For regions in painter's order, lowest first: the visible part of each, in the same order (mm)."""
    layers: Regions = np.asarray(painted, dtype=object)
    parts: list[Region] = [EMPTY] * len(layers)
    inked = np.flatnonzero(~shapely.is_empty(layers))
    if not len(inked):
        return parts
    free: Regions = np.array([shapely.box(*(shapely.total_bounds(layers[inked]) + FRAME))])
    for batch in _batches_from_the_top(layers, inked):
        shown, cut = _cut_to(layers[batch], free)
        if not len(shown):
            continue
        for index, part in zip(batch[shown], _visible_within(cut), strict=True):
            parts[index] = part
        free = _less(free, cut)
        if not len(free):
            break
    return parts


def _batches_from_the_top(layers: Regions, inked: NDArray[np.intp]) -> Iterator[NDArray[np.intp]]:
    left, top, right, bottom = shapely.total_bounds(layers[inked])
    depth = shapely.area(layers[inked]).sum() / max((right - left) * (bottom - top), 1e-9)
    size = math.ceil(len(inked) * min(1.0, LAYERS_A_BATCH / max(depth, 1e-9)))
    for stop in range(len(inked), 0, -size):
        yield inked[max(0, stop - size) : stop]


def _cut_to(regions: Regions, free: Regions) -> tuple[NDArray[np.intp], Regions]:
    """Which regions meet a free piece, and what of each lies in free pieces."""
    owner, piece = shapely.STRtree(free).query(regions, predicate="intersects")
    cut = shapely.intersection(regions[owner], free[piece])
    inside = shapely.area(cut) > 0
    return _grouped(owner[inside], cut[inside])


def _grouped(owner: NDArray[np.intp], cut: Regions) -> tuple[NDArray[np.intp], Regions]:
    """Join the cut pieces of each owner; they are disjoint. Owners come sorted from the tree's query."""
    shown, starts = np.unique(owner, return_index=True)
    joined = np.empty(len(shown), dtype=object)
    for i, pieces in enumerate(np.split(cut, starts[1:])[: len(shown)]):
        joined[i] = polygons_only(pieces[0]) if len(pieces) == 1 else union(pieces)
    return shown, joined


def _visible_within(batch: Regions) -> Iterator[Region]:
    lower, above = shapely.STRtree(batch).query(batch, predicate="intersects")
    upward = above > lower
    for i, hiding in enumerate(_split_by(lower[upward], above[upward], len(batch))):
        yield difference(batch[i], union(batch[hiding])) if len(hiding) else batch[i]


def _less(free: Regions, taken: Regions) -> Regions:
    """The free pieces less what was taken, as single polygons."""
    piece, taker = shapely.STRtree(taken).query(free, predicate="intersects")
    left = [
        shapely.difference(free[i], shapely.union_all(taken[takers])) if len(takers) else free[i]
        for i, takers in enumerate(_split_by(piece, taker, len(free)))
    ]
    pieces = shapely.get_parts(left)
    return pieces[shapely.area(pieces) > 0]


def _split_by(key: NDArray[np.intp], value: NDArray[np.intp], count: int) -> list[NDArray[np.intp]]:
    """Values grouped by key 0 .. count - 1; values of a key ascending, whatever order the tree found them in."""
    order = np.lexsort((value, key))
    bounds = np.searchsorted(key[order], np.arange(1, count))
    return np.split(value[order], bounds)
