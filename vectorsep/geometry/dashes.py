"""Cutting polylines into dashes (SVG 2, 13.5.6)."""

from __future__ import annotations

import numpy as np

from vectorsep.geometry.curves import Points
from vectorsep.geometry.traces import Trace

MAX_DASHES = 20_000
"""More dashes on one subpath are a slip of the unit, or an attack."""
POINT_SHARE = 1e-9
"""A dash without length is drawn this share of its chord long, which gives its caps a direction and no size."""


class TooManyDashes(ValueError):
    """A dash pattern so fine that one subpath would fall into more than MAX_DASHES dashes."""


def dashed(line: Trace, pattern: tuple[float, ...], offset: float) -> list[Trace]:
    """The dashes of one subpath, with its corners kept inside them.

    `pattern` holds an even number of lengths, dash and gap in turn, not all zero. On a closed subpath a dash that
    runs through the start is one dash.
    """
    whole = line.opened(1) if line.closed else line
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(whole.points, axis=0).T))])
    length = float(along[-1])
    if length == 0:  # a dot, as browsers draw it whatever the pattern
        return [line]
    spans = _spans(length, pattern, offset)
    pieces = [_cut(whole, along, start, end) for start, end in spans]
    if line.closed and spans and spans[0][0] == 0 and spans[-1][1] == length:
        return [line] if len(pieces) == 1 else [_joined(pieces[-1], pieces[0]), *pieces[1:-1]]
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
            if (stop > 0 or start == stop == 0) and start < length * (1 - POINT_SHARE):  # at the very end no dot either
                spans.append((max(0.0, float(start)), min(length, float(stop))))
    return spans


def _cut(line: Trace, along: Points, start: float, end: float) -> Trace:
    """The line between two distances from its start; a dash without length keeps the direction there."""
    first, last = int(np.searchsorted(along, start, side="right")), int(np.searchsorted(along, end, side="left"))
    last = max(first, last)
    ends = np.stack([np.interp([start, end], along, line.points[:, axis]) for axis in (0, 1)], axis=1)
    if start == end:
        step = min(max(1, first), len(along) - 1)
        ends[1] = ends[0] + (line.points[step] - line.points[step - 1]) * POINT_SHARE
    arriving, leaving = np.zeros((2, 2)), np.zeros((2, 2))
    if along[first - 1] == start:
        leaving[0] = line.leaving[first - 1]
    if last < len(along) and along[last] == end:
        arriving[1] = line.arriving[last]
    inner = slice(first, last)
    return Trace(
        np.concatenate([ends[:1], line.points[inner], ends[1:]]),
        np.concatenate([[True], line.corner[inner], [True]]),
        np.concatenate([arriving[:1], line.arriving[inner], arriving[1:]]),
        np.concatenate([leaving[:1], line.leaving[inner], leaving[1:]]),
        closed=False,
    )


def _joined(last: Trace, first: Trace) -> Trace:
    """One dash of the two that meet at the start of a closed subpath."""
    points = np.concatenate([last.points[:-1], first.points])
    corner = np.concatenate([last.corner[:-1], first.corner])
    arriving = np.concatenate([last.arriving[:-1], first.arriving])
    leaving = np.concatenate([last.leaving[:-1], first.leaving])
    arriving[len(last.points) - 1] = last.arriving[-1]
    return Trace(points, corner, arriving, leaving, closed=False)
