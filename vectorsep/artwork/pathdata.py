"""Path data (SVG 2, 9.3) to outlines: relative steps are added up and control points found in whole arrays."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from vectorsep.artwork.pathtokens import PathError, Rows, read_many, read_rows, starts_plainly
from vectorsep.geometry.curves import CURVE, LINE, MOVE, NO_OUTLINE, PIECE, Outline, Points, arc_cubics

__all__ = ["PathError", "parse_path", "parse_paths"]

_M, _L, _H, _V, _C, _S, _Q, _T, _A, _Z = (ord(letter) for letter in "MLHVCSQTAZ")
_KNOT_COLUMNS: dict[int, tuple[int | None, int | None]] = {
    _H: (0, None), _V: (None, 0), _C: (4, 5), _S: (2, 3), _Q: (2, 3), _A: (5, 6),
}  # fmt: skip
"""Where a row's end point stands among its numbers; columns 0 and 1 where nothing else is said."""
GULP = 200_000
"""Characters of path data read in one go: enough to make the arrays worth it, and few enough for the processor's
caches."""


def parse_path(text: str) -> tuple[Outline, str | None]:
    """Read path data into an outline in user units, and say what is wrong after it, if anything is.

    An error ends the path before the faulty segment (SVG 2, 9.5.4). Raises PathError where nothing can be drawn.
    """
    if text.strip(" \t\r\n\f") in ("", "none"):
        return NO_OUTLINE, None
    rows = read_rows(text)
    return _drawn(rows, np.zeros(len(rows.command), dtype=np.intp))[0], rows.fault


def parse_paths(texts: Iterable[str]) -> dict[str, Outline]:
    """Read many paths in large gulps. Those that hold anything unusual are left out, for `parse_path` to judge."""
    known: dict[str, Outline] = {}
    gulp: list[str] = []
    length = 0
    for text in dict.fromkeys(texts):
        if not starts_plainly(text):
            continue
        gulp.append(text)
        length += len(text)
        if length >= GULP:
            known |= _parsed_together(gulp)
            gulp, length = [], 0
    return known | _parsed_together(gulp)


def _parsed_together(plain: list[str]) -> dict[str, Outline]:
    table = read_many(plain)
    if table is None:
        return {} if len(plain) < 2 else _parsed_together(plain[::2]) | _parsed_together(plain[1::2])
    try:
        outline, path = _drawn(*table)
    except PathError:
        return {}
    return dict(zip(plain, _split(outline, path, len(plain)), strict=True))


def _split(outline: Outline, path: NDArray[np.intp], count: int) -> Iterator[Outline]:
    """The outline of each path, from that of all."""
    ends = np.searchsorted(path, np.arange(1, count + 1)).tolist()
    curves, subpaths = np.cumsum(outline.curved), np.cumsum(outline.steps == MOVE)
    start = curve = subpath = 0
    for end in ends:
        next_curve, next_subpath = (int(curves[end - 1]), int(subpaths[end - 1])) if end else (0, 0)
        yield Outline(
            outline.knots[start:end],
            outline.steps[start:end],
            outline.handles[curve:next_curve],
            outline.closed[subpath:next_subpath],
        )
        start, curve, subpath = end, next_curve, next_subpath


def _drawn(rows: Rows, path: NDArray[np.intp]) -> tuple[Outline, NDArray[np.intp]]:
    """The outline of all rows, and the path that each of its knots belongs to."""
    rows, path = _with_moves_after_close(rows, path)
    with np.errstate(over="ignore", invalid="ignore"):
        knots = _knots(rows)
        before = np.concatenate([np.zeros((1, 2)), knots[:-1]])
        handles = _handles(rows, before, knots)
        outline, path = _assembled(rows, path, before, knots, handles)
    if not (np.isfinite(outline.knots).all() and np.isfinite(outline.handles).all()):
        raise PathError("its coordinates are too large to draw")
    return outline, path


def _with_moves_after_close(rows: Rows, path: NDArray[np.intp]) -> tuple[Rows, NDArray[np.intp]]:
    """A segment straight after a close starts a new subpath at the closed one's start (SVG 2, 9.3.4)."""
    closes, following = rows.command[:-1] == _Z, rows.command[1:]
    bare = np.flatnonzero(closes & (following != _M) & (following != _Z)) + 1
    repeated = np.flatnonzero(closes & (following == _Z)) + 1
    if not len(bare) and not len(repeated):
        return rows, path
    kept = np.ones(len(rows.command), dtype=bool)
    kept[repeated] = False
    kept = np.insert(kept, bare, True)
    command = np.insert(rows.command, bare, _M)
    relative = np.insert(rows.relative, bare, True)
    numbers = np.insert(rows.numbers, bare, 0.0, axis=0)
    owner = np.insert(path, bare, path[bare])
    return Rows(command[kept], relative[kept], numbers[kept], rows.fault), owner[kept]


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


def _assembled(
    rows: Rows, path: NDArray[np.intp], before: Points, knots: Points, handles: Points
) -> tuple[Outline, NDArray[np.intp]]:
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
    is_arc[is_arc] &= (rows.numbers[is_arc, :2] != 0).all(axis=1) & (before[is_arc] != knots[is_arc]).any(axis=1)
    if is_arc.any():
        table, counts = _with_arcs(Outline(knots, steps, handles, closed), rows.numbers, before, is_arc)
        knots, steps, handles = table.knots, table.steps, table.handles
        kept, path = np.repeat(kept, counts), np.repeat(path, counts)
    handles = handles[kept & (steps >= CURVE)] if len(handles) else handles
    return Outline(knots[kept], steps[kept], handles, closed), path[kept]


def _with_arcs(
    table: Outline, numbers: Points, before: Points, is_arc: NDArray[np.bool_]
) -> tuple[Outline, NDArray[np.intp]]:
    """Replace every arc by its curve pieces. The table has one row a segment, handles included.

    Also tells how many rows each row became.
    """
    arcs = numbers[is_arc]
    pieces, per_arc = arc_cubics(before[is_arc], arcs[:, :2], arcs[:, 2], arcs[:, 3:5], table.knots[is_arc])
    counts = np.ones(len(is_arc), dtype=np.intp)
    counts[is_arc] = per_arc
    target = np.repeat(is_arc, counts)
    knots, handles = np.repeat(table.knots, counts, axis=0), np.repeat(table.handles, counts, axis=0)
    steps = np.repeat(table.steps, counts)
    knots[target], handles[target], steps[target] = pieces[:, 2], pieces[:, :2], PIECE
    steps[np.cumsum(counts)[is_arc] - 1] = CURVE
    return Outline(knots, steps, handles, table.closed), counts
