"""Cubic curves fitted to stretches of points by least squares, all stretches at a time.

Source: least squares with fixed end tangents and re-parametrisation by Newton's step, P. J. Schneider, "An Algorithm
for Automatically Fitting Digitized Curves", Graphics Gems (1990), here as arrays over all stretches; the fit with free
handles is the same without the tangents.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorsep.geometry.curves import Points

Indices = NDArray[np.intp]

LEAST_REACH = 0.01
"""A handle shorter than this share of its stretch makes a kink where the stretch starts."""
HOPELESS = 30.0
"""A first guess that is off by this many times the aim is not worked on: the stretch will be cut."""
MOST_AROUND = 1.1
"""A free curve's control points may go round by this much more than the stretch is long; farther out it may loop."""
LEAST_DETERMINANT = 1e-9
"""Below this the samples of a stretch lie too close together on it to tell its two handles apart."""
NEWTON_STEPS = 4
"""Rounds of least squares and re-parametrisation; more change less than a tenth of a micrometre."""


@dataclass(frozen=True, slots=True, eq=False)
class Stretches:
    """Stretches of points in one row: where each starts in it, which stretch each point belongs to, the points; and
    for each stretch its two ends (k, 2, 2), the unit tangents pointing inward there (k, 2, 2), and its length."""

    starts: Indices
    owner: Indices
    points: Points
    ends: Points
    tangents: Points
    length: Points

    def only(self, chosen: NDArray[np.bool_]) -> Stretches:
        """Some of the stretches, in order."""
        points = chosen[self.owner]
        owner = (np.cumsum(chosen) - 1)[self.owner[points]]
        starts = np.searchsorted(owner, np.arange(chosen.sum()))
        return Stretches(
            starts, owner, self.points[points], self.ends[chosen], self.tangents[chosen], self.length[chosen]
        )

    def worst(self, off: Points) -> Points:
        """The largest value of each stretch."""
        return np.maximum.reduceat(off, self.starts)


def fit_cubics(stretches: Stretches, u: Points, aim: float) -> tuple[Points, Points]:
    """Handles (k, 2, 2) of a good cubic for each stretch, and how far off each point lies.

    `u` (0 to 1) says where on its stretch each point is taken to lie at first. Curves keep the ends' tangents, which
    is steady; stretches that miss the aim so are tried with free handles, which rough outlines need.
    """
    handles, u, off = _settled(stretches, u, 1, free=False)
    for free in (False, True):
        worst = stretches.worst(off)
        promising = (worst > aim) & (worst < HOPELESS * aim)
        if not promising.any():
            break
        some, points = stretches.only(promising), promising[stretches.owner]
        tried, moved, tried_off = _settled(some, u[points], NEWTON_STEPS, free=free)
        better = some.worst(tried_off) < some.worst(off[points])
        if free:
            better &= _around(some, tried) <= MOST_AROUND * some.length
        handles[promising] = np.where(better[:, None, None], tried, handles[promising])
        u[points] = np.where(better[some.owner], moved, u[points])
        off[points] = np.where(better[some.owner], tried_off, off[points])
    return handles, off


def _settled(stretches: Stretches, u: Points, rounds: int, *, free: bool) -> tuple[Points, Points, Points]:
    """Handles, parameters and distances after some rounds of least squares and of moving the parameters."""
    ends, owner = stretches.ends, stretches.owner
    for _ in range(rounds):
        handles = _free_handles(stretches, u) if free else _bound_handles(stretches, u)
        controls = np.stack([ends[:, 0], handles[:, 0], handles[:, 1], ends[:, 1]], axis=1)[owner]
        u = _nearer(controls, u, _cubic(controls, u) - stretches.points)
    off = _cubic(controls, u) - stretches.points
    return handles, u, np.hypot(off[:, 0], off[:, 1])


