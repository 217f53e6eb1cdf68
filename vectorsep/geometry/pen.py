"""What a round pen covers along polylines."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from vectorsep.geometry.arrays import Floats
from vectorsep.geometry.offset import grow_lines
from vectorsep.model import Region


def pen_strokes(polylines: Sequence[Floats], width_mm: float) -> Region:
    """The area within half the width of any of the polylines, each an (n, 2) array in mm."""
    return grow_lines(shapely.MultiLineString([shapely.LineString(points) for points in polylines]), width_mm / 2)
