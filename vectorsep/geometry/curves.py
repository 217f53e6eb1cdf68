"""Outlines of lines and cubic Bezier curves, and their flattening into polylines, vectorised.

Sources: number of chords, Wang, Shen and Shang's bound (1984) as used in G. Farin, "Curves and Surfaces for CAGD",
chapter on subdivision; arcs, SVG 2 appendix B.2 (implementation notes for elliptical arcs).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vectorsep.geometry.affine import Affine
from vectorsep.geometry.arrays import Flags, Floats, Indices

Points = Floats
"""Their last axis is x and y."""

FLATNESS_MM = 0.002
"""How far a chord may lie from its curve in the print: less than half a dot at 5,080 dpi."""
READING_ERROR_MM = 2 * FLATNESS_MM
"""Two outlines read back from films, each flattened to chords, lie this much nearer to each other than measured, at
worst."""
MAX_ARC_STEP = math.pi / 6
"""Arcs become cubic curves of at most 30 degrees, off by less than 4e-7 of the radius (0.1 micrometre at 300 mm)."""
_WHOLE_STEP = 1e-6
"""Share of a step that rounding may add, so that all quarter circles fall into the same number of pieces."""
MAX_CHORDS_PER_CURVE = 65_536
"""A single curve that needs more chords lies far outside any page."""
MAX_POINTS = 8_000_000
"""One outline's points after flattening; four such hold the memory of a large film."""

MOVE, LINE, CURVE, PIECE = 1, 2, 3, 4
"""Kinds of steps. A PIECE is a CURVE that ends inside one segment of the drawing, such as a part of an arc."""


class TooManyPoints(ValueError):
    """Flattening would make more points than MAX_POINTS."""


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """Subpaths as drawn. `knots` is (n, 2): where each step ends; `steps` its kind.

    `handles` is (m, 2, 2): the two control points of every CURVE and PIECE, in order. Every subpath starts with a MOVE;
    `closed` tells for each subpath whether it was closed on purpose.
    """

    knots: Points
    steps: NDArray[np.uint8]
    handles: Points
    closed: Flags

    @property
    def is_empty(self) -> bool:
        """Whether nothing is drawn."""
        return len(self.knots) == 0

    @property
    def curved(self) -> Flags:
        """Which steps are curves and own a row of handles."""
        return self.steps >= CURVE

    @property
    def starts(self) -> Indices:
        """Index of the MOVE of each subpath."""
        return np.flatnonzero(self.steps == MOVE)

    def mapped(self, to: Affine) -> Outline:
        """The outline under an affine map."""
        handles = to.apply(self.handles.reshape(-1, 2)).reshape(-1, 2, 2)
        return Outline(to.apply(self.knots), self.steps, handles, self.closed)


class SameOutline:
    """An outline that is equal to any other drawn the same, as a key for what is made of it."""

    __slots__ = ("_drawn", "outline")

    def __init__(self, outline: Outline) -> None:
        self.outline = outline
        arrays = (outline.knots, outline.steps, outline.handles, outline.closed)
        self._drawn = tuple(array.tobytes() for array in arrays)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, SameOutline) and self._drawn == other._drawn

    def __hash__(self) -> int:
        return hash(self._drawn)


def polyline_outline(points: Points, *, closed: bool) -> Outline:
    """One subpath of straight lines through the (n, 2) points."""
    steps = np.full(len(points), LINE, dtype=np.uint8)
    steps[:1] = MOVE
    return Outline(points, steps, np.empty((0, 2, 2)), np.full(min(1, len(points)), closed))


NO_OUTLINE = polyline_outline(np.empty((0, 2)), closed=False)


