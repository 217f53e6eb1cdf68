"""How the report's pages write numbers and names: one way for each, so that no two figures of a page disagree."""

from __future__ import annotations

import math
import re
import unicodedata

from vectorsep.units import floored

LEAST_CM3 = 0.001
"""Less ink than this on a print is told as that."""
_NUMBER = re.compile(r"\d+(?:[.,]\d+)*")
_NUMBER_OR_SIGN = re.compile(rf"{_NUMBER.pattern}|.")


def told_mm(distance_mm: float) -> str:
    """A measured distance in mm to the micrometre, rounded down: `1.173`. No page overstates a clearance."""
    return f"{floored(distance_mm, decimals=3):.3f}"


def told_cm3(volume_cm3: float) -> str:
    """A volume of ink in cm3 to two digits, no finer than thousandths: its transfer share is known to no more."""
    if volume_cm3 < LEAST_CM3:
        return f"under {LEAST_CM3:g}"
    rounded = float(f"{volume_cm3:.2g}")
    decimals = min(3, max(0, 1 - math.floor(math.log10(rounded))))
    return f"{rounded:.{decimals}f}"


def told_cm2(area_mm2: float) -> str:
    """A plate's area in cm2 to a tenth; what would read as none, of a screen that prints some, as under that."""
    told = f"{area_mm2 / 100:.1f}"
    return told if float(told) else "under 0.1"


def shown_name(text: str) -> str:
    """A name for the page: what would be invisible or turn the text around shows as a replacement character."""
    return "".join("\ufffd" if unicodedata.category(character)[0] == "C" else character for character in text)


def css_text(text: str) -> str:
    """A text for a CSS string: what is no letter or figure of ASCII as its code, so that nothing ends it."""
    return "".join(c if c.isascii() and c.isalnum() else f"\\{ord(c):x} " for c in shown_name(text))


def wrapped(text: str, letters: int) -> list[str]:
    """A text broken into lines of so many letters. A word longer than a line breaks, but no number within its digits
    unless it is longer than a line itself."""
    lines: list[str] = []
    for word in text.split():
        if lines and len(lines[-1]) + 1 + len(word) <= letters:
            lines[-1] += f" {word}"
        else:
            lines += _broken(word, max(1, letters))
    return lines


def _broken(word: str, letters: int) -> list[str]:
    if len(word) <= letters:
        return [word]
    lines = [""]
    for piece in _NUMBER_OR_SIGN.findall(word):
        if len(lines[-1]) + len(piece) <= letters:
            lines[-1] += piece
        else:
            lines += (piece[i : i + letters] for i in range(0, len(piece), letters))
    return [line for line in lines if line]


def short_lines(text: str, letters: int, most: int = 2) -> list[str]:
    """A name broken into lines of so many letters, for a drawing; what exceeds the lines is left out of its middle."""
    lengths = range(len(text), 0, -1)
    tries = (wrapped(shortened(text, length), letters) for length in lengths)
    return next((lines for lines in tries if len(lines) <= most), [])


def shortened(text: str, letters: int) -> str:
    """A text of so many letters at most. It loses its middle, an ellipsis showing where: names differ at their ends.

    A number is kept whole or goes whole: `3…1.0 mm` is a size that nobody asked for.
    """
    if len(text) <= letters:
        return text
    if letters < 1:
        return ""
    tail = (letters - 1) // 2
    head_to, tail_from = letters - 1 - tail, len(text) - tail
    for number in _NUMBER.finditer(text):
        if number.start() < head_to < number.end():
            head_to = number.start()
        if number.start() < tail_from < number.end():
            tail_from = number.end()
    return f"{text[:head_to].rstrip()}…{text[tail_from:].lstrip()}"
