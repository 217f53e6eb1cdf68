"""Cubic curves held to rows of vertices: fitted by least squares, measured by a bound that is its own proof.

Every array has one column a stretch or a vertex, x above y, so that all stretches are worked on at once.

Sources: least squares over the handles and Newton's step towards the nearest parameter, P. J. Schneider, "An
Algorithm for Automatically Fitting Digitized Curves", Graphics Gems (1990); the step that looks aside only, "tangent
distance" in W. Wang, H. Pottmann and Y. Liu, "Fitting B-Spline Curves to Point Clouds by Curvature-Based Squared
Distance Minimization", ACM Transactions on Graphics 25 (2006); the bound, the convex hull property and de Casteljau's
subdivision, G. Farin, "Curves and Surfaces for CAGD", chapters on the Bernstein form.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from vectorsep.geometry.arrays import Flags, Floats, Indices

Columns = Floats

RIDGE = 1e-5
"""Weight of handles at the thirds of the chord in the least squares, in vertices: too little to be seen where the
vertices tell where the handles belong, and the simplest curve through them where they do not."""
LEAST_LENGTH_MM = 1e-9
"""Keeps vertices that coincide from a division by nothing."""
PROMISING = 12.0
"""A curve by least squares that is off by no more times the tolerance may come to hold it: on a quarter circle it is
off nine times as far as need be, since vertices even along the row are not even along the curve."""
DAMPING = 1e-4
"""Holds handles back, in vertices, where moving them would hardly show; ten times more makes the step too short, ten
times less makes it wild on rough rows."""
BLOCK = 16_384
"""Vertices worked on at a time, so that the many arrays of a fit stay in the processor's cache."""


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """Vertices of polylines one after the other, in mm: `xy` (2, n); where curves are best led past each, `aims`
    (2, n); and the length run up to each, `along` (n,)."""

    xy: Columns
    aims: Columns
    along: Columns


@dataclass(frozen=True, slots=True, eq=False)
class Cubics:
    """Cubic curves, each array (2, k), in mm: `span` leads from start to end, `leaving` from the start to the first
    handle, `arriving` from the second handle to the end."""

    span: Columns
    leaving: Columns
    arriving: Columns

    def powers(self) -> Columns:
        """Coefficients (3, 2, k) of u, u^2 and u^3; every curve starts at the origin."""
        span, leaving, arriving = self.span, self.leaving, self.arriving
        return np.stack([3 * leaving, 3 * (span - arriving - 2 * leaving), 3 * (leaving + arriving) - 2 * span])

    def turns(self) -> Columns:
        """By how many radians each curve's control polygon turns, which is no less than the curve does (k,)."""
        x, y = np.stack([self.leaving, self.span - self.leaving - self.arriving, self.arriving], axis=1)
        cross, dot = x[:-1] * y[1:] - y[:-1] * x[1:], x[:-1] * x[1:] + y[:-1] * y[1:]
        return np.asarray(np.abs(np.arctan2(cross, dot)).sum(axis=0))

    def only(self, chosen: Indices | Flags | slice) -> Cubics:
        """Some of the curves."""
        return Cubics(self.span[:, chosen], self.leaving[:, chosen], self.arriving[:, chosen])

    def but(self, changed: Indices, others: Cubics) -> Cubics:
        """The same curves, but those at the places `changed` with the handles of others."""
        leaving, arriving = self.leaving.copy(), self.arriving.copy()
        leaving[:, changed], arriving[:, changed] = others.leaving, others.arriving
        return Cubics(self.span, leaving, arriving)


@dataclass(frozen=True, slots=True, eq=False)
class _Stretches:
    """Stretches of a row side by side: how many vertices each has and where it starts among all of them (k,), the
    vertices and their aims (2, n) as seen from their stretch's start, and where on its curve (0 to 1) each vertex is
    taken to lie (n,)."""

    counts: Indices
    starts: Indices
    span: Columns
    xy: Columns
    aims: Columns
    u: Columns

    def spread(self, values: Columns) -> Columns:
        """Values of the stretches, given to each of their vertices."""
        return np.repeat(values, self.counts, axis=-1)

    def total(self, values: Columns) -> Columns:
        """Sums over each stretch."""
        return np.asarray(np.add.reduceat(values, self.starts, axis=-1))


