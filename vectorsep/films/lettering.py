"""Single-stroke lettering, so that a film needs no font: capitals, small letters, digits and signs on a grid.

Drawn for this project on a grid 4 wide and 6 high (x to the right, y down, 0 the height of capitals, 2 that of
small letters, 6 the base line, 8 the descenders).
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache

import numpy as np
from numpy.typing import NDArray

CAPITAL_UNITS = 6
ADVANCE_UNITS = 6
"""From one letter's start to the next one's."""
GAP_UNITS = ADVANCE_UNITS - 4
"""From one letter's end to the next one's start."""

UNKNOWN = "00 40 46 06 00"
"""A character with no drawing shows as an empty box rather than vanish."""

GLYPHS = {
    "A": "06 20 46,13 33",
    "B": "00 06 36 45 44 33 03,33 42 41 30 00",
    "C": "41 30 10 01 05 16 36 45",
    "D": "00 06 36 45 41 30 00",
    "E": "40 00 06 46,03 33",
    "F": "40 00 06,03 33",
    "G": "41 30 10 01 05 16 36 45 43 23",
    "H": "00 06,40 46,03 43",
    "I": "10 30,20 26,16 36",
    "J": "40 45 36 16 05",
    "K": "00 06,40 03 46",
    "L": "00 06 46",
    "M": "06 00 23 40 46",
    "N": "06 00 46 40",
    "O": "10 30 41 45 36 16 05 01 10",
    "P": "06 00 30 41 42 33 03",
    "Q": "10 30 41 45 36 16 05 01 10,24 46",
    "R": "06 00 30 41 42 33 03,23 46",
    "S": "41 30 10 01 02 13 33 44 45 36 16 05",
    "T": "00 40,20 26",
    "U": "00 05 16 36 45 40",
    "V": "00 26 40",
    "W": "00 16 23 36 40",
    "X": "00 46,40 06",
    "Y": "00 23 40,23 26",
    "Z": "00 40 06 46",
    "a": "12 32 43 46 16 05 14 44",
    "b": "00 06 36 45 43 32 02",
    "c": "43 32 12 03 05 16 36 45",
    "d": "40 46 16 05 03 12 42",
    "e": "04 44 43 32 12 03 05 16 36 45",
    "f": "40 30 21 26,12 42",
    "g": "42 47 38 18 07,42 12 03 05 16 46",
    "h": "00 06,02 32 43 46",
    "i": "12 22 26,16 36,20 21",
    "j": "12 22 27 18 08,20 21",
    "k": "00 06,42 04 46",
    "l": "10 20 26,16 36",
    "m": "06 02 12 23 26,23 32 43 46",
    "n": "06 02 32 43 46",
    "o": "12 32 43 45 36 16 05 03 12",
    "p": "08 02 32 43 45 36 06",
    "q": "48 42 12 03 05 16 46",
    "r": "06 02,03 12 32 43",
    "s": "43 32 12 03 14 34 45 36 16 05",
    "t": "10 15 26 36,02 32",
    "u": "02 05 16 36 45,42 46",
    "v": "02 26 42",
    "w": "02 16 23 36 42",
    "x": "02 46,42 06",
    "y": "02 26,42 18 08",
    "z": "02 42 06 46",
    "0": "10 30 41 45 36 16 05 01 10,32 14",
    "1": "11 20 26,16 36",
    "2": "01 10 30 41 42 06 46",
    "3": "00 40 22 32 43 45 36 16 05",
    "4": "36 30 04 44",
    "5": "40 00 02 32 43 45 36 16 05",
    "6": "41 30 10 01 05 16 36 45 44 33 13 04",
    "7": "00 40 16",
    "8": "13 02 01 10 30 41 42 33 13 04 05 16 36 45 44 33",
    "9": "05 16 36 45 41 30 10 01 02 13 33 42",
    " ": "",
    ".": "15 16 26 25 15",
    ",": "25 26 17",
    ":": "22 23,25 26",
    ";": "22 23,25 26 17",
    "-": "13 33",
    "–": "03 43",
    "—": "03 43",
    "_": "07 47",
    "+": "21 25,03 43",
    "=": "02 42,04 44",
    "*": "21 25,12 34,32 14",
    "/": "06 40",
    "\\": "00 46",
    "(": "30 12 14 36",
    ")": "10 32 34 16",
    "[": "30 10 16 36",
    "]": "10 30 36 16",
    "#": "10 16,30 36,02 42,04 44",
    "&": "46 11 20 31 04 05 16 26 44",
    "%": "06 40,00 01 11 10 00,35 36 46 45 35",
    "'": "20 21",
    '"': "10 11,30 31",
    "!": "20 24,25 26",
    "?": "01 10 30 41 42 23 24,25 26",
    "°": "20 31 22 11 20",
    "²": "10 30 31 11 12 32",
    "×": "13 35,33 15",
    "µ": "08 02,05 16 36 45,42 46",
    "…": "05 06,25 26,45 46",
    "<": "41 03 45",
    ">": "01 43 05",
    "$": "41 30 10 01 02 13 33 44 45 36 16 05,20 26",
    "@": "33 22 13 14 25 34 32,34 44 42 31 11 02 05 16 46",
    "|": "20 28",
    "~": "04 13 34 43",
    "^": "02 20 42",
    "`": "10 21",
    "{": "30 21 22 13 24 25 36",
    "}": "10 21 22 33 24 25 16",
}
"""Strokes, comma-separated, each a row of grid points written `xy`: all of ASCII, and signs of the trade."""

SIGNS = dict(zip("‘’‚“”„‐‑−·•⁄", '\'\',"""---.*/', strict=True))
"""Typographic signs and the plain ones that they stand for."""
_LATIN = re.compile(r"LATIN (CAPITAL|SMALL) (?:LETTER|LIGATURE) (?:[A-Z]{3,} )?([A-Z]{1,2})(?: WITH .*)?")
"""What the Unicode character database calls a Latin letter: `LATIN SMALL LETTER O WITH STROKE`, `... DOTLESS I`."""


