"""Telling true areas from the slivers that rounding leaves between and beside shapes with a common edge."""

from __future__ import annotations

import shapely

from vectorsep.geometry.boolean import differences
from vectorsep.geometry.offset import grown_each, inset_each
from vectorsep.geometry.region import gather, polygons, polygons_only
from vectorsep.model import Region

CORNER = 3.0
"""What reaches no more than so many widths out of where there is width is a corner, of down to 20 degrees."""
SPARED = 4.0
"""A strip of the length l and the width s spares l (w - s) of what an inset by w / 2 takes: so many w² where one of
10 widths is three fifths as wide."""


def without_slivers(area: Region, width_mm: float) -> Region:
    """Drop the pieces narrower than the width on average: 2 area / perimeter, exact for long strips."""
    return gather(piece for piece in polygons(area) if 2 * shapely.area(piece) >= width_mm * shapely.length(piece))


def slivers_of(area: Region, width_mm: float) -> Region:
    """What of an area is narrower than the width and longer than some ten of it, be it a piece of its own or hang on a
    wide one; corners are none.

    An inset takes half its distance times twice the length of each strip that vanishes in it: more than there is. So
    pieces that lose what their outline says have no strips, and most need no second look.
    """
    pieces, half_mm = shapely.get_parts(area), width_mm / 2
    wide = inset_each(pieces, half_mm)
    spared_mm2 = shapely.area(wide) - shapely.area(pieces) + half_mm * shapely.length(pieces)
    doubtful = spared_mm2 > SPARED * width_mm**2
    slivers = differences(pieces[doubtful], grown_each(wide[doubtful], CORNER * width_mm))
    return gather(polygons_only(sliver) for sliver in slivers[~shapely.is_empty(slivers)])
