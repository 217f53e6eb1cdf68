"""Where outlines come near each other: found by short stretches of them, without any overlay."""

from __future__ import annotations

import itertools

import numpy as np
import shapely

from vectorsep.geometry.arrays import Flags, Floats, Geometries, Indices
from vectorsep.geometry.region import edge_lines, ring_edges
from vectorsep.model import Region

FEW, MORE = 8, 8
"""Of lines that regions are asked to be near, so many are taken first, and then so many times as many."""
STRETCH = 8
"""Edges in a stretch: shorter ones are more to ask for, longer ones tell less exactly where. From 4 to 16 it is all
the same."""


def stretches(region: Region) -> Geometries:
    """The outline of a region, holes included, in lines of STRETCH edges at most."""
    ends, ring = ring_edges(shapely.get_rings(shapely.get_parts(region)))
    return in_stretches(ends, np.diff(ring, prepend=-1) != 0)


def in_stretches(ends: Floats, starts: Flags) -> Geometries:
    """Edges (n, 2, 2) in lines of STRETCH of them at most; `starts` says which do not go on from the one before."""
    edges = np.arange(len(starts))
    nth = edges - np.maximum.accumulate(np.where(starts, edges, 0))
    return in_runs(ends, nth % STRETCH == 0)


def in_runs(ends: Floats, starts: Flags) -> Geometries:
    """Edges (n, 2, 2) in lines of which each begins with an edge that starts one: its first point, then every edge's
    second."""
    run, first = np.cumsum(starts) - 1, np.flatnonzero(starts)
    points = np.insert(ends[:, 1], first, ends[first, 0], axis=0)
    return np.asarray(shapely.linestrings(points, indices=np.insert(run, first, run[first])), dtype=object)


def near_places(lines: Geometries, others: Geometries, distance_mm: float) -> Floats:
    """Boxes (rows of left, top, right, bottom) that hold every point within the distance of a line and of another,
    when these two are within the distance of each other. Without such a pair, no rows."""
    i, j = shapely.STRtree(others).query(lines, predicate="dwithin", distance=distance_mm)
    one, other = shapely.bounds(lines)[i], shapely.bounds(others)[j]
    lows = np.maximum(one[:, :2], other[:, :2]) - distance_mm
    return np.hstack([lows, np.minimum(one[:, 2:], other[:, 2:]) + distance_mm])


def within_bounds(lows: Floats, highs: Floats) -> Geometries:
    """Something with each of these bounds, (n, 2) both, for trees, which ask for bounds alone: a line from corner to
    corner, at a third of a box's cost."""
    return edge_lines(np.stack([lows, highs], axis=1))


def near_bounds(regions: Geometries, lines: Geometries, distance_mm: float) -> Indices:
    """The regions whose bounds come as near as the distance to those of any of the lines, by their places.

    Lines are asked for a few at first, and then for more and more: where hundreds meet in a point, each region there is
    near all of them, and one is enough to know.
    """
    bounds = shapely.bounds(regions)
    boxes = within_bounds(bounds[:, :2] - distance_mm, bounds[:, 2:] + distance_mm)
    near = np.zeros(len(boxes), dtype=bool)
    for some in _more_and_more(len(lines)):
        left = np.flatnonzero(~near)
        near[left[shapely.STRtree(lines[some]).query(boxes[left])[0]]] = True
    return np.flatnonzero(near)


def _more_and_more(count: int) -> list[Indices]:
    """Whole numbers below a count, mixed, in parts that grow."""
    mixed = np.random.default_rng(0).permutation(count)  # the same every time
    ends = itertools.takewhile(lambda end: end < count, (FEW * MORE**nth for nth in itertools.count()))
    return np.split(mixed, list(ends))