def strokes(text: str, left_mm: float, base_mm: float, capital_mm: float) -> list[NDArray[np.float64]]:
    """Draw one line of text as polylines, each an (n, 2) array in mm, y down.

    `left_mm` and `base_mm` place the base line's start; `capital_mm` is the height of capitals. Characters without
    a drawing show as their nearest plain form, or as a box.
    """
    unit = capital_mm / CAPITAL_UNITS
    drawn: list[NDArray[np.float64]] = []
    for i, character in enumerate(as_drawn(text)):
        origin = np.array([left_mm + i * ADVANCE_UNITS * unit, base_mm - capital_mm])
        drawn.extend(origin + unit * stroke for stroke in _grid_strokes(character))
    return drawn


def text_width(text: str, capital_mm: float) -> float:
    """Width in mm of a line of text, without the gap after its last character."""
    count = len(as_drawn(text))
    return max(0, count * ADVANCE_UNITS - GAP_UNITS) * capital_mm / CAPITAL_UNITS


def letters_in(width_mm: float, capital_mm: float) -> int:
    """How many letters a line of this width holds."""
    return max(0, int((width_mm * CAPITAL_UNITS / capital_mm + GAP_UNITS) // ADVANCE_UNITS))


def as_drawn(text: str) -> str:
    """A text in letters that have a drawing, each with its nearest plain form; those that have none stay, as boxes."""
    return "".join(plain_form(character) or character for character in unicodedata.normalize("NFC", text))


@cache
def plain_form(character: str) -> str | None:
    """The nearest to a character that has a drawing: `e` for `é`, `o` for `ø`, `No` for `№`; None where none is near.

    By the Unicode character database: compatibility decomposition, the value of a digit, the name of a Latin letter.
    """
    if character in GLYPHS or character in SIGNS:
        return SIGNS.get(character, character)
    digit = unicodedata.digit(character, None)
    bases = "".join(SIGNS.get(c, c) for c in unicodedata.normalize("NFKD", character) if not unicodedata.combining(c))
    latin = _LATIN.fullmatch(unicodedata.name(character, ""))
    named = (latin[2] if latin[1] == "CAPITAL" else latin[2].lower()) if latin else ""
    forms = ("" if digit is None else str(digit), bases, named)
    return next((form for form in forms if form and set(form) <= set(GLYPHS)), None)


@cache
def _grid_strokes(character: str) -> tuple[NDArray[np.float64], ...]:
    drawing = GLYPHS.get(character, UNKNOWN)
    return tuple(
        np.array([[int(point[0]), int(point[1])] for point in stroke.split()], dtype=np.float64)
        for stroke in drawing.split(",")
        if stroke
    )
