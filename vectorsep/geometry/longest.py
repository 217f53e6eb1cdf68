"""Rows of vertices covered by as few cubic curves as hold them within a tolerance.

Each stretch is covered from its start: the longest piece that holds, then the longest from there, and so on. All
stretches are at it at once, and each try tells by its error how long the next one should be.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from vectorsep.geometry.arrays import Flags, Indices
from vectorsep.geometry.cubic_fit import LEAST_LENGTH_MM, Columns, Cubics, Row, fit_cubics, improve_cubics

FIRST_EDGES = 14
"""Edges of a stretch's first try; little hangs on it, since its error soon tells better."""
ORDER = 4
"""By which power of its length a cubic's error grows, when its vertices are taken to lie evenly along it."""
MOST_GROWTH, LEAST_GROWTH = 2.5, 0.1
"""How much longer or shorter than the last try a guess may be."""
MOST_TURN = 1.05 * math.pi / 2
"""Pieces turn by a quarter circle at most, and a little for handles that stand out: curves that turn farther use up
the tolerance by kinks where they meet."""
GUESSES = 2
"""Tries that trust the error; after them the rest is halved, for the error of rough edges tells nothing."""
CARRIED = 3
"""A piece's first try, in lengths of the piece before it."""


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """Stretches of a row, `first` to `last` (k,), and their curves; a stretch of a single edge is a line."""

    first: Indices
    last: Indices
    cubics: Cubics

    @property
    def bent(self) -> Flags:
        """Which pieces are curves."""
        return self.last - self.first > 1


@dataclass(frozen=True, slots=True, eq=False)
class _Search:
    """For each unfinished stretch: where its next piece begins and the stretch stops, the farthest place that a piece
    is known to reach (with its curve), the nearest one known to be too far, the place to try, and the tries so far."""

    begin: Indices
    stop: Indices
    held: Indices
    missed: Indices
    tried: Indices
    tries: Indices
    leaving: Columns
    arriving: Columns

    def only(self, chosen: Flags) -> _Search:
        """Some of the stretches."""
        return _Search(*(getattr(self, name)[..., chosen] for name in self.__slots__))


def longest_pieces(row: Row, first: Indices, last: Indices, within_mm: float) -> Pieces:
    """Pieces that cover the stretches `first` to `last` (k,) of a row, in order, each with a curve that lies within
    the tolerance of it, both ways, or a single edge."""
    found = [_begun(first[:0], last[:0], first[:0])]
    search = _begun(first, last, np.full(len(first), FIRST_EDGES))
    while len(search.begin):
        search = _tried(row, search, within_mm)
        over = search.held + 1 >= search.missed
        done, search = search.only(over), search.only(~over)
        found.append(done)
        rest = done.only(done.held < done.stop)
        fresh = _begun(rest.held, rest.stop, CARRIED * (rest.held - rest.begin))
        search = _together([search, fresh])
    return _pieces(row, _together(found))


def _begun(begin: Indices, stop: Indices, edges: Indices) -> _Search:
    """The search for pieces that begin at these places; a single edge is known to hold."""
    nothing = np.zeros((2, len(begin)))
    tried = np.minimum(begin + edges, stop)
    return _Search(begin, stop, begin + 1, stop + 1, tried, np.zeros_like(begin), nothing, nothing)


def _tried(row: Row, search: _Search, within_mm: float) -> _Search:
    """The search after one try each, with the next place to try."""
    begin, tried = search.begin, search.tried
    cubics, off_mm = fit_cubics(row, begin, tried, within_mm)
    turns = cubics.turns()
    good = (off_mm <= within_mm) & (turns <= MOST_TURN)
    held, missed = np.where(good, tried, search.held), np.where(good, search.missed, tried)
    growth = (max(within_mm, 0.0) / np.maximum(off_mm, LEAST_LENGTH_MM)) ** (1 / ORDER)
    growth = np.minimum(growth, MOST_TURN / np.maximum(turns, LEAST_GROWTH))
    edges = (tried - begin) * np.clip(growth, LEAST_GROWTH, MOST_GROWTH)
    guess = begin + np.where(good, np.ceil(edges), np.floor(edges)).astype(np.intp)
    guess = np.where(search.tries < GUESSES, guess, (held + missed) // 2)
    leaving, arriving = np.where(good, cubics.leaving, search.leaving), np.where(good, cubics.arriving, search.arriving)
    guess = np.clip(guess, held + 1, missed - 1)
    return _Search(begin, search.stop, held, missed, guess, search.tries + 1, leaving, arriving)


def _together(searches: Sequence[_Search]) -> _Search:
    return _Search(*(np.concatenate([getattr(part, name) for part in searches], axis=-1) for name in _Search.__slots__))


def _pieces(row: Row, done: _Search) -> Pieces:
    """The pieces that searches ended with, in the row's order."""
    order = np.argsort(done.begin)
    first, last = done.begin[order], done.held[order]
    span = row.xy[:, last] - row.xy[:, first]
    return Pieces(first, last, Cubics(span, done.leaving[:, order], done.arriving[:, order]))


def smoothed(row: Row, pieces: Pieces, joints: Sequence[tuple[Indices, Indices]], within_mm: float) -> Pieces:
    """The same pieces with a common tangent at joints where both curves still hold the tolerance with it.

    Each entry of `joints` names pieces before and after a joint, (j,) and (j,), no piece twice.
    """
    for before, after in joints:
        concerned = np.concatenate([before, after])
        turned, off_mm = improve_cubics(
            row,
            pieces.first[concerned],
            pieces.last[concerned],
            _turned(pieces.cubics, before, after).only(concerned),
            turning=False,
        )
        good = np.tile((off_mm.reshape(2, -1) <= within_mm).all(axis=0), 2)
        pieces = replace(pieces, cubics=pieces.cubics.but(concerned[good], turned.only(good)))
    return pieces


def _turned(cubics: Cubics, before: Indices, after: Indices) -> Cubics:
    """The curves with both handles of each joint turned to their mean direction, the longer one weighing more."""
    arriving, leaving = cubics.arriving.copy(), cubics.leaving.copy()
    mean = arriving[:, before] + leaving[:, after]
    mean /= np.maximum(np.hypot(*mean), LEAST_LENGTH_MM)
    arriving[:, before] = mean * (mean * arriving[:, before]).sum(axis=0)
    leaving[:, after] = mean * (mean * leaving[:, after]).sum(axis=0)
    return Cubics(cubics.span, leaving, arriving)
