"""Telling true areas from the slivers that rounding leaves between shapes with a common edge."""

from __future__ import annotations

import shapely

from vectorsep.geometry.region import gather, polygons
from vectorsep.model import Region


def without_slivers(area: Region, width_mm: float) -> Region:
    """Drop the pieces narrower than the width on average: 2 area / perimeter, exact for long strips."""
    return gather(piece for piece in polygons(area) if 2 * shapely.area(piece) >= width_mm * shapely.length(piece))
