"""What a colour is called: a hue word and, where it takes one, a modifier, by its place in Oklab.

The words are those of the ISCC-NBS system (K. L. Kelly, D. B. Judd, "Color: Universal Language and Dictionary of
Names", National Bureau of Standards Special Publication 440, 1976), made so that trade and science mean the same by a
word, and no maker's names; `off-white`, for its whites with a tint or a shade, is the trade's. Greenish yellow goes
with yellow here and yellowish green with green. The bounds were set so that nine in ten of its blocks keep their hue,
and so do the primaries of sRGB, which are purer than any of them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from vectorsep.colour import Oklch, is_plain_white, oklch_of

GREY_CHROMA = 0.021
"""Less chroma is grey, or black or white."""
WHITE_LIGHTNESS, WHITE_CHROMA = 0.915, 0.03
"""So light, and no more colourful than this, is a white: ISCC-NBS has pinkish, yellowish, bluish white. Only what
prints with the white is called so, the others are off-white."""
DULL_CHROMA = 0.05
"""Less chroma is pale or greyish."""
FULL_CHROMA = 0.09
"""More chroma is deep where less is dark."""
BRIGHT_CHROMA = 0.115
"""More chroma is bright where less is light."""
FAR_LIGHTER, FAR_DARKER = 0.12, 0.1
"""A colour that much lighter or darker than is usual for its hue gets a modifier."""


@dataclass(frozen=True, slots=True)
class Kind:
    """A hue word, and the lightness (Oklab, 0 to 1) at which it goes without a modifier."""

    word: str
    usual: float


@dataclass(frozen=True, slots=True)
class Band:
    """Hues from an angle (degrees) on: what they are called, and what some of them are called instead."""

    from_deg: float
    kind: Kind
    instead: tuple[tuple[Kind, Callable[[Oklch], bool]], ...] = ()


PINK = Kind("pink", 0.73), lambda c: c.lightness > 0.665
PURPLISH_PINK = Kind("purplish pink", 0.73), lambda c: c.lightness > 0.665
YELLOWISH_PINK = (
    Kind("yellowish pink", 0.73),
    lambda c: c.lightness > 0.72 or (c.lightness > 0.66 and c.chroma < 0.135),
)
REDDISH_BROWN = (
    Kind("reddish brown", 0.45),
    lambda c: c.lightness < 0.485 or (c.lightness < 0.66 and c.chroma < 0.075),
)
BROWN = Kind("brown", 0.45), lambda c: c.lightness < 0.57 or (c.lightness < 0.7 and c.chroma < 0.08)
YELLOWISH_BROWN = (
    Kind("yellowish brown", 0.52),
    lambda c: c.lightness < 0.6 or (c.lightness < 0.8 and c.chroma < 0.085),
)
OLIVE_BROWN = Kind("olive brown", 0.48), lambda c: c.lightness < 0.615
OLIVE = Kind("olive", 0.48), lambda c: c.lightness < 0.63
OLIVE_GREEN = Kind("olive green", 0.42), lambda c: c.lightness < 0.475

BANDS = (
    Band(0.0, Kind("purplish red", 0.55), (PURPLISH_PINK,)),
    Band(8.0, Kind("red", 0.55), (PINK,)),
    Band(30.5, Kind("reddish orange", 0.62), (YELLOWISH_PINK, REDDISH_BROWN)),
    Band(47.0, Kind("orange", 0.72), (BROWN,)),
    Band(61.5, Kind("orange", 0.72), (YELLOWISH_BROWN,)),
    Band(72.0, Kind("orange yellow", 0.77), (YELLOWISH_BROWN,)),
    Band(82.0, Kind("yellow", 0.86), (OLIVE_BROWN,)),
    Band(98.0, Kind("yellow", 0.86), (OLIVE,)),
    Band(112.0, Kind("yellow green", 0.68), (OLIVE_GREEN,)),
    Band(136.0, Kind("green", 0.54)),
    Band(176.0, Kind("bluish green", 0.56)),
    Band(205.0, Kind("greenish blue", 0.56)),
    Band(232.0, Kind("blue", 0.52)),
    Band(270.5, Kind("purplish blue", 0.48)),
    Band(286.0, Kind("violet", 0.5)),
    Band(308.0, Kind("purple", 0.54)),
    Band(330.0, Kind("reddish purple", 0.54)),
    Band(343.0, Kind("purplish red", 0.55), (PURPLISH_PINK,)),
)


def colour_name(hex_colour: str) -> str:
    """Name an sRGB colour written `#rrggbb`, in one to three words: `orange`, `deep blue`, `dark greyish red`."""
    colour = oklch_of(hex_colour)
    if colour.lightness > WHITE_LIGHTNESS and colour.chroma < WHITE_CHROMA:
        return "white" if is_plain_white(hex_colour) else "off-white"
    if colour.chroma < GREY_CHROMA:
        return _grey(colour.lightness)
    kind = _kind(colour)
    return f"{_modifier(colour, kind.usual)} {kind.word}".lstrip()


def _grey(lightness: float) -> str:
    if lightness < 0.275:
        return "black"
    return "dark grey" if lightness < 0.5 else "light grey" if lightness > 0.72 else "grey"


def _kind(colour: Oklch) -> Kind:
    band = next(band for band in reversed(BANDS) if band.from_deg <= colour.hue_deg)
    return next((kind for kind, fits in band.instead if fits(colour)), band.kind)


def _modifier(colour: Oklch, usual: float) -> str:
    lighter, darker = colour.lightness > usual + FAR_LIGHTER, colour.lightness < usual - FAR_DARKER
    if colour.chroma < DULL_CHROMA:
        return "pale" if lighter else "dark greyish" if darker else "greyish"
    if lighter:
        return "bright" if colour.chroma > BRIGHT_CHROMA else "light"
    if darker:
        return "deep" if colour.chroma > FULL_CHROMA else "dark"
    return ""
