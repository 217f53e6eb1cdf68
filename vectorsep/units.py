"""Lengths are converted here, once, at the edges of the program; inside, everything is millimetres."""

from __future__ import annotations

import math
import re

from vectorsep.errors import VectorsepError

MM_PER_INCH = 25.4
MM_PER_UNIT = {
    "mm": 1.0,
    "cm": 10.0,
    "in": MM_PER_INCH,
    "pt": MM_PER_INCH / 72,
    "pc": MM_PER_INCH / 6,
    "px": MM_PER_INCH / 96,
    "q": 0.25,
}
"""Absolute CSS units (CSS Values and Units 3, section 6.2), keyed in lower case."""

LEAST_TOLD_MM2 = 0.01
"""A square of a tenth of a millimetre: smaller areas say nothing to a printer, and no screen holds them."""
LEAST_SEEN_MM2 = 0.1
"""A spot of a third of a millimetre: less white, blocker or bare cloth than this is not found by eye on a print (from
memory)."""

NUMBER = r"(?>[+-]?(?:[0-9]++\.?[0-9]*+|\.[0-9]++)(?:[eE][+-]?[0-9]++)?)"
"""A number as SVG and CSS write it (CSS Syntax 3, 4.3.12), with the dot at its end that SVG 1.1 allowed."""
_DIMENSION = re.compile(rf"\s*+({NUMBER})\s*+([a-zA-Z]++|%)?\s*+")


class LengthError(VectorsepError):
    """A text that is no length."""


def parse_length_mm(value: object) -> float:
    """Read a length such as `0.4`, `"0.4mm"`, `"1pt"` or `"0.01in"` and return millimetres.

    A bare number is millimetres. Raises LengthError when it is no finite length in a known unit.
    """
    if isinstance(value, int | float) and not isinstance(value, bool):
        number, unit = _as_float(value), "mm"
    else:
        dimension = split_dimension(value) if isinstance(value, str) else None
        if dimension is None:
            raise LengthError(f"{value!r} is no length: write a number and a unit, such as 0.4mm, 1pt or 0.01in")
        number, unit = dimension[0], dimension[1] or "mm"
    if unit not in MM_PER_UNIT:
        raise LengthError(f"{value!r} has an unknown unit: use mm, cm, in, pt, pc, px or Q")
    if not math.isfinite(number):
        raise LengthError(f"{number:g} is not a finite length")
    return number * MM_PER_UNIT[unit]


def split_dimension(text: str) -> tuple[float, str] | None:
    """A number, finite or not, and its unit in lower case: empty for none, `%` for a share. None for anything else."""
    match = _DIMENSION.fullmatch(text)
    return None if match is None else (float(match[1]), (match[2] or "").lower())


def _as_float(number: float) -> float:
    """The number as a float; infinite where it is a whole number too large for one."""
    try:
        return float(number)
    except OverflowError:
        return math.inf


def format_mm(length_mm: float) -> str:
    """Write a length for people, with its unit: `0.25 mm`."""
    return f"{length_mm:.3f}".rstrip("0").rstrip(".") + " mm"


def format_mm2(area_mm2: float) -> str:
    """Write an area for people, with its unit, to three digits, `0.25 mm²`, and from 100 on whole, `1240 mm²`."""
    if area_mm2 < LEAST_TOLD_MM2:
        return f"less than {LEAST_TOLD_MM2} mm²"
    return (f"{float(f'{area_mm2:.3g}'):g}" if area_mm2 < 100 else f"{area_mm2:.0f}") + " mm²"


def format_share(share: float, decimals: int = 0) -> str:
    """Write a share for people, in per cent: `25 %`."""
    return f"{100 * share:.{decimals}f} %"


def counted(count: int, one: str, many: str | None = None) -> str:
    """A number and its noun: `1 screen`, `2 screens`; `many` where the plural takes more than an s."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def floored(length_mm: float, decimals: int = 4) -> float:
    """A measured distance rounded down, to whole tenths of a micrometre: what is told never overstates a clearance."""
    return math.floor(length_mm * 10.0**decimals) / 10.0**decimals
