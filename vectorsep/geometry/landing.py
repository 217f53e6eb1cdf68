"""How much of a region comes to lie on another when it is moved a little: by pairs of edges, without any overlay.

Let the two have no area in common, and look at one line along which the one is moved by T. On it, let an outline end
where the line leaves a region and begin where it enters one. Take first a half-line that ends at q and is moved, and
a half-line that begins at g, the ground. Where g lies ahead of q, T - (g - q) comes to lie on the ground, or nothing
if that is negative. Where g lies behind q, T more lies on it than before. Any stretch is one half-line less another,
so what lands is a sum over all q and all g: added where one of them ends and the other begins, taken away where both
do the same. For each q, the terms of all g behind it come to nothing: as many begin there as end, or q would lie on
the ground. What is left are the g ahead of q by less than T. Over all lines these are pairs of edges near each other,
and along their common stretch the way from edge to edge is even.

When the region is turned, every edge has its own way, and sweeps a four-sided figure near the parallelogram that it
is taken to sweep. Let L be its length, and k by how much the ways of two points differ, as a share of their distance.
An end of the edge goes astray by k L / 2 at most; so the figure is off by a triangle of T and that on either side,
and by two triangles of L / 2 and that at the far end, k L (T / 2 + L / 4) in all.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from vectorsep.geometry.arrays import Flags, Floats, Indices
from vectorsep.geometry.boolean import RESCUE_GRID_MM
from vectorsep.geometry.near import within_bounds
from vectorsep.geometry.region import ring_edges, rings_in_steps
from vectorsep.model import Region

LONGEST_MM = 2.0
"""Longer edges are cut: boxes around them hold less, and turned edges stray less from parallelograms."""
TOUCHING_MM = 2 * RESCUE_GRID_MM
"""Edges no farther apart than this along the way may lie on either side of each other, by the engine's errors. Then
what ends at one and begins at the other is added, or what lands on a common border were lost; nothing else is. On a
line where that leaves out a term that should be added, because something begins and ends between the two edges, it
leaves out two that should be taken away: so the sum never comes out too small."""
NO_WAY_MM = 1e-12
"""What moves less lands nowhere."""


@dataclass(frozen=True, slots=True, eq=False)
class EdgePairs:
    """Pairs of an edge of a region and an edge of another, near each other, in mm.

    Edges are (2, 2, n): start and end, x and y, one column a pair; in the sense in which an outline has a positive
    area.
    """

    moving: Floats
    ground: Floats
    edge: Indices
    """Which edge the moving one is: it is in as many pairs as others are near."""
    middles_mm: Floats
    """The middles of the moving edges, (n, 2)."""
    lengths_mm: Floats
    """Their lengths."""


def edge_pairs(moving: Region, ground: Region, reach_mm: float) -> EdgePairs:
    """All pairs of edges that a way of the reach can join."""
    one, other = _edges(moving), _edges(ground)
    tree = shapely.STRtree(within_bounds(one.min(axis=0).T, one.max(axis=0).T))
    near, edge = tree.query(within_bounds(other.min(axis=0).T - reach_mm, other.max(axis=0).T + reach_mm))
    edges = one[:, :, edge]
    return EdgePairs(edges, other[:, :, near], edge, (edges.sum(axis=0) / 2).T, np.hypot(*(edges[1] - edges[0])))


def landing_mm2(pairs: EdgePairs, ways_mm: Floats, unevenness: float = 0.0) -> float:
    """Area of the moving region that comes to lie on the ground, where the two have no area in common.

    `ways_mm` is (n, 2), how the middle of each pair's moving edge is moved, or (1, 2) if all are moved alike; none is
    longer than the reach of the pairs. `unevenness` is by how much the ways of two points differ at most, as a share
    of their distance. The outcome is never less than the area, last bits aside; without unevenness it is hardly more,
    unless much of what is thinner than TOUCHING_MM lies between the two.
    """
    if not len(pairs.edge):
        return 0.0
    stray_mm = unevenness * pairs.lengths_mm / 2
    meeting = _meeting(pairs, ways_mm, stray_mm)
    landing = float(meeting.landing_mm2.sum())
    return landing if unevenness == 0 else landing + _astray_mm2(pairs, meeting, stray_mm)


def _astray_mm2(pairs: EdgePairs, meeting: _Meeting, stray_mm: Floats) -> float:
    """By how much all turned edges may be off that sweep over an edge of the ground, or nearly so."""
    swept = meeting.sweeps(stray_mm[meeting.pair])
    pair, way_mm = meeting.pair[swept], meeting.way_mm[swept]
    off_mm2 = stray_mm[pair] * (way_mm + pairs.lengths_mm[pair] / 2)
    _, once = np.unique(pairs.edge[pair], return_index=True)
    return float(off_mm2[once].sum())


@dataclass(frozen=True, slots=True, eq=False)
class _Course:
    """Edges by where their ends lie across the way and along it, each (2, n)."""

    across: Floats
    along: Floats

    @property
    def side(self) -> Floats:
        """1 where the region ends along the way, -1 where it begins."""
        return np.asarray(np.sign(self.across[1] - self.across[0]))

    def at(self, across: Floats) -> Floats:
        """Where along the way each edge lies at a place across it, which it reaches."""
        run, rise = (ends[1] - ends[0] for ends in (self.across, self.along))
        share = np.divide(across - self.across[0], run, out=np.zeros_like(run), where=run != 0)
        return np.asarray(self.along[0] + np.clip(share, 0.0, 1.0) * rise)


@dataclass(frozen=True, slots=True, eq=False)
class _Meeting:
    """Those pairs of which the moving edge comes to meet the other: arrays with an entry a pair, in mm."""

    pair: Indices
    moving: _Course
    ground: _Course
    first: Floats
    """Where their common stretch begins, across the way."""
    last: Floats
    way_mm: Floats
    """How far the moving edge goes."""

    @property
    def landing_mm2(self) -> Floats:
        """What lands, to be added or taken away."""
        here, there = (self.ground.at(across) - self.moving.at(across) for across in (self.first, self.last))
        ends, begins = self.moving.side > 0, self.ground.side < 0
        nearest = np.where(ends & begins, -TOUCHING_MM, TOUCHING_MM)
        begin, end = np.clip(here, nearest, self.way_mm), np.clip(there, nearest, self.way_mm)
        whole = (begin == here).astype(float)
        share = np.divide(end - begin, there - here, out=whole, where=there != here)
        area = share * np.maximum(self.last - self.first, 0.0) * (self.way_mm - (begin + end) / 2)
        return np.asarray(np.where(ends == begins, area, -area))

    def sweeps(self, stray_mm: Floats) -> Flags:
        """Whether the parallelogram that the moving edge sweeps comes within so much of the edge of the ground: where
        it does not, they are apart across one of their sides."""
        return _near_across(self.moving, self.ground, self.way_mm, stray_mm) & _near_across(
            self.ground, self.moving, -self.way_mm, stray_mm
        )


def _meeting(pairs: EdgePairs, ways_mm: Floats, stray_mm: Floats) -> _Meeting:
    """The pairs that meet, if the moving edges stray no farther than so much from their ways."""
    x, y = ways_mm.T
    length = np.hypot(x, y)
    x, y = x / np.maximum(length, NO_WAY_MM), y / np.maximum(length, NO_WAY_MM)
    moving, ground = _dots(pairs.moving, -y, x), _dots(pairs.ground, -y, x)
    first = np.maximum(np.minimum(*moving), np.minimum(*ground))
    last = np.minimum(np.maximum(*moving), np.maximum(*ground))
    pair = np.flatnonzero(last + stray_mm > first)
    x, y, length = (np.broadcast_to(of_way, first.shape)[pair] for of_way in (x, y, length))
    moving_along, ground_along = _dots(pairs.moving[:, :, pair], x, y), _dots(pairs.ground[:, :, pair], x, y)
    near = np.minimum(*ground_along) - np.maximum(*moving_along) <= length + stray_mm[pair]
    ahead = np.maximum(*ground_along) - np.minimum(*moving_along) >= -TOUCHING_MM - stray_mm[pair]
    meets = near & ahead
    pair = pair[meets]
    return _Meeting(
        pair,
        _Course(moving[:, pair], moving_along[:, meets]),
        _Course(ground[:, pair], ground_along[:, meets]),
        first[pair],
        last[pair],
        length[meets],
    )


def _near_across(edges: _Course, others: _Course, way_mm: Floats, within_mm: Floats) -> Flags:
    """Whether the other edges come within so much of what the edges sweep, measured across the edges themselves."""
    across, along = (ends[1] - ends[0] for ends in (edges.across, edges.along))
    length = np.maximum(np.hypot(across, along), NO_WAY_MM)
    off = (across * (others.along - edges.along[0]) - along * (others.across - edges.across[0])) / length
    swept = across * way_mm / length
    return np.asarray(
        (off.min(axis=0) <= np.maximum(swept, 0) + within_mm) & (off.max(axis=0) >= np.minimum(swept, 0) - within_mm)
    )


def _edges(region: Region) -> Floats:
    return np.ascontiguousarray(ring_edges(rings_in_steps(region, LONGEST_MM))[0].transpose(1, 2, 0))


def _dots(edges: Floats, x: Floats, y: Floats) -> Floats:
    """Scalar products of both ends of each edge with the vector of its pair, (2, n)."""
    return np.asarray(edges[:, 0] * x + edges[:, 1] * y)
