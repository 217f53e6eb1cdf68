"""The grammar of path data (SVG 2, 9.3.9): text to one row of numbers a segment.

Two readers give the same rows. The fast one classifies all characters at once in arrays and reads any number of paths
in one go; whatever it finds odd it leaves to the careful one, which goes command by command and says what is wrong.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorsep.geometry.curves import Points
from vectorsep.units import NUMBER, counted

ARGUMENTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_SPACE = r"[ \t\r\n\f]"
_RUN = re.compile(r"([MmZzLlHhVvCcSsQqTtAa])([^MmZzLlHhVvCcSsQqTtAa]*)")
_NUMBER_TOKEN = re.compile(NUMBER)
_COMMA = rf"(?>{_SPACE}*+(?:,{_SPACE}*+)?)"
_LIST = re.compile(rf"{_SPACE}*+(?:{NUMBER}(?:{_COMMA}(?={NUMBER}))?)*+")
_ARC = re.compile(rf"{_COMMA}".join([f"({NUMBER})"] * 3 + ["([01])"] * 2 + [f"({NUMBER})"] * 2))

_SEPARATOR, _COMMA_SIGN, _DIGIT, _DOT, _SIGN, _EXPONENT, _LETTER, _OTHER, _FIRST_DOT = range(9)
_CLASSES = np.full(256, _OTHER, dtype=np.uint8)
for _characters, _class in (
    (b" \t\r\n\f", _SEPARATOR),
    (b",", _COMMA_SIGN),
    (b"0123456789", _DIGIT),
    (b".", _DOT),
    (b"+-", _SIGN),
    (b"eE", _EXPONENT),
    (b"MmZzLlHhVvCcSsQqTtAa", _LETTER),
):
    _CLASSES[np.frombuffer(_characters, dtype=np.uint8)] = _class
_WIDTHS = np.zeros(256, dtype=np.intp)
for _name, _width in ARGUMENTS.items():
    _WIDTHS[[ord(_name), ord(_name.lower())]] = _width
_LOWER = 32
"""The bit that makes a letter of ASCII a small one."""
_DIGITS_ALONE = bytes(character if character in b"0123456789" else ord(" ") for character in range(256))
_SPACE_SIGN, _MINUS = ord(" "), ord("-")
_LARGEST_WHOLE = 2**53
"""Doubles hold all whole numbers up to here ..."""
_POWERS_OF_TEN = 10.0 ** np.arange(23)
"""... and these powers of ten, exactly."""


class PathError(ValueError):
    """Path data of which nothing can be drawn."""


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """One row a segment: its capital command letter's code, whether it is relative, and its numbers, zeros after.

    `fault` says what is wrong with the text after the last row, if anything is.
    """

    command: NDArray[np.uint8]
    relative: NDArray[np.bool_]
    numbers: Points
    fault: str | None = None


def read_rows(text: str) -> Rows:
    """Read path data as far as it is correct. Raises PathError where not even its first segment is."""
    fast = fast_rows(text)
    return careful_rows(text) if fast is None else fast[0]


def fast_rows(text: str) -> tuple[Rows, NDArray[np.intp]] | None:
    """All rows and where each one's command stands in the text, or None where the text holds anything unusual."""
    characters = np.frombuffer(text.encode("ascii", "replace"), dtype=np.uint8)
    classes = _CLASSES[characters]
    marks = _marks(classes)
    if marks is None or _has_stray_comma(marks):
        return None
    values = _values(characters, marks)
    if len(values) != len(marks.starts) or not np.isfinite(values).all():
        return None
    letters = marks.kind == _LETTER
    where = marks.at[letters]
    grouped = _grouped(characters[where], marks.numbers_before[letters], values)
    if grouped is None or not _has_plain_flags(grouped[0], classes, marks.starts):
        return None
    return grouped[0], where[grouped[1]]


@dataclass(frozen=True, slots=True, eq=False)
class _Marks:
    """All characters of a text but the digits, in order."""

    at: NDArray[np.intp]
    """Where each stands."""
    kind: NDArray[np.uint8]
    """Its class. A sign in an exponent counts as part of it; a dot that starts a number is a FIRST_DOT."""
    numbers_before: NDArray[np.intp]
    """How many numbers start before it."""
    starts: NDArray[np.intp]
    """Where each number starts."""


