"""Painter's order: what stays visible of each region under all those painted after it.

The page is cut into tiles along all edges that can be seen, once, and every tile goes to the topmost region on it.
Neighbours therefore share exact edges from the start.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from vectorsep.geometry.arrays import Flags, Floats, Geometries, Indices
from vectorsep.geometry.boolean import HAIRLINE_MM
from vectorsep.geometry.cover import NOTHING
from vectorsep.geometry.offset import UNEVEN_MM
from vectorsep.geometry.region import EMPTY, GRID_MM
from vectorsep.geometry.tiles import NOISE_MM, Tiles, tiles_of
from vectorsep.model import Region

DUST_MM = 2 * GRID_MM
"""Visible art narrower than this is what rounding leaves between edges meant to be one."""
RIPE_SHARE = 0.25
"""Dust is settled once it borders on so much that is settled, as a share of what else of dust it borders on."""


def visible_parts(painted: Sequence[Region]) -> list[Region]:
    """For regions in painter's order, lowest first: the visible part of each, in the same order (mm)."""
    regions, inked = _inked(painted)
    parts = [EMPTY] * len(regions)
    if len(inked):
        tiles = tiles_of(regions[inked])
        for index, part in zip(inked, tiles.joined(tiles.owner, len(inked)), strict=True):
            parts[index] = part
    return parts


def visible_of_kinds(
    painted: Sequence[Region],
    kinds: Sequence[int],
    count: int,
    *,
    noise_mm: float = NOISE_MM,
    gap_mm: float = HAIRLINE_MM,
    rescue: bool = True,
) -> list[Region]:
    """What stays visible of each kind of region, 0 .. count - 1, painted in this order (mm).

    `kinds` has one number a region. The areas are disjoint and share exact edges. Neighbours take in art narrower
    than DUST_MM, and bare cloth that they enclose if it is narrower than `gap_mm`. Corners move by `noise_mm` at most:
    regions with matched edges need none, and where others that they match are not painted along, no `rescue` of the
    engine by a grid either. Raises Untiled.
    """
    regions, inked = _inked(painted)
    if not len(inked):
        return [EMPTY] * count
    tiles = tiles_of(regions[inked], noise_mm, rescue=rescue)
    kind_of = np.append(np.asarray(kinds)[inked], NOTHING)  # NOTHING is also the index of the last entry
    return tiles.joined(_without_dust(tiles, kind_of[tiles.owner], gap_mm), count)


def _inked(painted: Sequence[Region]) -> tuple[Geometries, Indices]:
    """The regions as an array, and which of them cover anything."""
    regions: Geometries = np.empty(len(painted), dtype=object)
    regions[:] = painted
    return regions, np.flatnonzero(~shapely.is_empty(regions))


def _without_dust(tiles: Tiles, kinds: Indices, gap_mm: float) -> Indices:
    """The kind of each tile, where tiles too narrow to be meant take the kind they share the longest border with.

    Dust may lie among dust: it is settled from its rim inwards, and first what borders on more than a little that is
    settled, or a line between two others of dust would go to what it touches at its ends. What borders on no art at all
    becomes bare cloth.
    """
    dust = _narrower(tiles.polygons, np.where(kinds == NOTHING, gap_mm, DUST_MM))
    kinds = kinds.copy()
    kinds[dust] = NOTHING
    inner = np.append(tiles.borders.one, tiles.borders.other)
    outer = np.append(tiles.borders.other, tiles.borders.one)
    length_mm = np.tile(tiles.borders.length_mm, 2)
    while dust.any():
        rim = dust[inner] & (kinds[outer] != NOTHING)
        if not rim.any():
            break
        known_mm, unknown_mm = (
            np.bincount(inner[on], length_mm[on], len(kinds)) for on in (rim, dust[inner] & dust[outer])
        )
        ripe = (known_mm >= RIPE_SHARE * unknown_mm)[inner]
        if (rim & ripe).any():
            rim &= ripe
        settled, kind = _longest(inner[rim], kinds[outer[rim]], length_mm[rim])
        kinds[settled] = kind
        dust[settled] = False
    return kinds


def _narrower(polygons: Geometries, width_mm: Floats) -> Flags:
    """Which polygons are nowhere as wide as that. All of such a polygon lies within half the width of its outline,
    so that its area is at most outline times half width: the others need no exact look."""
    narrow = np.asarray(2 * shapely.area(polygons) <= width_mm * shapely.length(polygons))
    narrow[narrow] = shapely.is_empty(shapely.buffer(polygons[narrow], UNEVEN_MM - width_mm[narrow] / 2, quad_segs=2))
    return narrow


def _longest(tile: Indices, kind: Indices, length_mm: Floats) -> tuple[Indices, Indices]:
    """For each tile the kind with the greatest length in total; the first one of equals."""
    pairs, at = np.unique(np.stack([tile, kind]), axis=1, return_inverse=True)
    total_mm = np.bincount(at.ravel(), weights=length_mm)
    order = np.lexsort((-pairs[1], total_mm, pairs[0]))
    last = np.append(np.diff(pairs[0][order]) != 0, True)
    return pairs[0][order][last], pairs[1][order][last]
