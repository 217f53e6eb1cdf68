"""Colours as styles write them, brought to sRGB (CSS Color 4)."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import tinycss2.color4

_BARE_HSL = re.compile(r"\s*hsla?\([^,()]+,(?:[^,()]+,)?\s*[-+.0-9e]+\s*[,)]", re.IGNORECASE)
"""Saturation or lightness without a percent sign, which is no colour among commas (CSS Color 4, 7)."""
_LEGACY_HSL = re.compile(r"(hsla?\([^,()]+,\s*)([0-9]+(?:\.[0-9]+)?)%", re.IGNORECASE)

OPAQUE = 1 - 0.5 / 255
"""Opacities from here on paint like 1 in eight bits a channel."""
NEARLY_OPAQUE = 0.9895
"""Opacities from here on are a slip of a slider, or 254 of 255: what lies below moves no channel by more than 3 of 255,
and nobody would mix an ink for that."""
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
_P3_TO_XYZ = (
    (608311 / 1250200, 189793 / 714400, 198249 / 1000160),
    (35783 / 156275, 247089 / 357200, 198249 / 2500400),
    (0.0, 32229 / 714400, 5220557 / 5000800),
)
"""Linear Display P3 to XYZ (the same, from memory; held against a browser)."""


@dataclass(frozen=True, slots=True)
class Solid:
    """One colour: `hex` as #rrggbb, `alpha` 0 to 1."""

    hex: str
    alpha: float = 1.0


@lru_cache(maxsize=4096)
def parse_colour(text: str) -> Solid | None:
    """Read a CSS Color 4 colour, or None where the text is no colour. `currentColor` is the caller's business."""
    try:
        colour = tinycss2.color4.parse_color(_LEGACY_HSL.sub(_clamped, text))
        if colour is None or colour == "currentcolor" or _BARE_HSL.match(text):
            return None
        red, green, blue = _srgb(colour, is_bounded=not text.lstrip().lower().startswith("color("))
    except (ValueError, NotImplementedError, ZeroDivisionError, OverflowError):
        return None
    if not all(math.isfinite(value) for value in (red, green, blue, colour.alpha)):
        return None
    channels = [min(255, max(0, round_half_up(value * 255))) for value in (red, green, blue)]
    return Solid("#" + "".join(f"{channel:02x}" for channel in channels), float(colour.alpha))


def is_colour(text: str) -> bool:
    """Whether the text is written as a colour, of whatever space."""
    try:
        return tinycss2.color4.parse_color(text) is not None and not _BARE_HSL.match(text)
    except (ValueError, NotImplementedError, ZeroDivisionError, OverflowError):
        return False


def is_beyond_srgb(text: str) -> bool:
    """Whether the text is a colour that cannot be had here, though a screen may show it."""
    return "(" in text and parse_colour(text) is None and is_colour(text)


def _srgb(colour: tinycss2.color4.Color, *, is_bounded: bool) -> list[float]:
    """Red, green and blue, 0 to 1 where a screen shows them (CSS Color 4, 10 and 18).

    Raises ValueError for colours that sRGB does not hold, what they become there being up to the viewer; older
    notations of sRGB are bounded, and brought into it. Raises NotImplementedError for spaces that are not read.
    """
    if colour.space in ("lch", "oklch") and (colour.coordinates[1] or 0.0) < 0:
        raise ValueError("of a negative chroma, which browsers take for none")
    if colour.space in _LINEAR:
        return [_encoded(_held(value)) for value in _LINEAR[colour.space](colour)]
    plain = [value or 0.0 for value in colour.to("srgb").coordinates]
    return plain if is_bounded else list(map(_held, plain))


def _held(value: float) -> float:
    if not -OUT_OF_GAMUT < value < 1 + OUT_OF_GAMUT:
        raise ValueError("outside of what sRGB holds")
    return value


def _plainly(colour: tinycss2.color4.Color) -> list[float]:
    return [value or 0.0 for value in colour.coordinates]


def _from_d65(colour: tinycss2.color4.Color) -> list[float]:
    xyz = _plainly(colour) if colour.space == "xyz-d65" else colour.to("xyz-d65").coordinates
    return _times(_XYZ_TO_LINEAR, xyz)


def _from_d50(colour: tinycss2.color4.Color) -> list[float]:
    xyz = _plainly(colour) if colour.space == "xyz-d50" else colour.to("xyz-d50").coordinates
    return _times(_XYZ_TO_LINEAR, _times(_D50_TO_D65, xyz))


def _from_p3(colour: tinycss2.color4.Color) -> list[float]:
    return _times(_XYZ_TO_LINEAR, _times(_P3_TO_XYZ, list(map(_decoded, _plainly(colour)))))


_LINEAR: dict[str, Callable[[tinycss2.color4.Color], list[float]]] = {
    "display-p3": _from_p3,
    "lab": _from_d50,
    "lch": _from_d50,
    "oklab": _from_d65,
    "oklch": _from_d65,
    "srgb-linear": _plainly,
    "xyz-d50": _from_d50,
    "xyz-d65": _from_d65,
}
"""From a colour to linear sRGB, by its space."""


def _encoded(value: float) -> float:
    """From linear light to sRGB."""
    return 12.92 * value if value <= 0.0031308 else 1.055 * value ** (1 / 2.4) - 0.055


def _decoded(value: float) -> float:
    """From sRGB, or Display P3, to linear light (CSS Color 4, 10.4: it has the same curve), on both sides of zero."""
    size = abs(value)
    return math.copysign(size / 12.92 if size <= 0.04045 else ((size + 0.055) / 1.055) ** 2.4, value)


def _times(matrix: Sequence[Sequence[float]], vector: Sequence[float]) -> list[float]:
    return [sum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix]


def _clamped(match: re.Match[str]) -> str:
    """A saturation over 100 % in the comma syntax counts as 100 % (CSS Color 3, 4.2.4)."""
    return f"{match[1]}{min(100.0, float(match[2]))}%"


def round_half_up(value: float) -> int:
    """The nearest whole number, halves going up, as browsers round colour channels."""
    return int(value + 0.5) if value >= 0 else 0