def _marks(classes: NDArray[np.uint8]) -> _Marks | None:
    """The characters that are no digits, or None where they make no sense.

    Each is judged by its neighbours and by the one of its kind before it: a dot after a dot or an exponent in the same
    number starts the next number.
    """
    padded = np.pad(classes, 1, constant_values=_SEPARATOR)
    at = np.flatnonzero(classes != _DIGIT)
    kind, before, after = classes[at], padded[at], padded[at + 2]
    in_exponent = (kind == _SIGN) & (before == _EXPONENT)
    kind[in_exponent] = _EXPONENT
    earlier = np.pad(kind[:-1], (1, 0), constant_values=_SEPARATOR)
    dot, sign, letter = kind == _DOT, kind == _SIGN, kind == _LETTER
    parting = (kind <= _COMMA_SIGN) | letter
    fresh = dot & ((before <= _COMMA_SIGN) | (before == _LETTER) | (earlier == _DOT) | (earlier == _EXPONENT))
    exponent = (kind == _EXPONENT) & ~in_exponent
    malformed = (
        (exponent & ((before != _DIGIT) & (before != _DOT) | (earlier == _EXPONENT)))
        | (exponent & (after != _DIGIT) & (after != _SIGN))
        | (in_exponent & (after != _DIGIT))
        | (sign & (after != _DIGIT) & (after != _DOT))
        | (dot & (after != _DIGIT) & (fresh | (before != _DIGIT)))
        | (kind == _OTHER)
    )
    if malformed.any() or not letter.any() or (classes[: at[letter.argmax()]] != _SEPARATOR).any():
        return None
    begins = sign | fresh | (parting & (after == _DIGIT))
    kind[fresh] = _FIRST_DOT
    return _Marks(at, kind, np.cumsum(begins) - begins, (at + parting)[begins])


def _has_stray_comma(marks: _Marks) -> bool:
    """Whether a comma stands anywhere but singly between two numbers of one command."""
    parts = np.flatnonzero((marks.kind == _COMMA_SIGN) | (marks.kind == _LETTER))
    comma = marks.kind[parts] == _COMMA_SIGN
    bare = np.diff(marks.numbers_before[parts], append=len(marks.starts)) == 0
    return bool((comma & bare).any() or (comma[1:] & bare[:-1]).any())


def _has_plain_flags(rows: Rows, classes: NDArray[np.uint8], starts: NDArray[np.intp]) -> bool:
    """Whether the flags of all arcs are single characters that stand apart; others need the grammar of arcs."""
    arcs = np.flatnonzero(rows.command == ord("A"))
    if not len(arcs):
        return True
    first = np.cumsum(_WIDTHS[rows.command])[arcs] - ARGUMENTS["A"]
    flags = starts[np.concatenate([first + 3, first + 4])]
    following = classes[np.minimum(flags + 1, len(classes) - 1)]
    apart = (following <= _COMMA_SIGN) | (following == _SIGN)
    return bool(apart.all() and np.isin(rows.numbers[arcs, 3:5], (0.0, 1.0)).all())


def _values(characters: NDArray[np.uint8], marks: _Marks) -> Points:
    """All numbers, read in one go."""
    if not len(marks.starts):
        return np.empty(0)
    exact = None if (marks.kind == _EXPONENT).any() else _decimal_values(characters, marks)
    return _any_values(characters, marks) if exact is None else exact


def _decimal_values(characters: NDArray[np.uint8], marks: _Marks) -> Points | None:
    """Numbers without exponents: their digits as a whole number, over a power of ten, signs last.

    That is exactly the nearest double while both are whole numbers that doubles hold (W. Clinger, "How to read
    floating point numbers accurately", 1990). None where some number has more digits.
    """
    first_dot = np.flatnonzero(marks.kind == _FIRST_DOT)
    if len(first_dot):
        characters = characters.copy()
        characters[marks.at[first_dot]] = _SPACE_SIGN
    digits = characters.tobytes().translate(_DIGITS_ALONE, delete=b".").decode("ascii")
    whole = np.fromstring(digits, dtype=np.int64, sep=" ")
    inner_dot = np.flatnonzero(marks.kind == _DOT)
    places = np.zeros(len(marks.starts), dtype=np.intp)
    end = np.append(marks.at, len(characters))
    places[marks.numbers_before[inner_dot] - 1] = end[inner_dot + 1] - end[inner_dot] - 1
    places[marks.numbers_before[first_dot]] = end[first_dot + 1] - end[first_dot] - 1
    if len(whole) != len(places) or whole.max() > _LARGEST_WHOLE or places.max() >= len(_POWERS_OF_TEN):
        return None
    values: Points = whole / _POWERS_OF_TEN[places]
    negative = characters[marks.starts] == _MINUS
    np.negative(values, out=values, where=negative)
    return values


def _any_values(characters: NDArray[np.uint8], marks: _Marks) -> Points:
    """Numbers of any kind, from a copy with nothing but spaces between them."""
    spaced = characters.copy()
    spaced[marks.at[(marks.kind == _LETTER) | (marks.kind == _COMMA_SIGN)]] = _SPACE_SIGN
    begins_so = np.isin(_CLASSES[characters[marks.starts]], (_SIGN, _DOT))
    spaced = np.insert(spaced, marks.starts[begins_so], _SPACE_SIGN)
    return np.fromstring(spaced.tobytes().decode("ascii"), sep=" ")


