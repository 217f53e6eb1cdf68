"""Overlays of many pieces with many: each piece with those alone that it may meet.

The engine's overlay of two whole regions pays for every vertex of both. Among letters, or lines beside gaps, most
pieces meet a few small ones: these are overlaid pair by pair, and what meets nothing is not overlaid at all.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import shapely

from vectorsep.geometry.region import gather, polygons_only
from vectorsep.model import Region

MANY = 16
"""Fewer pieces to meet than this are not worth looking for."""
LIGHT_LOAD = 8
"""Pieces are overlaid alone with at most so many times their own vertices: a large piece that many small ones meet
would be gone through for each of them, and is overlaid once with them all instead."""


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
    partners = shapely.multipolygons(others[met[mine]], indices=(np.cumsum(alone) - 1)[piece[mine]])
    crowding = others[np.unique(met[crowd[piece]])]
    return gather(
        [
            *(pieces[load == 0] if left_out else ()),
            *map(polygons_only, operation(pieces[alone], partners, **options)),
            polygons_only(operation(gather(pieces[crowd]), gather(crowding), **options)),
        ]
    )
