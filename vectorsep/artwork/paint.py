"""Paints: what `fill` and `stroke` say, as a colour or a reference (SVG 2, 13.2; CSS Color 4)."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import tinycss2.color4

_URL = re.compile(r"""url\(\s*+(?:"([^"]*)"|'([^']*)'|([^)"'\s]*+))\s*+\)\s*+(.*)""", re.DOTALL | re.IGNORECASE)
_LEGACY_HSL = re.compile(r"(hsla?\([^,()]+,\s*)([0-9]+(?:\.[0-9]+)?)%", re.IGNORECASE)

OPAQUE = 1 - 0.5 / 255
"""Opacities from here on paint like 1 in eight bits a channel."""
INVISIBLE = 0.5 / 255
"""Opacities up to here paint nothing in eight bits a channel."""
OUT_OF_GAMUT = 1e-4
"""So far past 0 and 1 linear light is rounding: pure colours written with a few decimals come out there."""
_D50_TO_D65 = (
    (0.955473421488075, -0.02309845494876471, 0.06325924320057072),
    (-0.0283697093338637, 1.0099953980813041, 0.021041441191917323),
    (0.012314014864481998, -0.020507649298898964, 1.330365926242124),
)
_XYZ_TO_LINEAR = (
    (12831 / 3959, -329 / 214, -1974 / 3959),
    (-851781 / 878810, 1648619 / 878810, 36519 / 878810),
    (705 / 12673, -2585 / 12673, 705 / 667),
)
"""Bradford's change of white, and XYZ to linear sRGB (CSS Color 4, 18, from memory; held against a browser)."""


@dataclass(frozen=True, slots=True)
class Solid:
    """One colour: `hex` as #rrggbb, `alpha` 0 to 1."""

    hex: str
    alpha: float = 1.0


@dataclass(frozen=True, slots=True)
class Reference:
    """A paint server: what its url() names, and the fallback written after it."""

    target: str
    fallback: str


def parse_reference(text: str) -> Reference | None:
    """Read `url(...)` with an optional fallback, or None where the text is something else."""
    match = _URL.fullmatch(text.strip())
    if match is None:
        return None
    target = next((group for group in match.groups()[:3] if group is not None), "")
    return Reference(target.strip(), match[4].strip())


@lru_cache(maxsize=4096)
def parse_colour(text: str) -> Solid | None:
    """Read a CSS Color 4 colour, or None where the text is no colour. `currentColor` is the caller's business."""
    try:
        colour = tinycss2.color4.parse_color(_LEGACY_HSL.sub(_clamped, text))
        if colour is None or colour == "currentcolor":
            return None
        red, green, blue = _srgb(colour)
    except (ValueError, NotImplementedError, ZeroDivisionError, OverflowError):
        return None
    if not all(math.isfinite(value) for value in (red, green, blue, colour.alpha)):
        return None
    channels = [min(255, max(0, round_half_up(value * 255))) for value in (red, green, blue)]
    return Solid("#" + "".join(f"{channel:02x}" for channel in channels), float(colour.alpha))


def _srgb(colour: tinycss2.color4.Color) -> list[float]:
    """Red, green and blue, 0 to 1 where a screen shows them (CSS Color 4, 10 and 18).

    Raises NotImplementedError for colours given by other spaces than sRGB, Lab and Oklab, and ValueError for those by
    the latter two that sRGB does not hold: what they become there is up to the viewer.
    """
    if colour.space in ("lch", "oklch") and (colour.coordinates[1] or 0.0) < 0:
        raise ValueError("of a negative chroma, which browsers take for none")
    if colour.space in ("oklab", "oklch"):
        xyz = colour.to("xyz-d65").coordinates
    elif colour.space in ("lab", "lch"):
        xyz = _times(_D50_TO_D65, colour.to("xyz-d50").coordinates)
    else:
        return [value or 0.0 for value in colour.to("srgb").coordinates]
    linear = _times(_XYZ_TO_LINEAR, xyz)
    if not all(-OUT_OF_GAMUT < value < 1 + OUT_OF_GAMUT for value in linear):
        raise ValueError("outside of what sRGB holds")
    return [12.92 * value if value <= 0.0031308 else 1.055 * value ** (1 / 2.4) - 0.055 for value in linear]


def _times(matrix: Sequence[Sequence[float]], vector: Sequence[float]) -> list[float]:
    return [sum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix]


def _clamped(match: re.Match[str]) -> str:
    """A saturation over 100 % in the comma syntax counts as 100 % (CSS Color 3, 4.2.4)."""
    return f"{match[1]}{min(100.0, float(match[2]))}%"


def round_half_up(value: float) -> int:
    """The nearest whole number, halves going up, as browsers round colour channels."""
    return int(value + 0.5) if value >= 0 else 0
