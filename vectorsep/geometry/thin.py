"""Where a region is narrower than a width: thin lines, their ends, and necks between wide parts; corners are none."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from vectorsep.geometry.boolean import difference, intersection
from vectorsep.geometry.measure import Strip, edge, strips
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM, ENGINE_SMOOTHING, grow, inset
from vectorsep.geometry.region import gather, polygons, polygons_only
from vectorsep.model import Region

COARSE_MM = 0.004
"""Outlines are thinned out by this much before narrow places are looked for: no mesh shows it, and it saves nine
tenths of the time."""
SPUR = 2.0
"""A point that sticks out of a wide part by less than this many widths is a corner, or as little missed as one. At 2
that is any corner down to 23 degrees."""


def coarsened(area: Region) -> Region:
    """The area with fewer vertices, nowhere off by more than COARSE_MM; for looking, not for plates."""
    return polygons_only(shapely.simplify(area, COARSE_MM))


def narrow_places(area: Region, width_mm: float) -> tuple[Strip, ...]:
    """Pieces of the area that no disc of the width reaches, as strips, longest first.

    A disc of the width, moved about inside the area, misses thin lines and, for being round, the corners of wide
    parts. A missed piece is a corner, and left out, when it hangs on the swept part by one side only and sticks out
    of it by less than SPUR. What is within two hundredths of the width and 4 micrometres of being wide enough, or of
    not being there, is within the engine's error and not told.
    """
    half = width_mm / 2
    slack = half * ENGINE_SMOOTHING + 2 * CHORD_TOLERANCE_MM
    core = inset(area, half)
    swept = grow(core, half + slack)
    missed = polygons(difference(area, swept))
    if not missed:
        return ()
    far = difference(area, grow(core, half + SPUR * width_mm + slack))
    kept = _meets(missed, far) | (_contacts(missed, intersection(grow(swept, slack), area)) > 1)
    return strips(gather(piece for piece, keep in zip(missed, kept, strict=True) if keep), 2 * slack)


def _meets(pieces: list[shapely.Polygon], region: Region) -> NDArray[np.bool_]:
    """Which pieces share a point with the region."""
    meets = np.zeros(len(pieces), dtype=bool)
    meets[shapely.STRtree(pieces).query(shapely.get_parts(region), predicate="intersects")[1]] = True
    return meets


def _contacts(pieces: list[shapely.Polygon], region: Region) -> NDArray[np.int_]:
    """In how many separate stretches the edge of each piece runs along or through the region."""
    inside = shapely.intersection(edge(gather(pieces)), region)
    stretches = shapely.get_parts(shapely.line_merge(inside))
    _, touched = shapely.STRtree(pieces).query(stretches, predicate="intersects")
    return np.bincount(touched, minlength=len(pieces))
