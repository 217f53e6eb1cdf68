"""How colours that go by one name are told from each other: by what most of their difference is, as people who judge
shades of dyed cloth do: lighter or darker, purer or duller, redder, yellower, greener or bluer."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from vectorsep.colour import Oklch, oklch_of

UNIQUE_HUES = ((25.0, "redder"), (100.0, "yellower"), (145.0, "greener"), (255.0, "bluer"))
"""Where in Oklab (degrees) the hues lie that look like no mixture of others, to some ten degrees (from memory)."""
NEAR_UNIQUE_DEG = 15.0
"""A hue so near to one of these leans to its neighbours, not to it."""
LEAST_SEEN = 0.02
"""Colours that differ by less than this in Oklab are hardly told apart side by side: the unit was made for a just
noticeable step to be about that (from memory)."""
MOST = 3
"""Of more colours no word tells which is which."""


def comparatives(hexes: Sequence[str]) -> list[str] | None:
    """A word for each of a few sRGB colours that says what it is beside the others, in their order; none ("") for the
    middle one of three. None where they are too many, or too alike."""
    if not 1 < len(hexes) <= MOST:
        return None
    colours = [oklch_of(hex_) for hex_ in hexes]
    axes = (
        ([colour.lightness for colour in colours], "darker", "lighter"),
        ([colour.chroma for colour in colours], "duller", "purer"),
        _along_hues(colours),
    )
    places, lowest, highest = max(axes, key=lambda axis: max(axis[0]) - min(axis[0]))
    if min(high - low for low, high in pairwise(sorted(places))) < LEAST_SEEN:
        return None
    words = {min(places): lowest, max(places): highest}
    return [words.get(place, "") for place in places]


def _along_hues(colours: Sequence[Oklch]) -> tuple[list[float], str, str]:
    """How far each colour lies from the mean hue, at the chroma of the dullest: of greys nobody sees a hue. And what
    the outermost lean to."""
    radians = [math.radians(colour.hue_deg) for colour in colours]
    mean_deg = math.degrees(math.atan2(sum(map(math.sin, radians)), sum(map(math.cos, radians))))
    turned_deg = [(colour.hue_deg - mean_deg + 180) % 360 - 180 for colour in colours]
    chroma = min(colour.chroma for colour in colours)
    places = [2 * chroma * math.sin(math.radians(deg / 2)) for deg in turned_deg]
    return places, _leaning(mean_deg, min(turned_deg)), _leaning(mean_deg, max(turned_deg))


def _leaning(mean_deg: float, turned_deg: float) -> str:
    """The unique hue that a colour leans to which is turned from a mean hue: of those that lie that way the one that
    it is nearest to."""
    way = math.copysign(1.0, turned_deg)
    ahead = [(way * (unique_deg - mean_deg) % 360, word) for unique_deg, word in UNIQUE_HUES]
    return min((abs(deg - abs(turned_deg)), word) for deg, word in ahead if deg > NEAR_UNIQUE_DEG)[1]
