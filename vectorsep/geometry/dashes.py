"""Cutting polylines into dashes (SVG 2, 13.5.6)."""

from __future__ import annotations

import numpy as np

from vectorsep.geometry.curves import Points, Polyline

MAX_DASHES = 100_000
"""More dashes on one subpath are a slip of the unit, or an attack."""


class TooManyDashes(ValueError):
    """A dash pattern so fine that one subpath would fall into more than MAX_DASHES dashes."""


def dashed(line: Polyline, pattern: tuple[float, ...], offset: float) -> list[Polyline]:
    """The dashes of one subpath, with its corners kept inside them.

    `pattern` holds an even number of lengths, dash and gap in turn, not all zero. On a closed subpath a dash that
    runs through the start is one dash.
    """
    points = np.concatenate([line.points, line.points[:1]]) if line.closed else line.points
    corner = np.concatenate([line.corner, line.corner[:1]]) if line.closed else line.corner
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    length = float(along[-1])
    if length == 0:
        return []
    spans = _spans(length, pattern, offset)
    pieces = [_cut(points, corner, along, start, end) for start, end in spans]
    if line.closed and len(spans) > 0:
        pieces = _joined_at_start(line, pieces, spans, length)
    return pieces


def _spans(length: float, pattern: tuple[float, ...], offset: float) -> list[tuple[float, float]]:
    """Where dashes begin and end along the line."""
    period = sum(pattern)
    if length / period * len(pattern) > 2 * MAX_DASHES:
        raise TooManyDashes(f"more than {MAX_DASHES:,} dashes")
    edges = np.concatenate([[0.0], np.cumsum(pattern)])
    shift = offset % period
    repeats = int(np.ceil((length + shift) / period)) + 1
    spans = []
    for k in range(repeats):
        for begin, end in zip(edges[:-1:2], edges[1::2], strict=True):
            start, stop = k * period + begin - shift, k * period + end - shift
            if stop >= 0 and start <= length and (stop > 0 or start == stop) and (start < length or start == stop):
                spans.append((max(0.0, float(start)), min(length, float(stop))))
    return spans


def _cut(points: Points, corner: np.ndarray, along: Points, start: float, end: float) -> Polyline:
    first, last = np.searchsorted(along, start, side="right"), np.searchsorted(along, end, side="left")
    ends = np.stack([np.interp([start, end], along, points[:, axis]) for axis in (0, 1)], axis=1)
    if start == end:
        step = max(1, min(int(first), len(points) - 1))
        ends[1] = ends[0] + (points[step] - points[step - 1]) * 1e-9
    inner = slice(first, max(first, last))
    return Polyline(
        np.concatenate([ends[:1], points[inner], ends[1:]]),
        np.concatenate([[True], corner[inner], [True]]),
        closed=False,
    )


def _joined_at_start(
    line: Polyline, pieces: list[Polyline], spans: list[tuple[float, float]], length: float
) -> list[Polyline]:
    """Make one dash of the last and the first where both reach the start of a closed subpath."""
    if spans[0][0] > 0 or spans[-1][1] < length:
        return pieces
    if len(pieces) == 1:
        return [line]
    last, first = pieces[-1], pieces[0]
    seam = line.corner[:1]
    joined = Polyline(
        np.concatenate([last.points[:-1], first.points]),
        np.concatenate([last.corner[:-1], seam, first.corner[1:]]),
        closed=False,
    )
    return [joined, *pieces[1:-1]]