def _around(stretches: Stretches, handles: Points) -> Points:
    """Length of each stretch's control polygon, which no curve exceeds."""
    corners = np.concatenate([stretches.ends[:, :1], handles, stretches.ends[:, 1:]], axis=1)
    legs = np.diff(corners, axis=1)
    return np.asarray(np.hypot(legs[..., 0], legs[..., 1]).sum(axis=1))


def _free_handles(stretches: Stretches, u: Points) -> Points:
    """Both handles by least squares, wherever they come to lie; a third of the chord where samples do not tell."""
    ends, owner, starts = stretches.ends, stretches.owner, stretches.starts
    s = 1 - u
    b1, b2 = 3 * s * s * u, 3 * s * u * u
    rest = stretches.points - (s**3)[:, None] * ends[owner, 0] - (u**3)[:, None] * ends[owner, 1]
    c11, c12, c22 = (np.add.reduceat(product, starts)[:, None] for product in (b1 * b1, b1 * b2, b2 * b2))
    x1, x2 = (np.add.reduceat(b[:, None] * rest, starts) for b in (b1, b2))
    det = c11 * c22 - c12 * c12
    chord = (ends[:, 1] - ends[:, 0]) / 3
    thirds = np.stack([ends[:, 0] + chord, ends[:, 1] - chord], axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        handles = np.stack([(x1 * c22 - x2 * c12) / det, (c11 * x2 - c12 * x1) / det], axis=1)
    return np.where((det > LEAST_DETERMINANT)[..., None], handles, thirds)


def _bound_handles(stretches: Stretches, u: Points) -> Points:
    """Handles on the end tangents, as far out as least squares put them; a third of the length where that would turn
    a handle back or throw it far out."""
    ends, owner, starts = stretches.ends, stretches.owner, stretches.starts
    s = 1 - u
    b0, b1, b2, b3 = s**3, 3 * s * s * u, 3 * s * u * u, u**3
    rest = stretches.points - (b0 + b1)[:, None] * ends[owner, 0] - (b2 + b3)[:, None] * ends[owner, 1]
    a1, a2 = b1[:, None] * stretches.tangents[owner, 0], b2[:, None] * stretches.tangents[owner, 1]
    products = [np.einsum("ij,ij->i", p, q) for p, q in ((a1, a1), (a1, a2), (a2, a2), (a1, rest), (a2, rest))]
    c11, c12, c22, x1, x2 = (np.add.reduceat(product, starts) for product in products)
    length = stretches.length[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        det = c11 * c22 - c12 * c12
        reach = np.stack([(x1 * c22 - x2 * c12) / det, (c11 * x2 - c12 * x1) / det], axis=1)
        sound = np.all((reach > LEAST_REACH * length) & (reach < length), axis=1)
    return ends + np.where(sound[:, None], reach, length / 3)[..., None] * stretches.tangents


def _cubic(controls: Points, u: Points) -> Points:
    s, t = (1 - u)[:, None], u[:, None]
    p0, p1, p2, p3 = (controls[:, i] for i in range(4))
    return np.asarray(s * s * (s * p0 + 3 * t * p1) + t * t * (3 * s * p2 + t * p3))


def _nearer(controls: Points, u: Points, off: Points) -> Points:
    """One Newton step towards the parameter whose point is nearest to each sample."""
    first = 3 * np.diff(controls, axis=1)
    second = 2 * np.diff(first, axis=1)
    s, t = (1 - u)[:, None], u[:, None]
    speed = s * s * first[:, 0] + 2 * s * t * first[:, 1] + t * t * first[:, 2]
    bend = s * second[:, 0] + t * second[:, 1]
    slope = np.einsum("ij,ij->i", speed, speed) + np.einsum("ij,ij->i", off, bend)
    step = np.where(slope > 0, np.einsum("ij,ij->i", off, speed) / np.where(slope > 0, slope, 1.0), 0.0)
    return np.asarray(np.clip(u - step, 0.0, 1.0))