def joined(outlines: Iterable[Outline]) -> Outline:
    """All subpaths of several outlines in one."""
    parts = list(outlines) or [NO_OUTLINE]
    return Outline(
        np.concatenate([part.knots for part in parts]),
        np.concatenate([part.steps for part in parts]),
        np.concatenate([part.handles for part in parts]),
        np.concatenate([part.closed for part in parts]),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Polyline:
    """One flattened subpath: (n, 2) points; `corner` marks the points that are knots, not inner points of a curve."""

    points: Points
    corner: Flags
    closed: bool


def flatten(outline: Outline, tolerance: float) -> list[Polyline]:
    """Replace curves by chords no farther from them than the tolerance (in the outline's own units).

    Raises TooManyPoints rather than fill the memory.
    """
    if outline.is_empty:
        return []
    points, corner, last = chords(outline, tolerance)
    starts = last[outline.starts]
    ends = [*starts[1:], len(points)]
    return [
        Polyline(points[start:end], corner[start:end], bool(closed))
        for start, end, closed in zip(starts, ends, outline.closed, strict=True)
    ]


def chords(outline: Outline, tolerance: float, turn: float = math.inf) -> tuple[Points, Flags, Indices]:
    """All points of an outline, flattened; which of them end a segment; and at which one each step ends.

    `turn` limits by how many radians the direction may change from chord to chord, for lines to be widened.
    """
    curve = np.flatnonzero(outline.steps >= CURVE)
    if not len(curve):
        return outline.knots, np.ones(len(outline.knots), dtype=bool), np.arange(len(outline.knots))
    controls = np.concatenate([outline.knots[curve - 1, None], outline.handles, outline.knots[curve, None]], axis=1)
    counts = np.ones(len(outline.knots), dtype=np.intp)
    counts[curve] = chord_counts(controls, tolerance, turn)
    last = np.cumsum(counts) - 1
    if last[-1] >= MAX_POINTS:
        raise TooManyPoints(f"more than {MAX_POINTS:,} points")
    points = np.empty((last[-1] + 1, 2))
    points[last] = outline.knots
    corner = np.zeros(len(points), dtype=bool)
    corner[last] = outline.steps != PIECE
    _fill_inner_points(points, controls, counts[curve], last[curve])
    return points, corner, last


def _fill_inner_points(points: Points, controls: Points, counts: Indices, last: Indices) -> None:
    """Put the points between the ends of each curve in place, all curves of one chord count in one product."""
    for count in np.unique(counts).tolist():
        if count == 1:
            continue
        rows = np.flatnonzero(counts == count)
        t = np.arange(1, count) / count
        s = 1 - t
        basis = np.stack([s**3, 3 * s * s * t, 3 * s * t * t, t**3], axis=1)
        points[last[rows, None] - count + np.arange(1, count)] = basis @ controls[rows]


def chord_counts(controls: Points, tolerance: float, turn: float = math.inf) -> Indices:
    """Chords for each cubic of an (n, 4, 2) array: Wang's bound, sqrt(6/8 max|second difference| / tolerance)."""
    with np.errstate(over="ignore", invalid="ignore"):
        second = np.abs(controls[:, :-2] - 2 * controls[:, 1:-1] + controls[:, 2:])
        bend = np.hypot(second[..., 0], second[..., 1]).max(axis=1)
        counts = np.ceil(np.sqrt(0.75 * bend / tolerance))
    if math.isfinite(turn):
        counts = np.maximum(counts, np.ceil(_total_turn(controls) / turn))
    if not (counts <= MAX_CHORDS_PER_CURVE).all():
        raise TooManyPoints(f"a curve needs more than {MAX_CHORDS_PER_CURVE:,} chords")
    whole: Indices = np.maximum(counts, 1).astype(np.intp)
    return whole


def _total_turn(controls: Points) -> Points:
    """By how many radians each control polygon turns, an upper bound for its curve."""
    legs = np.diff(controls, axis=1)
    angles = np.arctan2(legs[..., 1], legs[..., 0])
    turns = np.abs((np.diff(angles, axis=1) + math.pi) % (2 * math.pi) - math.pi)
    drawn = (legs != 0).any(axis=2)
    turns[~(drawn[:, 1:] & drawn[:, :-1])] = math.pi / 2
    return np.asarray(turns.sum(axis=1))


def arc_cubics(starts: Points, radii: Points, rotations: Points, flags: Points, ends: Points) -> tuple[Points, Indices]:
    """Elliptical arcs as cubic curves of at most MAX_ARC_STEP, after SVG 2 appendix B.2.4 and B.2.5.

    All arguments have one row an arc: start, (rx, ry), x-axis rotation in degrees, (large, sweep), end. The radii
    must not be zero. Returns (k, 3, 2), two handles and the knot of every piece, and the number of pieces an arc.
    """
    phi = np.radians(rotations)
    cosine, sine = np.cos(phi), np.sin(phi)
    half = (starts - ends) / 2
    local = np.stack([cosine * half[:, 0] + sine * half[:, 1], cosine * half[:, 1] - sine * half[:, 0]], axis=1)
    radii = np.abs(radii)
    unit = local / radii
    excess = (unit**2).sum(axis=1)
    grow = np.sqrt(np.maximum(1, excess))[:, None]
    radii, unit, excess = radii * grow, unit / grow, np.minimum(excess, 1)
    side = np.where(flags[:, 0] != flags[:, 1], 1.0, -1.0)
    reach = side * np.sqrt((1 - excess) / np.where(excess > 0, excess, 1))
    centre = np.stack([reach * unit[:, 1], -reach * unit[:, 0]], axis=1)
    first = np.arctan2(*(unit - centre).T[::-1])
    sweep = (np.arctan2(*(-unit - centre).T[::-1]) - first) % (2 * math.pi)
    sweep = np.where(flags[:, 1] != 0, sweep, sweep - 2 * math.pi)
    counts = np.maximum(1, np.nan_to_num(np.ceil(np.abs(sweep) / MAX_ARC_STEP - _WHOLE_STEP))).astype(np.intp)
    owner = np.repeat(np.arange(len(counts)), counts)
    scaled = (_unit_pieces(first, sweep / counts, owner, counts) + centre[owner, None]) * radii[owner, None]
    cosine, sine = cosine[owner, None], sine[owner, None]
    turned = [cosine * scaled[..., 0] - sine * scaled[..., 1], sine * scaled[..., 0] + cosine * scaled[..., 1]]
    pieces: Points = np.stack(turned, axis=-1) + ((starts + ends) / 2)[owner, None]
    pieces[np.cumsum(counts) - 1, 2] = ends
    return pieces, counts


def _unit_pieces(first: Points, step: Points, owner: Indices, counts: Indices) -> Points:
    """Handles and knots of arcs of the unit circle, each arc in equal pieces."""
    rank = np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)
    start = first[owner] + step[owner] * rank
    reach = (4 / 3 * np.tan(step[owner] / 4))[:, None]
    on = [np.stack([np.cos(angle), np.sin(angle)], axis=1) for angle in (start, start + step[owner])]
    along = [np.stack([-point[:, 1], point[:, 0]], axis=1) * reach for point in on]
    return np.stack([on[0] + along[0], on[1] - along[1], on[1]], axis=1)
