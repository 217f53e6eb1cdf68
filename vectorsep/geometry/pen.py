"""What a round pen covers along polylines."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from vectorsep.geometry.offset import grow_lines
from vectorsep.model import Region


def pen_strokes(polylines: Sequence[NDArray[np.float64]], width_mm: float) -> Region:
    """The area within half the width of any of the polylines, each an (n, 2) array in mm."""
    return grow_lines(shapely.MultiLineString([shapely.LineString(points) for points in polylines]), width_mm / 2)
