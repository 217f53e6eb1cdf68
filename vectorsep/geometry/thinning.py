"""Fewer vertices for the same outlines, none of which moves by more than a stated tolerance.

Each ring is thinned for itself. Of whole polygons the engine mends without a word what comes to cross, which takes a
hundred times as long; with an eye on all rings it takes three hundred times as long.
"""

from __future__ import annotations

import numpy as np
import shapely

from vectorsep.geometry.arrays import Geometries, Indices
from vectorsep.geometry.region import of_outlines, outlines, polygons_only
from vectorsep.model import Region

COARSE_MM = 0.004
"""Outlines are thinned out by this much before narrow places are looked for: no mesh shows it, and it saves nine
tenths of the time."""
LEAST_RING = 4
"""Points of the smallest ring, a triangle that repeats its first."""


def thinned(area: Region, tolerance_mm: float) -> Region:
    """The same area with as few vertices as the tolerance allows. Pieces and holes that it leaves nothing of vanish."""
    rings, piece, is_hole = outlines(area)
    fewer = shapely.simplify(rings, tolerance_mm, preserve_topology=False)
    lost = shapely.get_num_coordinates(fewer) < LEAST_RING
    left = ~(lost | np.isin(piece, piece[lost & ~is_hole]))
    return _uncrossed(fewer[left], rings[left], piece[left], tolerance_mm)


def coarsened(area: Region) -> Region:
    """The area with fewer vertices, nowhere off by more than COARSE_MM and with all its pieces; for looking, not for
    plates."""
    rings, piece, _ = outlines(area)
    fewer = shapely.simplify(rings, COARSE_MM, preserve_topology=False)
    lost = shapely.get_num_coordinates(fewer) < LEAST_RING
    fewer[lost] = shapely.simplify(rings[lost], COARSE_MM)
    return _uncrossed(fewer, rings, piece, COARSE_MM)


def _uncrossed(fewer: Geometries, rings: Geometries, piece: Indices, tolerance_mm: float) -> Region:
    """The region of some thinned rings. Those that come to cross themselves are thinned with an eye on it, those that
    cross others keep all their points. Where that is not enough, all are thinned with an eye on all."""
    quick = of_outlines(fewer, piece)
    if quick.is_valid:
        return quick
    crossing_itself = ~shapely.is_ring(fewer)
    fewer[crossing_itself] = shapely.simplify(rings[crossing_itself], tolerance_mm)
    one, other = shapely.STRtree(fewer).query(fewer, predicate="intersects")
    crossing = one[one != other]
    fewer[crossing] = rings[crossing]
    quick = of_outlines(fewer, piece)
    return quick if quick.is_valid else polygons_only(shapely.simplify(of_outlines(rings, piece), tolerance_mm))
