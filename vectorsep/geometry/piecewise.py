"""Overlays of many pieces with many: each piece with those alone that it may meet.

The engine's overlay of two whole regions pays for every vertex of both. Among letters, or lines beside gaps, most
pieces meet a few small ones: these are overlaid pair by pair, and what meets nothing is not overlaid at all. Its
union goes through a large piece again and again, once for each step of putting together what meets it: there regions
are overlaid as wholes, two and two.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import zip_longest
from typing import Any

import numpy as np
import shapely

from vectorsep.geometry.arrays import Geometries, Indices
from vectorsep.geometry.region import gather, polygons_only
from vectorsep.model import Region

MANY = 16
"""Fewer pieces to meet than this are not worth looking for."""
LIGHT_LOAD = 8
"""Pieces are overlaid alone with at most so many times their own vertices: a large piece that many small ones meet
would be gone through for each of them, and is overlaid once with them all instead."""
FEW = 8
"""More regions than this are not overlaid as wholes."""
LARGE_TIMES = 25
"""A piece with so many times the vertices of the mean one is a large one."""
WORTH_HALVING = 2000
"""Fewer vertices than this are not worth a second thread."""


def in_halves(region: Region) -> tuple[Region, ...]:
    """The region in two, each of whole pieces and about half of the vertices, one left of the other; or as it is, if
    it is small."""
    pieces = shapely.get_parts(region)
    vertices = shapely.get_num_coordinates(pieces)
    if len(pieces) < 2 or vertices.sum() < WORTH_HALVING:
        return (region,)
    rightwards = np.argsort(shapely.bounds(pieces)[:, 0], kind="stable")
    so_far = np.cumsum(vertices[rightwards])
    left = 1 + int(np.abs(2 * so_far[:-1] - so_far[-1]).argmin())
    return gather(pieces[rightwards[:left]]), gather(pieces[rightwards[left:]])


def union_by_pieces(regions: Sequence[Region]) -> Region:
    """Everything that any of the regions covers. Pieces of one alone may overlap. Raises GEOSException."""
    pieces = shapely.get_parts(regions)
    vertices = shapely.get_num_coordinates(pieces)
    if 1 < len(regions) <= FEW and vertices.max(initial=0) * len(pieces) > LARGE_TIMES * vertices.sum():
        return _in_pairs(list(regions))
    return polygons_only(shapely.disjoint_subset_union_all(pieces))


def _in_pairs(regions: list[Region]) -> Region:
    """The union of two and two, then of these, so that the first of them are not gone through for each that follows."""
    while len(regions) > 1:
        pairs = zip_longest(regions[::2], regions[1::2])
        regions = [one if other is None else _both(one, other) for one, other in pairs]
    return regions[0]


def _both(one: Region, other: Region) -> Region:
    mine, others = shapely.get_parts(one), shapely.get_parts(other)
    met, meeting = (np.unique(of_pair) for of_pair in shapely.STRtree(mine).query(others)[::-1])
    together = shapely.union(gather(mine[met]), gather(others[meeting]))
    return gather([*np.delete(mine, met), *np.delete(others, meeting), polygons_only(together)])


def intersection_by_pieces(region: Region, other: Region, **options: float) -> Region:
    """What both regions cover; options as for the engine's intersection. Raises GEOSException as that does."""
    return _overlaid(shapely.intersection, region, other, options, left_out=False)


def difference_by_pieces(region: Region, taken: Region, **options: float) -> Region:
    """What the region covers and the other does not; as above."""
    return _overlaid(shapely.difference, region, taken, options, left_out=True)


def _overlaid(
    operation: Callable[..., Any], region: Region, other: Region, options: dict[str, float], *, left_out: bool
) -> Region:
    """The overlay; `left_out` says whether pieces that meet nothing belong to it."""
    pieces, others = shapely.get_parts(region), shapely.get_parts(other)
    if len(others) < MANY:
        return polygons_only(operation(region, other, **options))
    piece, met = shapely.STRtree(others).query(pieces)  # by bounds, piece by piece
    load = np.bincount(piece, shapely.get_num_coordinates(others)[met], minlength=len(pieces))
    alone = (load > 0) & (load <= LIGHT_LOAD * shapely.get_num_coordinates(pieces))
    crowd = (load > 0) & ~alone
    mine = alone[piece]
    crowding = others[np.unique(met[crowd[piece]])]
    return gather(
        [
            *(pieces[load == 0] if left_out else ()),
            *map(polygons_only, operation(pieces[alone], _partners(piece[mine], others[met[mine]]), **options)),
            polygons_only(operation(gather(pieces[crowd]), gather(crowding), **options)),
        ]
    )


def _partners(piece: Indices, met: Geometries) -> Geometries:
    """What each piece that meets anything meets, as one: piece by piece, in order."""
    return np.asarray(shapely.multipolygons(met, indices=np.unique(piece, return_inverse=True)[1]))
