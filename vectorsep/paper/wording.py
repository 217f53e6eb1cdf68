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


def css_text(text: str) -> str:
    """A text for a CSS string: what is no letter or figure of ASCII as its code, so that nothing ends it."""
    return "".join(c if c.isascii() and c.isalnum() else f"\\{ord(c):x} " for c in shown_name(text))


def short_lines(text: str, letters: int, most: int = 2) -> list[str]:
    """A name broken into lines of so many letters, for a drawing; what exceeds the lines is left out of its middle."""
    lengths = range(len(text), 0, -1)
    tries = (textwrap.wrap(shortened(text, length), letters, break_on_hyphens=False) for length in lengths)
    return next((lines for lines in tries if len(lines) <= most), [])


def shortened(text: str, letters: int) -> str:
    """A text of so many letters at most. It loses its middle, an ellipsis showing where: names differ at their ends."""
    if len(text) <= letters:
        return text
    kept = max(0, letters - 1)
    tail = kept // 2
    return f"{text[: kept - tail].rstrip()}…{text[len(text) - tail :].lstrip()}" if letters > 0 else ""
