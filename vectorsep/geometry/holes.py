"""Holes of a region that are too small to print."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from vectorsep.geometry.cover import Flags
from vectorsep.geometry.region import gather, outlines
from vectorsep.model import Region

COVERED_SHARE = 0.999
"""Regions that cover this share of a hole cover it, but for rounding at its edge."""


def without_pinholes(region: Region, below_mm2: float, hidden: Sequence[Region]) -> Region:
    """Fill the holes smaller than so much (mm2) that lie under the hidden regions, which are disjoint. No piece of the
    region may lie in such a hole."""
    rings, piece, is_hole = outlines(region)
    filled = np.flatnonzero(is_hole & (shapely.area(shapely.polygons(rings)) < below_mm2))
    filled = filled[_covered(np.asarray(shapely.polygons(rings[filled])), hidden)]
    if not len(filled):
        return region
    left = np.delete(np.arange(len(rings)), filled)
    return gather(np.asarray(shapely.polygons(rings[left], indices=piece[left])))


def _covered(polygons: NDArray[np.object_], regions: Sequence[Region]) -> Flags:
    """Which polygons lie under disjoint regions."""
    parts = shapely.get_parts(list(regions))
    polygon, part = shapely.STRtree(parts).query(polygons, predicate="intersects")
    shared_mm2 = shapely.area(shapely.intersection(polygons[polygon], parts[part]))
    covered: Flags = np.bincount(polygon, shared_mm2, len(polygons)) >= COVERED_SHARE * shapely.area(polygons)
    return covered
