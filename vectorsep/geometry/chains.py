"""Straight pieces joined end to end into lines, as far as they do not fork."""

from __future__ import annotations

import numpy as np

from vectorsep.geometry.arrays import Complex, Indices

NONE = -1
"""In place of an end: the line goes no further."""


def chained(ends: Complex) -> tuple[Indices, Indices]:
    """The lines that pieces make, given by their ends (n, 2), x + iy: which end comes after which along each line, and
    which line that is of. End 2i is where piece i begins, 2i + 1 where it stops; none is as long as nothing.

    Where two pieces meet, and no third, one of the two ends there is told; a ring begins at any of its ends.
    """
    onward = _onward(ends)
    first = np.flatnonzero(onward[_far(np.arange(len(onward)))] == NONE)
    lines = _lines(onward.tolist(), first.tolist())
    told = [end for line in lines for end in (*line, line[-1] ^ 1)]
    return np.array(told, dtype=np.intp), np.repeat(np.arange(len(lines)), [len(line) + 1 for line in lines])


def _far(end: Indices) -> Indices:
    """The other end of the same piece."""
    return end ^ 1


def _onward(ends: Complex) -> Indices:
    """By which end one goes on who set out from each end along its piece: of the next piece, where there is just
    one."""
    _, place = np.unique(ends, return_inverse=True)
    place = place.ravel()
    by_place = np.argsort(place, kind="stable")
    here, there = by_place[np.bincount(place)[place[by_place]] == 2].reshape(-1, 2).T
    onward = np.full(ends.size, NONE)
    onward[_far(here)], onward[_far(there)] = there, here
    return onward


def _lines(onward: list[int], first: list[int]) -> list[list[int]]:
    """The ends that one sets out from along each line; `first` are those that nobody comes to by another piece."""
    gone = bytearray(len(onward) // 2)
    lines = []
    for start in (*first, *range(0, len(onward), 2)):  # then rings, which have no first
        line, end = [], start
        while end != NONE and not gone[end // 2]:
            gone[end // 2] = True
            line.append(end)
            end = onward[end]
        if line:
            lines.append(line)
    return lines