def _grouped(
    letters: NDArray[np.uint8], first: NDArray[np.intp], values: Points
) -> tuple[Rows, NDArray[np.intp]] | None:
    """Rows and the command each belongs to, from command letters and the index of the first number after each.

    None where the numbers of a command do not fill whole steps.
    """
    widths = _WIDTHS[letters]
    counts = np.diff(np.append(first, len(values)))
    if (counts[widths == 0] != 0).any():
        return None
    steps = np.where(widths == 0, 1, counts // np.maximum(widths, 1))
    if (steps == 0).any() or (counts != steps * widths).any() or letters[0] | _LOWER != ord("m"):
        return None
    owner = np.repeat(np.arange(len(letters)), steps)
    rank = np.arange(len(owner)) - np.repeat(np.cumsum(steps) - steps, steps)
    command, relative = letters[owner] & ~np.uint8(_LOWER), letters[owner] & _LOWER != 0
    numbers = np.zeros((len(owner), max(2, int(widths.max()))))
    offset = first[owner] + rank * widths[owner]
    for width in np.unique(widths).tolist():
        here = np.flatnonzero(widths[owner] == width)
        numbers[here, :width] = values[offset[here, None] + np.arange(width)]
    command[(command == ord("M")) & (rank > 0)] = ord("L")
    return Rows(command, relative, numbers), owner


def read_many(texts: Sequence[str]) -> tuple[Rows, NDArray[np.intp]] | None:
    """The rows of many paths in one table, and the index of the path that each belongs to.

    Every path must start by a move. None where any of them holds anything unusual.
    """
    fast = fast_rows("\n".join(texts)) if texts else None
    if fast is None:
        return None
    rows, at = fast
    path = np.searchsorted(np.cumsum([len(text) + 1 for text in texts]), at, side="right")
    first = np.searchsorted(path, np.arange(len(texts)))
    rows.relative[first] = False
    return rows, path


def starts_plainly(text: str) -> bool:
    """Whether path data may be read together with others."""
    return text.isascii() and text.lstrip(" \t\r\n\f")[:1] in ("M", "m")


def careful_rows(text: str) -> Rows:
    """Command by command, up to the first fault. Raises PathError where not even the first segment is correct."""
    first = text.lstrip(" \t\r\n\f")
    if first[:1] not in ("M", "m"):
        raise PathError(f"it starts with {first[:10]!r} instead of a move")
    letters: list[str] = []
    numbers: list[list[float]] = []
    fault = None
    for match in _RUN.finditer(first):
        letter, body = match.groups()
        rows, fault = _arc_rows(body) if letter in "Aa" else _number_rows(letter, body)
        letters += [letter if i == 0 or letter not in "Mm" else chr(ord(letter) - 1) for i in range(len(rows))]
        numbers += rows
        if fault is not None:
            break
    if not letters or (fault is not None and all(letter in "MmZz" for letter in letters)):
        raise PathError(fault or "it holds no command")
    table = np.zeros((len(numbers), 7))
    for row, given in zip(table, numbers, strict=True):
        row[: len(given)] = given
    codes = np.frombuffer("".join(letters).encode("ascii"), dtype=np.uint8)
    return Rows(codes & ~np.uint8(_LOWER), codes & _LOWER != 0, table, fault)


def _number_rows(letter: str, body: str) -> tuple[list[list[float]], str | None]:
    """The whole steps of one command, and what is wrong after them."""
    width = ARGUMENTS[letter.upper()]
    match = _LIST.match(body)
    read = body[: match.end()] if match else ""
    numbers = [float(token) for token in _NUMBER_TOKEN.findall(read)]
    finite = [i for i, number in enumerate(numbers) if not np.isfinite(number)]
    numbers = numbers[: finite[0]] if finite else numbers
    rows = [numbers[i : i + width] for i in range(0, len(numbers) - width + 1, width)] if width else [[]]
    shown = (letter + body)[:30].strip()
    if finite:
        return rows, f"{shown!r} holds a number too large to draw"
    if read != body.rstrip(" \t\r\n\f") and body[len(read) :].strip(" \t\r\n\f"):
        return rows, f"{shown!r} holds something other than numbers"
    if len(numbers) != len(rows) * width or not rows:
        return rows, f"{shown!r} has {counted(len(numbers), 'number')} instead of {width} a step"
    return rows, None


def _arc_rows(body: str) -> tuple[list[list[float]], str | None]:
    rows: list[list[float]] = []
    rest = body.strip(" \t\r\n\f")
    end = 0
    while end < len(rest):
        match = _ARC.match(rest, end)
        row = [float(group) for group in match.groups()] if match else [np.inf]
        if match is None or not np.isfinite(row).all():
            return rows, f"{('A' + body)[:30].strip()!r} holds something other than arcs"
        rows.append(row)
        end = match.end()
        comma = re.compile(_COMMA).match(rest, end)
        if comma is not None and comma.end() < len(rest):
            end = comma.end()
    return rows, None if rows else "an arc has no numbers"
