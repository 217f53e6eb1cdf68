"""Path data (SVG 2, 9.3) to outlines, vectorised: numbers are read and made absolute in whole arrays."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorsep.geometry.curves import CURVE, LINE, MOVE, NO_OUTLINE, Outline, Points, arc_cubics

_ARGUMENTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_RUN = re.compile(r"([MmZzLlHhVvCcSsQqTtAa])([^MmZzLlHhVvCcSsQqTtAa]*)")
_NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_NUMBER_TOKEN = re.compile(_NUMBER)
_COMMA = r"(?:[ \t\r\n\f]*,[ \t\r\n\f]*|[ \t\r\n\f]+|)"
_LIST = re.compile(rf"[ \t\r\n\f]*(?:{_NUMBER}{_COMMA})*+")
_ARC = re.compile(
    rf"{_COMMA}({_NUMBER}){_COMMA}({_NUMBER}){_COMMA}({_NUMBER}){_COMMA}([01]){_COMMA}([01]){_COMMA}({_NUMBER}){_COMMA}({_NUMBER})"
)
_TRAILING_COMMA = re.compile(r",[ \t\r\n\f]*\Z")


class PathError(ValueError):
    """Path data that cannot be read."""


@dataclass(frozen=True, slots=True, eq=False)
class _Steps:
    """One row a segment: its command (upper case), whether it is relative, and up to seven numbers."""

    command: NDArray[np.str_]
    relative: NDArray[np.bool_]
    numbers: Points


def parse_path(text: str) -> Outline:
    """Read path data into an outline in user units. Raises PathError for any error in it."""
    if text.strip() in ("", "none"):
        return NO_OUTLINE
    rows = _rows(text)
    return _outline(rows)


def _rows(text: str) -> _Steps:
    first = text.lstrip(" \t\r\n\f")
    if first[:1] not in ("M", "m"):
        raise PathError(f"it starts with {first[:10]!r} instead of a move")
    commands: list[str] = []
    blocks: list[Points] = []
    for letter, body in _RUN.findall(first):
        upper = letter.upper()
        block = _arc_rows(body) if upper == "A" else _number_rows(upper, body)
        blocks.append(block)
        following = {"M": "L", "m": "l"}.get(letter, letter)
        commands.append(letter + following * (len(block) - 1))
    letters = np.array(list("".join(commands)))
    upper_letters = np.char.upper(letters)
    numbers = np.concatenate(blocks)
    if not np.isfinite(numbers).all():
        raise PathError("it holds a number too large to draw")
    return _Steps(upper_letters, letters != upper_letters, numbers)


def _number_rows(command: str, body: str) -> Points:
    match = _LIST.fullmatch(body)
    if match is None or _TRAILING_COMMA.search(body):
        raise PathError(f"{(command + body)[:30].strip()!r} holds something other than numbers")
    numbers = [float(token) for token in _NUMBER_TOKEN.findall(body)]
    width = _ARGUMENTS[command]
    if width == 0:
        if numbers:
            raise PathError(f"{(command + body)[:30].strip()!r} has numbers after a close")
        return np.zeros((1, 7))
    if not numbers or len(numbers) % width:
        raise PathError(f"{(command + body)[:30].strip()!r} has {len(numbers)} numbers instead of {width} a step")
    block = np.zeros((len(numbers) // width, 7))
    block[:, :width] = np.reshape(numbers, (-1, width))
    return block


def _arc_rows(body: str) -> Points:
    rows, end = [], 0
    while end < len(body.rstrip(" \t\r\n\f")):
        match = _ARC.match(body, end)
        if match is None:
            raise PathError(f"{('A' + body)[:30].strip()!r} holds something other than arcs")
        rows.append([float(group) for group in match.groups()])
        end = match.end()
    if not rows:
        raise PathError("an arc without numbers")
    return np.array(rows)


def _outline(rows: _Steps) -> Outline:
    rows = _with_moves_after_close(rows)
    knots = _knots(rows)
    before = np.concatenate([np.zeros((1, 2)), knots[:-1]])
    origin = np.where(rows.relative[:, None], before, 0.0)
    handles = _handles(rows, origin, before, knots)
    return _assembled(rows, before, knots, handles)


def _with_moves_after_close(rows: _Steps) -> _Steps:
    """A segment straight after a close starts a new subpath at the closed one's start (SVG 2, 9.3.4)."""
    closes = rows.command[:-1] == "Z"
    bare = np.flatnonzero(closes & (rows.command[1:] != "M") & (rows.command[1:] != "Z")) + 1
    repeated = np.flatnonzero(closes & (rows.command[1:] == "Z")) + 1
    kept = np.ones(len(rows.command), dtype=bool)
    kept[repeated] = False
    command = np.insert(rows.command, bare, "M")
    relative = np.insert(rows.relative, bare, True)
    numbers = np.insert(rows.numbers, bare, 0.0, axis=0)
    kept = np.insert(kept, bare, True)
    return _Steps(command[kept], relative[kept], numbers[kept])


