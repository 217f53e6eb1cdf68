"""Paints: what `fill` and `stroke` say, as a colour or a reference (SVG 2, 13.2; CSS Color 4)."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache

import tinycss2.color4

_URL = re.compile(r"""url\(\s*+(?:"([^"]*)"|'([^']*)'|([^)"'\s]*+))\s*+\)\s*+(.*)""", re.DOTALL | re.IGNORECASE)
_LEGACY_HSL = re.compile(r"(hsla?\([^,()]+,\s*)([0-9]+(?:\.[0-9]+)?)%", re.IGNORECASE)


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
        colour = colour.to("srgb")
    except (ValueError, NotImplementedError, ZeroDivisionError, OverflowError):
        return None
    if not all(math.isfinite(value or 0.0) for value in (*colour.coordinates, colour.alpha)):
        return None
    channels = [min(255, max(0, round_half_up((value or 0.0) * 255))) for value in colour.coordinates]
    return Solid("#" + "".join(f"{channel:02x}" for channel in channels), float(colour.alpha))


def _clamped(match: re.Match[str]) -> str:
    """A saturation over 100 % in the comma syntax counts as 100 % (CSS Color 3, 4.2.4)."""
    return f"{match[1]}{min(100.0, float(match[2]))}%"


def round_half_up(value: float) -> int:
    """The nearest whole number, halves going up, as browsers round colour channels."""
    return int(value + 0.5) if value >= 0 else 0
