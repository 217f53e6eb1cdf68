"""How the report's pages write numbers and names: one way for each, so that no two figures of a page disagree."""

from __future__ import annotations

import textwrap
import unicodedata

from vectorsep.units import floored


def told_mm(distance_mm: float) -> str:
    """A measured distance in mm to the micrometre, rounded down: `1.173`. No page overstates a clearance."""
    return f"{floored(distance_mm, decimals=3):.3f}"


def shown_name(text: str) -> str:
    """A name for the page: what would be invisible or turn the text around shows as a replacement character."""
    return "".join("\ufffd" if unicodedata.category(character)[0] == "C" else character for character in text)


def short_lines(text: str, letters: int, most: int = 2) -> list[str]:
    """A name broken into lines of so many letters, for a drawing; what exceeds the lines ends in an ellipsis."""
    return textwrap.wrap(text, letters, max_lines=most, placeholder="…")
