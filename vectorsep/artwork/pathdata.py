"""Path data (SVG 2, 9.3) to outlines: relative steps are added up and control points found in whole arrays."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vectorsep.artwork.pathtokens import PathError, Rows, read_rows
from vectorsep.geometry.curves import CURVE, LINE, MOVE, NO_OUTLINE, PIECE, Outline, Points, arc_cubics

__all__ = ["PathError", "parse_path"]

_M, _L, _H, _V, _C, _S, _Q, _T, _A, _Z = (ord(letter) for letter in "MLHVCSQTAZ")
_KNOT_COLUMNS: dict[int, tuple[int | None, int | None]] = {
    _H: (0, None), _V: (None, 0), _C: (4, 5), _S: (2, 3), _Q: (2, 3), _A: (5, 6),
}  # fmt: skip
"""Where a row's end point stands among its numbers; columns 0 and 1 where nothing else is said."""


def parse_path(text: str) -> tuple[Outline, str | None]:
    """Read path data into an outline in user units, and say what is wrong after it, if anything is.

    An error ends the path before the faulty segment (SVG 2, 9.5.4). Raises PathError where nothing can be drawn.
    """
    if text.strip(" \t\r\n\f") in ("", "none"):
        return NO_OUTLINE, None
    rows = _with_moves_after_close(read_rows(text))
    with np.errstate(over="ignore", invalid="ignore"):
        knots = _knots(rows)
        before = np.concatenate([np.zeros((1, 2)), knots[:-1]])
        handles = _handles(rows, before, knots)
        outline = _assembled(rows, before, knots, handles)
    if not (np.isfinite(outline.knots).all() and np.isfinite(outline.handles).all()):
        raise PathError("its coordinates are too large to draw")
    return outline, rows.fault


def _with_moves_after_close(rows: Rows) -> Rows:
    """A segment straight after a close starts a new subpath at the closed one's start (SVG 2, 9.3.4)."""
    closes, following = rows.command[:-1] == _Z, rows.command[1:]
    bare = np.flatnonzero(closes & (following != _M) & (following != _Z)) + 1
    repeated = np.flatnonzero(closes & (following == _Z)) + 1
    if not len(bare) and not len(repeated):
        return rows
    kept = np.ones(len(rows.command), dtype=bool)
    kept[repeated] = False
    kept = np.insert(kept, bare, True)
    command = np.insert(rows.command, bare, _M)
    relative = np.insert(rows.relative, bare, True)
    numbers = np.insert(rows.numbers, bare, 0.0, axis=0)
    return Rows(command[kept], relative[kept], numbers[kept], rows.fault)


def _knots(rows: Rows) -> Points:
    """Where each row ends, absolute. Each axis on its own, since H and V leave the other one alone."""
    values = rows.numbers[:, :2].copy()
    given = np.repeat((rows.command != _Z)[:, None], 2, axis=1)
    for command, columns in _KNOT_COLUMNS.items():
        here = rows.command == command
        if not here.any():
            continue
        for axis, column in enumerate(columns):
            values[here, axis] = 0.0 if column is None else rows.numbers[here, column]
            given[here, axis] = column is not None
    absolute = given & ~rows.relative[:, None]
    moves = np.flatnonzero(rows.command == _M)
    closing = rows.command == _Z
    return np.stack([_running(values[:, axis], absolute[:, axis], moves, closing) for axis in (0, 1)], axis=1)


def _running(
    values: Points, absolute: NDArray[np.bool_], moves: NDArray[np.intp], closing: NDArray[np.bool_]
) -> Points:
    """Add up relative steps, starting afresh at every absolute value and returning to the start at a close.

    Absolute values come out unchanged.
    """
    total = np.cumsum(np.where(absolute, 0.0, values))
    anchor = np.maximum.accumulate(np.where(absolute, np.arange(len(values)), -1))
    ends = np.append(moves[1:], len(values))
    out = np.where(anchor >= 0, values[anchor] + (total - total[anchor]), total)
    if absolute[moves].all():
        starts = values[moves]
    else:
        starts = _move_by_move(out, values, total, absolute, anchor, moves, ends, closing)
    shut = closing[ends - 1]
    out[ends[shut] - 1] = starts[shut]
    return out