def row_of(xy: Columns) -> Row:
    """A row of vertices (2, n).

    Aims lie off the vertices by half the sag of the edges there, so that a curve through them is no farther from the
    edges' middles than from the vertices: towards the neighbours, by an eighth of how far the vertex stands out.
    """
    edges = np.diff(xy, axis=1)
    lengths = np.maximum(np.hypot(*edges), LEAST_LENGTH_MM)
    aims = xy.copy()
    aims[:, 1:-1] += np.diff(edges / lengths, axis=1) / (1 / lengths[:-1] + 1 / lengths[1:]) / 8
    return Row(xy, aims, np.append(0.0, np.cumsum(lengths)))


def fit_cubics(row: Row, first: Indices, last: Indices, within_mm: float) -> tuple[Cubics, Columns]:
    """A cubic for each stretch of a row, between its two end vertices, and how far (mm) it strays from it at most.

    `first` and `last` (k,) are places in the row, at least one edge apart. Curves that miss the tolerance but come
    near it are worked on once more.
    """
    span = row.xy[:, last] - row.xy[:, first]
    cubics, off_mm = Cubics(span, np.empty_like(span), np.empty_like(span)), np.empty(len(first))
    for some in _blocks(last - first + 1):
        stretches = _stretches(row, first[some], last[some])
        fitted = _least_squares(stretches)
        cubics.leaving[:, some], cubics.arriving[:, some] = fitted.leaving, fitted.arriving
        off_mm[some] = _strays(stretches, fitted)
    near = np.flatnonzero((off_mm > within_mm) & (off_mm < PROMISING * within_mm))
    stepped, stepped_off_mm = improve_cubics(row, first[near], last[near], cubics.only(near), turning=True)
    better = stepped_off_mm < off_mm[near]
    off_mm[near[better]] = stepped_off_mm[better]
    return cubics.but(near[better], stepped.only(better)), off_mm


def improve_cubics(row: Row, first: Indices, last: Indices, cubics: Cubics, *, turning: bool) -> tuple[Cubics, Columns]:
    """The cubics of stretches after one more step of their fit, and how far (mm) they stray now at most.

    Unless `turning`, handles keep their directions.
    """
    leaving, arriving, off_mm = np.empty_like(cubics.span), np.empty_like(cubics.span), np.empty(len(first))
    for some in _blocks(last - first + 1):
        stretches = _stretches(row, first[some], last[some])
        stretches = replace(stretches, u=_nearer(stretches, stretches.spread(cubics.only(some).powers())))
        stepped = _stepped(stretches, cubics.only(some), turning=turning)
        leaving[:, some], arriving[:, some] = stepped.leaving, stepped.arriving
        off_mm[some] = _strays(stretches, stepped)
    return Cubics(cubics.span, leaving, arriving), off_mm


def _blocks(counts: Indices) -> Iterator[slice]:
    """All stretches, in slices of about BLOCK vertices."""
    if not len(counts):
        return
    block = np.cumsum(counts) // BLOCK
    edges = [0, *(np.flatnonzero(np.diff(block)) + 1).tolist(), len(counts)]
    yield from (slice(start, end) for start, end in pairwise(edges))


def _stretches(row: Row, first: Indices, last: Indices) -> _Stretches:
    """Stretches whose vertices are taken to lie on their curves as they do along the row."""
    counts = last - first + 1
    starts = np.cumsum(counts) - counts
    place = np.arange(counts.sum()) + np.repeat(first - starts, counts)
    length = np.maximum(row.along[last] - row.along[first], LEAST_LENGTH_MM)
    u = (row.along.take(place) - np.repeat(row.along[first], counts)) / np.repeat(length, counts)
    start = row.xy[:, first]
    origin = np.repeat(start, counts, axis=1)
    xy, aims = row.xy.take(place, axis=1) - origin, row.aims.take(place, axis=1) - origin
    return _Stretches(counts, starts, row.xy[:, last] - start, xy, aims, u)


def _least_squares(stretches: _Stretches) -> Cubics:
    """The curves whose handles bring them nearest to the vertices; where the handles lie is free."""
    u, span = stretches.u, stretches.span
    middle = 3 * u * (1 - u)
    b1, b2 = middle * (1 - u), middle * u
    rest = stretches.aims - u * stretches.spread(span)
    c11, c12, c22 = stretches.total(np.stack([b1 * b1, b1 * b2, b2 * b2]))
    x1, x2 = stretches.total(b1 * rest), stretches.total(b2 * rest)
    c11, c22 = c11 + RIDGE, c22 + RIDGE
    determinant = c11 * c22 - c12 * c12
    third = span / 3
    return Cubics(span, third + (x1 * c22 - x2 * c12) / determinant, third - (c11 * x2 - c12 * x1) / determinant)


