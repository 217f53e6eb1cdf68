"""Union, intersection and difference, tried again where the engine fails: on mended regions, then on a grid."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from vectorsep.geometry.arrays import Flags, Floats, Geometries, Indices
from vectorsep.geometry.piecewise import difference_by_pieces, intersection_by_pieces, union_by_pieces
from vectorsep.geometry.region import EMPTY, GRID_MM, gather, polygons_only, repaired
from vectorsep.model import Region
from vectorsep.remember import remembered

HAIRLINE_MM = 0.02
"""Gaps narrower than this between shapes are slips of the drawing program's rounding, not cloth to be seen.

Drawing programs round to 2 or 3 decimals of a pixel (up to 2.6 micrometres); no screen opens a slot below
50 micrometres. Were such a gap kept, the white would be choked on both sides of it.
"""
RESCUE_GRID_MM = GRID_MM / 100
"""Overlays that fail in floating arithmetic are repeated on this grid."""


def union(regions: Iterable[Region]) -> Region:
    """Everything that any of the regions covers. Pieces that meet nothing are left out of the engine's work."""
    whole = list(regions)
    try:
        return union_by_pieces(whole)
    except shapely.GEOSException:
        return _rescued(shapely.union_all, whole)


def unions_of_others(regions: Sequence[Region], outside: Region = EMPTY) -> Iterator[Region]:
    """For each region everything that any of the others covers, and what lies outside of them all: halves are told
    apart first, then their halves. So few unions are made, and no more are kept than there are halvings."""
    if len(regions) < 2:
        yield from [outside] * len(regions)
        return
    halves = regions[: len(regions) // 2], regions[len(regions) // 2 :]
    for half, other in (halves, halves[::-1]):
        yield from unions_of_others(half, union([area for area in (outside, *other) if not area.is_empty]))


def intersection(one: Region, other: Region) -> Region:
    """What both regions cover."""
    return _rescued(intersection_by_pieces, one, other)


def intersections(regions: Geometries, others: Geometries) -> list[Region]:
    """The same of each region and its partner, pair by pair."""
    return [polygons_only(common) for common in _common(regions, others)]


def differences(regions: Geometries, taken: Geometries) -> Geometries:
    """What each region covers and the one taken from it does not, pair by pair. Lines and points may be among it."""
    return _pairwise(shapely.difference, difference, regions, taken)


def common_areas_mm2(regions: Geometries, others: Geometries) -> Floats:
    """How much each region and its partner cover both (mm²), pair by pair."""
    return np.asarray(shapely.area(_common(regions, others)))


def _common(regions: Geometries, others: Geometries) -> Geometries:
    return _pairwise(shapely.intersection, intersection, regions, others)


def _pairwise(
    together: Callable[..., Any],
    alone: Callable[[Region, Region], Region],
    regions: Geometries,
    others: Geometries,
) -> Geometries:
    """An overlay of all pairs by one call of the engine; where that fails for any pair, of each by itself."""
    try:
        return np.asarray(together(regions, others))
    except shapely.GEOSException:
        overlaid = [alone(region, other) for region, other in zip(regions, others, strict=True)]
        return np.array(overlaid, dtype=object)


def cut_to(region: Region, window: Region) -> Region:
    """What of a region lies in the window: its intersection with it, where most pieces lie inside as they are."""
    pieces = shapely.get_parts(region)
    inside = _inside(pieces, window)
    return gather([*pieces[inside], intersection(gather(pieces[~inside]), window)])


def not_inside(region: Region, other: Region) -> Region:
    """The pieces of a region that do not lie wholly inside the other: what a union with it needs of the region."""
    pieces = shapely.get_parts(region)
    return gather(pieces[~_inside(pieces, other)])


def _inside(pieces: Geometries, window: Region) -> Flags:
    inside = np.zeros(len(pieces), dtype=bool)
    # The tree readies the window for this question alone: one that was readied for good must not be shared by threads.
    inside[shapely.STRtree(pieces).query(window, predicate="covers")] = True
    return inside


def cut_where(region: Region, window: Region, outside: Region) -> tuple[Region, Region]:
    """What of a region lies in the window, where it is known what of it may lie outside: the pieces that do not touch
    that, as they are, and what is left of the others."""
    if outside.is_empty:
        return region, EMPTY
    pieces = shapely.get_parts(region)
    touched = np.zeros(len(pieces), dtype=bool)
    # The pieces are readied, not what is outside: many small ones of that may touch one large piece.
    touched[shapely.STRtree(shapely.get_parts(outside)).query(pieces, predicate="intersects")[0]] = True
    return gather(pieces[~touched]), intersection(gather(pieces[touched]), window)


def difference(region: Region, taken: Region) -> Region:
    """What the region covers and the taken one does not."""
    return region if taken.is_empty else _rescued(difference_by_pieces, region, taken)


def _rescued(operation: Callable[..., BaseGeometry], *operands: Region | list[Region]) -> Region:
    """Run an overlay; where floating arithmetic breaks its topology, again, and at last on the rescue grid, which takes
    ten times as long.

    A region that was moved or came out of an overlay may cross itself by the last bit; it is mended before.
    """
    try:
        return polygons_only(operation(*operands))
    except shapely.GEOSException:
        mended = [_mended(operand) for operand in operands]
    try:
        return polygons_only(operation(*mended))
    except shapely.GEOSException:
        return polygons_only(operation(*mended, grid_size=RESCUE_GRID_MM))


def _mended(operand: Region | list[Region]) -> Region | list[Region]:
    if isinstance(operand, list):
        return [repaired(region) for region in operand]
    return repaired(operand)


@remembered
def covered(areas: tuple[Region, ...]) -> Region:
    """What areas with matched edges cover together."""
    return joined_coverage(areas)


def joined_coverage(areas: Sequence[Region]) -> Region:
    """The union of areas with matched edges, by dropping the edges they share: some ten times faster than looking
    for crossings. Areas whose edges do not match make the engine give up or leave an invalid outcome behind, and get
    the plain union."""
    try:
        joined = polygons_only(shapely.coverage_union_all([area for area in areas if not area.is_empty] or [EMPTY]))
    except shapely.GEOSException:
        return union(areas)
    return joined if joined.is_valid else union(areas)


def each_joined(areas: Sequence[Region], pieces: Geometries, owner: Indices) -> list[Region]:
    """Areas with matched edges, each with the pieces that the number of their owner gives it; the others untouched."""
    return [
        joined_coverage([area, *pieces[owner == i]]) if (owner == i).any() else area for i, area in enumerate(areas)
    ]
