"""Clean-up of what nobody drew: ink that peeps out by a rounding, as a backing does under a colour of its size."""

from __future__ import annotations

from collections.abc import Mapping

from vectorsep.geometry.boolean import HAIRLINE_MM
from vectorsep.geometry.region import inner_point
from vectorsep.geometry.rims import without_rims
from vectorsep.model import Notice, Region
from vectorsep.units import format_mm, format_mm2

TOLD_MM2 = 0.01
"""Less than half a millimetre of a hairline is no line that somebody drew, but tips of what is pointed."""


def close_rims(areas: Mapping[str, Region]) -> tuple[dict[str, Region], tuple[Notice, ...]]:
    """Give ink narrower than a hairline to the ink that it runs along. No mesh prints it, but a screen would be made
    for it, white choked along it, and traps grown from it.

    The areas (mm) have matched edges before and after; colours of which nothing is left are left out. A notice tells
    how much was given.
    """
    after, given = without_rims(list(areas.values()))
    closed = {hex_: area for hex_, area in zip(areas, after, strict=True) if not area.is_empty}
    if given.area < TOLD_MM2:
        return closed, ()
    size, width = format_mm2(given.area), format_mm(HAIRLINE_MM)
    message = f"{size} of ink narrower than {width}, which no mesh prints, goes to the ink that it runs along"
    return closed, (Notice("hairline-ink", message, at_mm=inner_point(given)),)