def _stepped(stretches: _Stretches, cubics: Cubics, *, turning: bool) -> Cubics:
    """The curves after one Gauss-Newton step that looks only at how far vertices lie to the side of them.

    What vertices lie ahead or behind does not matter, as moving along a curve mends it.
    """
    u, powers = stretches.u, stretches.spread(cubics.powers())
    slope = _slope(powers, u)
    speed = np.sqrt((slope * slope).sum(axis=0))
    aside = np.stack([-slope[1], slope[0]]) / np.maximum(speed, LEAST_LENGTH_MM)
    off = (_offset(powers, stretches.aims, u) * aside).sum(axis=0)
    middle = 3 * u * (1 - u)
    pull = np.stack([middle * (1 - u) * aside, -middle * u * aside])
    handles = np.stack([cubics.leaving, cubics.arriving])
    ways = handles / np.maximum(np.hypot(handles[:, 0], handles[:, 1]), LEAST_LENGTH_MM)[:, None]
    pull = pull.reshape(4, -1) if turning else (pull * stretches.spread(ways)).sum(axis=1)
    system = stretches.total(pull[:, None] * pull).transpose(2, 0, 1)
    system += DAMPING * stretches.counts[:, None, None] * np.eye(len(pull))
    change = np.linalg.solve(system, stretches.total(pull * off).T[:, :, None])[:, :, 0].T
    leaving, arriving = handles - (change.reshape(2, 2, -1) if turning else change[:, None] * ways)
    return Cubics(cubics.span, leaving, arriving)


def _strays(stretches: _Stretches, cubics: Cubics) -> Columns:
    """A bound of the distance (mm) between each curve and its stretch, both ways.

    Let a point run evenly along an edge while the parameter runs evenly from one end's to the other's. The difference
    of the two places is a cubic of the way run, and so no longer than the longest of its control points, here those
    of its two halves. From edge to edge the parameter runs on from 0 to 1, be it back and forth: all of the curve and
    all of the edges are met, and nowhere are the two farther apart.
    """
    powers, xy = stretches.spread(cubics.powers()), stretches.xy
    u = _nearer(stretches, powers)
    off, slope = _offset(powers, xy, u), _slope(powers, u)
    steps, edges = np.diff(u) / 3, np.diff(xy, axis=1) / 3
    p0, p3 = off[:, :-1], off[:, 1:]
    p1, p2 = p0 + steps * slope[:, :-1] - edges, p3 - steps * slope[:, 1:] + edges
    p01, p12, p23 = 0.5 * (p0 + p1), 0.5 * (p1 + p2), 0.5 * (p2 + p3)
    p012, p123 = 0.5 * (p01 + p12), 0.5 * (p12 + p23)
    squared = np.zeros(len(u) - 1)
    for x, y in (p0, p01, p012, 0.5 * (p012 + p123), p123, p23, p3):
        np.maximum(squared, x * x + y * y, out=squared)
    squared[stretches.starts[1:] - 1] = 0.0  # from one stretch's end to the next one's start there is no edge
    return np.sqrt(np.maximum.reduceat(squared, stretches.starts))


def _nearer(stretches: _Stretches, powers: Columns) -> Columns:
    """Parameters after one Newton step towards those whose points are nearest to the vertices."""
    u = stretches.u
    off, slope = _offset(powers, stretches.xy, u), _slope(powers, u)
    bend = 2 * powers[1] + (6 * u) * powers[2]
    change = (slope * slope + off * bend).sum(axis=0)
    step = np.divide((off * slope).sum(axis=0), change, out=np.zeros_like(u), where=change > 0)
    return np.asarray(np.clip(u - step, 0.0, 1.0))


def _offset(powers: Columns, xy: Columns, u: Columns) -> Columns:
    return np.asarray(((powers[2] * u + powers[1]) * u + powers[0]) * u - xy)


def _slope(powers: Columns, u: Columns) -> Columns:
    return np.asarray((3 * powers[2] * u + 2 * powers[1]) * u + powers[0])