def _knots(rows: _Steps) -> Points:
    """Where each row ends, absolute. Each axis on its own, since H and V leave the other one alone."""
    moves = np.flatnonzero(rows.command == "M")
    closing = rows.command == "Z"
    columns = {"H": (0, None), "V": (None, 0), "C": (4, 5), "S": (2, 3), "Q": (2, 3), "A": (5, 6)}
    knots = np.empty((len(rows.command), 2))
    values = np.zeros((len(rows.command), 2))
    given = np.zeros((len(rows.command), 2), dtype=bool)
    for command in "MLTHVCSQA":
        here = rows.command == command
        for axis, column in enumerate(columns.get(command, (0, 1))):
            if column is not None:
                values[here, axis] = rows.numbers[here, column]
                given[here, axis] = True
    for axis in (0, 1):
        absolute = given[:, axis] & ~rows.relative
        knots[:, axis] = _running(values[:, axis], absolute, moves, closing)
    return knots


def _running(
    values: Points, absolute: NDArray[np.bool_], moves: NDArray[np.intp], closing: NDArray[np.bool_]
) -> Points:
    """Add up relative steps, starting afresh at every absolute value, and returning to the start at a close."""
    total = np.cumsum(np.where(absolute, 0.0, values))
    anchor = np.maximum.accumulate(np.where(absolute, np.arange(len(values)), -1))
    anchored = anchor >= 0
    base = np.where(anchored, values[anchor] - total[anchor], 0.0)
    out = base + total
    out[absolute] = values[absolute]
    ends = np.append(moves[1:], len(values))
    point = 0.0
    for start, end in zip(moves.tolist(), ends.tolist(), strict=True):
        beginning = values[start] if absolute[start] else point + values[start]
        loose = slice(start, end)
        free = anchor[loose] < start
        if free.any():
            shift = beginning - total[start]
            out[loose][free] = total[loose][free] + shift
            out[start] = beginning
        if closing[end - 1]:
            out[end - 1] = beginning
        point = float(out[end - 1])
    return out


def _handles(rows: _Steps, origin: Points, before: Points, knots: Points) -> Points:
    """Both control points of each row, (n, 2, 2), absolute; only rows that become curves matter."""
    command, numbers = rows.command, rows.numbers
    handles = np.zeros((len(command), 2, 2))
    c, s, q, t = (command == letter for letter in "CSQT")
    handles[c] = numbers[c, :4].reshape(-1, 2, 2) + origin[c, None]
    handles[s, 1] = numbers[s, :2] + origin[s]
    smooth = np.flatnonzero(s)
    follows = np.isin(command[smooth - 1], ("C", "S"))
    handles[smooth, 0] = before[smooth]
    curved = smooth[follows]
    handles[curved, 0] = 2 * before[curved] - handles[curved - 1, 1]
    control = np.zeros((len(command), 2))
    control[q] = numbers[q, :2] + origin[q]
    for i in np.flatnonzero(t).tolist():
        control[i] = 2 * before[i] - control[i - 1] if command[i - 1] in ("Q", "T") else before[i]
    quadratic = q | t
    handles[quadratic, 0] = before[quadratic] + (control[quadratic] - before[quadratic]) * (2 / 3)
    handles[quadratic, 1] = knots[quadratic] + (control[quadratic] - knots[quadratic]) * (2 / 3)
    return handles


def _assembled(rows: _Steps, before: Points, knots: Points, handles: Points) -> Outline:
    command = rows.command
    steps = np.full(len(command), LINE, dtype=np.uint8)
    steps[command == "M"] = MOVE
    steps[np.isin(command, ("C", "S", "Q", "T"))] = CURVE
    is_arc = command == "A"
    is_arc &= (rows.numbers[:, :2] != 0).all(axis=1) & (before != knots).any(axis=1)
    moves = np.flatnonzero(command == "M")
    last = np.append(moves[1:], len(command)) - 1
    closed = command[last] == "Z"
    kept = (command != "Z") & ~_lone_moves(command)
    closed = closed[np.isin(moves, np.flatnonzero(kept))]
    if is_arc.any():
        return _with_arcs(rows, before, knots, handles, steps, is_arc, kept, closed)
    return Outline(knots[kept], steps[kept], handles[kept & (steps == CURVE)], closed)


def _lone_moves(command: NDArray[np.str_]) -> NDArray[np.bool_]:
    """Moves that draw nothing, since another move or the end follows at once."""
    following = np.append(command[1:], "M")
    return (command == "M") & (following == "M")


def _with_arcs(  # noqa: PLR0913, PLR0917 - the columns of one table
    rows: _Steps,
    before: Points,
    knots: Points,
    handles: Points,
    steps: NDArray[np.uint8],
    is_arc: NDArray[np.bool_],
    kept: NDArray[np.bool_],
    closed: NDArray[np.bool_],
) -> Outline:
    """Replace every arc by its curve pieces."""
    arcs = rows.numbers[is_arc]
    pieces = arc_cubics(before[is_arc], arcs[:, :2], arcs[:, 2], arcs[:, 3:5], knots[is_arc])
    counts = np.ones(len(steps), dtype=np.intp)
    counts[is_arc] = [len(piece) for piece in pieces]
    target = np.repeat(is_arc, counts)
    new_knots, new_handles = np.repeat(knots, counts, axis=0), np.repeat(handles, counts, axis=0)
    drawn = np.concatenate(pieces)
    new_knots[target], new_handles[target] = drawn[:, 2], drawn[:, :2]
    new_steps = np.repeat(steps, counts)
    new_steps[target] = CURVE
    keep = np.repeat(kept, counts)
    return Outline(new_knots[keep], new_steps[keep], new_handles[keep & (new_steps == CURVE)], closed)