def _move_by_move(  # noqa: PLR0913, PLR0917 - the columns of one table
    out: Points,
    values: Points,
    total: Points,
    absolute: NDArray[np.bool_],
    anchor: NDArray[np.intp],
    moves: NDArray[np.intp],
    ends: NDArray[np.intp],
    closing: NDArray[np.bool_],
) -> Points:
    """Place the subpaths that start by a relative move, each after the one before; returns where each starts."""
    starts, point = [], 0.0
    for start, end in zip(moves.tolist(), ends.tolist(), strict=True):
        beginning = float(values[start]) if absolute[start] else point + float(values[start])
        if not absolute[start]:
            last_free = int(np.searchsorted(anchor[start:end], start)) + start
            out[start:last_free] = beginning + (total[start:last_free] - total[start])
        starts.append(beginning)
        point = beginning if closing[end - 1] else float(out[end - 1])
    return np.array(starts)


def _handles(rows: Rows, before: Points, knots: Points) -> Points:
    """Both control points of each row, (n, 2, 2), absolute; only rows that become curves matter."""
    command, numbers = rows.command, rows.numbers
    cubic, smooth, quadratic, follow = (command == letter for letter in (_C, _S, _Q, _T))
    if not (cubic | smooth | quadratic | follow | (command == _A)).any():
        return np.empty((0, 2, 2))
    origin = np.where(rows.relative[:, None], before, 0.0)
    handles = np.zeros((len(command), 2, 2))
    handles[cubic] = numbers[cubic, :4].reshape(-1, 2, 2) + origin[cubic, None]
    handles[smooth, 1] = numbers[smooth, :2] + origin[smooth]
    handles[smooth, 0] = before[smooth]
    mirrored = np.flatnonzero(smooth)
    mirrored = mirrored[(command[mirrored - 1] == _C) | (command[mirrored - 1] == _S)]
    handles[mirrored, 0] = 2 * before[mirrored] - handles[mirrored - 1, 1]
    control = np.zeros((len(command), 2))
    control[quadratic] = numbers[quadratic, :2] + origin[quadratic]
    for i in np.flatnonzero(follow).tolist():
        control[i] = 2 * before[i] - control[i - 1] if command[i - 1] in (_Q, _T) else before[i]
    quadratic |= follow
    handles[quadratic, 0] = before[quadratic] + (control[quadratic] - before[quadratic]) * (2 / 3)
    handles[quadratic, 1] = knots[quadratic] + (control[quadratic] - knots[quadratic]) * (2 / 3)
    return handles


def _assembled(rows: Rows, before: Points, knots: Points, handles: Points) -> Outline:
    command = rows.command
    steps = np.full(len(command), LINE, dtype=np.uint8)
    steps[command == _M] = MOVE
    steps[(command == _C) | (command == _S) | (command == _Q) | (command == _T)] = CURVE
    moves = np.flatnonzero(command == _M)
    lone = np.append(command[1:], _M)[moves] == _M
    kept = command != _Z
    kept[moves[lone]] = False
    closed = (command[np.append(moves[1:], len(command)) - 1] == _Z)[~lone]
    is_arc = command == _A
    if is_arc.any():
        is_arc &= (rows.numbers[:, :2] != 0).all(axis=1) & (before != knots).any(axis=1)
        return _with_arcs(Outline(knots, steps, handles, closed), rows.numbers, before, is_arc, kept)
    return Outline(knots[kept], steps[kept], handles[kept & (steps == CURVE)] if len(handles) else handles, closed)


def _with_arcs(
    table: Outline, numbers: Points, before: Points, is_arc: NDArray[np.bool_], kept: NDArray[np.bool_]
) -> Outline:
    """Replace every arc by its curve pieces. The table has one row a segment, handles included."""
    arcs = numbers[is_arc]
    pieces = arc_cubics(before[is_arc], arcs[:, :2], arcs[:, 2], arcs[:, 3:5], table.knots[is_arc])
    counts = np.ones(len(kept), dtype=np.intp)
    counts[is_arc] = [len(piece) for piece in pieces]
    target = np.repeat(is_arc, counts)
    knots, handles = np.repeat(table.knots, counts, axis=0), np.repeat(table.handles, counts, axis=0)
    steps, keep = np.repeat(table.steps, counts), np.repeat(kept, counts)
    if pieces:
        drawn = np.concatenate(pieces)
        knots[target], handles[target], steps[target] = drawn[:, 2], drawn[:, :2], PIECE
        steps[np.cumsum(counts)[is_arc] - 1] = CURVE
    return Outline(knots[keep], steps[keep], handles[keep & (steps >= CURVE)], table.closed)
