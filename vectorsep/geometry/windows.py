"""Windows around places: the part of the plane that is worth looking at, as squares of a lattice."""

from __future__ import annotations

import numpy as np
import shapely

from vectorsep.geometry.arrays import Floats, ranges
from vectorsep.geometry.region import EMPTY, polygons_only
from vectorsep.model import Region


def windows_around(boxes: Floats, room_mm: float) -> Region:
    """All within the room of any box (rows of left, top, right, bottom) and at most one room more, in squares.
    Empty without boxes."""
    if not len(boxes):
        return EMPTY
    lows = np.floor(boxes[:, :2] / room_mm).astype(int) - 1
    highs = np.floor(boxes[:, 2:] / room_mm).astype(int) + 2
    sizes = highs - lows
    counts = sizes.prod(axis=1)
    span, nth = ranges(np.zeros_like(counts), counts)
    across, origin = sizes[span, 0], lows.min(axis=0)
    column, row = (lows[span] - origin + np.stack([nth % across, nth // across], axis=1)).T
    rows = int(row.max()) + 1
    squares = origin + np.stack(np.divmod(np.unique(column * rows + row), rows), axis=1)
    corners = np.hstack([squares, squares + 1]) * room_mm
    return polygons_only(shapely.coverage_union_all(shapely.box(*corners.T)))
