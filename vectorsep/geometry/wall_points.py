"""Points in between on long straight walls, where another wall faces them near enough for a ridge to matter.

A triangulation sees a wall by its points alone. Art for print has long straight edges with nothing opposite, the
frame around the cloth above all: points on these would be most of its work, for ridges that nobody asks for.
"""

from __future__ import annotations

import math

import numpy as np
import shapely

from vectorsep.geometry.cover import Floats, Indices, ranges
from vectorsep.geometry.region import edge_lines
from vectorsep.geometry.ridges import Complex

CORNER_DEG = 39.0
"""Walls that meet at a wider angle make a corner, which has no ridge."""
FACING = -math.cos(math.radians(CORNER_DEG))
"""The inward normals of walls that face each other have at most this dot product."""
WALL_STEP_MM = 0.6
"""Longer straight walls get points in between. Curved walls have theirs some 0.1 to 0.3 mm apart from flattening."""
LONG_MM = 8 * WALL_STEP_MM
"""Walls longer than this are asked first whether any other faces them: for shorter ones the answer costs more."""
COARSEST = 8
"""Points on walls that nothing faces lie farther apart, but by no more than so many times: where a gap opens, a ridge
runs on towards the next point opposite, and must not start off askew."""


def with_wall_points(edges: Floats, ring: Indices, widest_mm: float) -> tuple[Complex, Indices]:
    """The points of outlines, given by their edges (n, 2, 2) ring by ring, with points on straight walls, as many as
    ridges need whose walls are no farther than `widest_mm`: twice as far apart where the next wall opposite is twice as
    far away. Points are x + iy, in mm; with each comes the ring that it is on."""
    steps = _steps(edges, 2 * widest_mm)
    edge, place = ranges(np.zeros_like(steps), steps)
    start, end = edges.view(np.complex128)[..., 0].T
    return start[edge] + (place / steps[edge]) * (end - start)[edge], ring[edge]


def _steps(edges: Floats, reach_mm: float) -> Indices:
    """In how many equal steps each edge is to be taken."""
    vector = (edges[:, 1] - edges[:, 0]).view(np.complex128)[:, 0]
    step_mm = np.full(len(edges), WALL_STEP_MM)
    lines = edge_lines(edges)
    tree = shapely.STRtree(lines)
    alone, times = np.flatnonzero(np.abs(vector) > LONG_MM), 1
    while len(alone) and times < COARSEST:
        asked, near = tree.query(lines[alone], predicate="dwithin", distance=times * reach_mm)
        # Normals are the directions turned by a right angle, and so make the same angle.
        facing = _cosine(vector[alone[asked]], vector[near]) <= FACING
        alone = np.delete(alone, asked[facing])
        times *= 2
        step_mm[alone] = times * WALL_STEP_MM
    steps: Indices = np.ceil(np.abs(vector) / step_mm).astype(np.intp)
    return steps


def _cosine(one: Complex, other: Complex) -> Floats:
    cosine: Floats = (one.conj() * other).real / (np.abs(one) * np.abs(other))
    return cosine
