"""The ridges of a region by triangulation.

They are its medial axis without the branches into corners, from a constrained Delaunay triangulation: a side of a
triangle that crosses the region ends on two walls; where these face each other, the point of the side that is
equally far from both lies on the ridge, exactly so for straight walls, however askew the side runs. Ridge points on
the sides of one triangle are joined. Source of the idea: the chordal axis, L. Prasad, "Morphological analysis of
shapes", CNLS Newsletter 139 (1997); the walls' own distances make tapers come out right.

Points, vectors and normals are complex numbers here: x + iy, in mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from vectorsep.errors import UNITE_SHAPES, ArtworkError
from vectorsep.geometry.arrays import Complex, Flags, Floats, Geometries, Indices, ranges
from vectorsep.geometry.region import on_grid, ring_edges, rings_in_steps
from vectorsep.geometry.ridges import NEAR_SHARE, SHORTEST_MM, Ridges, put_together
from vectorsep.geometry.triangles import NONE, OutlinesCross, triangulated
from vectorsep.model import Region
from vectorsep.remember import remembered

WALL_STEP_MM = 0.6
"""Longer straight walls get points in between: a triangulation sees a wall by its points alone. Curved walls have
theirs some 0.1 to 0.3 mm apart from flattening."""
CORNER_DEG = 39.0
"""Walls that meet at a wider angle make a corner, which has no ridge."""
FACING = -math.cos(math.radians(CORNER_DEG))
"""The inward normals of walls that face each other have at most this dot product."""
ACROSS = -math.sin(math.radians(CORNER_DEG))
"""An edge whose inward normal has at most this dot product with a ridge's direction ends it."""
OPEN_TIMES = 2.0
"""Walls so many times as far as asked for are the open: a ridge would run askew out of a gap's mouth towards whatever
point lies there, and goes straight on instead."""


@remembered
def ridges_of(area: Region, widest_mm: float) -> Ridges:
    """All ridges of a region where the walls are no farther than `widest_mm`, and some where they are farther.

    Pieces meet at their ends where a ridge goes on, and where several meet. Raises ArtworkError where outlines cross
    and the plates' grid does not help.
    """
    try:
        return _ridges(area, widest_mm)
    except OutlinesCross:  # put together of pieces that lie over each other by more than rounding
        on_plate_grid = on_grid(area)
    try:
        return _ridges(on_plate_grid, widest_mm)
    except OutlinesCross as crossing:
        where = " near {:.2f}, {:.2f} mm".format(*crossing.at_mm) if crossing.at_mm else ""
        raise ArtworkError(f"outlines cross{where}, on the plates' grid too: {UNITE_SHAPES}") from crossing


def _ridges(area: Region, widest_mm: float) -> Ridges:
    if area.is_empty:
        return Ridges.none()
    walls = _walls(rings_in_steps(area, WALL_STEP_MM))
    sides = _sides(walls)
    open_mm = OPEN_TIMES * widest_mm
    return _joined(walls, sides, _crossings(walls, sides, open_mm), open_mm)


@dataclass(frozen=True, slots=True, eq=False)
class _Walls:
    """Points of all outlines (n), sorted, and the edges by the numbers of their ends (m, 2). Each point has a corner
    (c), or several where outlines touch; `first` (n + 1) tells where those of each point begin, and `before` and
    `after` the inward unit normals of a corner's two edges."""

    points: Complex
    edges: Indices
    first: Indices
    before: Complex
    after: Complex

    def corners(self, at: Indices, towards: Complex) -> Indices:
        """The corner in which the region lies that one sees from a point in the direction of the vectors: of several
        the one whose edge onwards is passed last on the way round to there."""
        corner = self.first[at]
        several = np.flatnonzero(self.first[at + 1] - corner > 1)
        asked, each = ranges(corner[several], self.first[at[several] + 1])
        turned = np.angle(1j * towards[several][asked] * self.after[each].conj()) % (2 * math.pi)
        by_turn = np.lexsort([turned, asked])
        corner[several] = each[by_turn[np.diff(asked, prepend=-1) != 0]]
        return corner

    def normals(self, at: Indices, towards: Complex) -> Complex:
        """The normal of the wall that a point stands for, seen from inside in the direction of the unit vectors.

        At a corner of the area that is the edge which is nearer in that direction; at one that juts into the area
        the edge that is farther, or the direction itself where the corner's tip is nearest.
        """
        corner = self.corners(at, towards)
        before, after = self.before[corner], self.after[corner]
        juts_in = _cross(before, after) < 0
        tip = juts_in & (_cross(before, towards) <= 0) & (_cross(towards, after) <= 0)
        before_farther = _dot(before, towards) > _dot(after, towards)
        return np.where(tip, towards, np.where(before_farther == juts_in, before, after))


@dataclass(frozen=True, slots=True, eq=False)
class _Sides:
    """The triangles' sides: each one's two points (m, 2), whether it is an edge of the region, and for each
    triangle its corners (t, 3) and its sides (t, 3); side k is the one from corner k to corner k + 1."""

    ends: Indices
    is_edge: Flags
    corners: Indices
    of_triangle: Indices


@dataclass(frozen=True, slots=True, eq=False)
class _Crossings:
    """Per side: whether its walls face each other, their inward normals (m, 2), its ridge point, how far the two
    walls are from that, and whether it is on a ridge, since no third wall is nearer."""

    facing: Flags
    normals: Complex
    middle: Complex
    radius_mm: Floats
    on_ridge: Flags

    def along(self, side: Indices, towards: Complex) -> Complex:
        """The directions of the ridge across some sides, as unit vectors, on the way towards points."""
        inward, outward = np.moveaxis(self.normals[side], -1, 0)
        along: Complex = 1j * (inward - outward) / np.abs(inward - outward)
        return np.where(_dot(along, towards - self.middle[side]) < 0, -along, along)


def _walls(rings: Geometries) -> _Walls:
    edges, ring = ring_edges(rings)
    points = edges[:, 0].view(np.complex128)[:, 0]
    starts = np.flatnonzero(np.diff(ring, prepend=-1))
    lasts = np.append(starts[1:], len(ring)) - 1
    following = np.arange(1, len(points) + 1)
    following[lasts] = starts
    onward = points[following] - points
    after = 1j * onward / np.abs(onward)  # rings run with the region on their left
    before = np.empty_like(after)
    before[following] = after
    unique, number = np.unique(points, return_inverse=True)
    by_point = np.argsort(number, kind="stable")
    first = np.searchsorted(number[by_point], np.arange(len(unique) + 1))
    return _Walls(unique, np.stack([number, number[following]], axis=1), first, before[by_point], after[by_point])


def _sides(walls: _Walls) -> _Sides:
    corners, beside = triangulated(walls.points, walls.edges)
    own = (beside == NONE) | (beside > np.arange(len(corners))[:, None])  # of two triangles the first has the side
    side = np.empty_like(corners)
    side[own] = np.arange(np.count_nonzero(own))
    second, place = np.nonzero(~own)
    first = beside[second, place]
    side[second, place] = side[first, np.argmax(beside[first] == second[:, None], axis=1)]
    ends = np.stack([corners, np.roll(corners, -1, axis=1)], axis=2)[own]
    return _Sides(np.sort(ends, axis=1), beside[own] == NONE, corners, side)


def _crossings(walls: _Walls, sides: _Sides, open_mm: float) -> _Crossings:
    start, end = sides.ends[:, 0], sides.ends[:, 1]
    vector = walls.points[end] - walls.points[start]
    towards = vector / np.abs(vector)
    normal, other = walls.normals(start, towards), walls.normals(end, -towards)
    near, far = _dot(vector, normal), _dot(-vector, other)
    facing = ~sides.is_edge & (near > 0) & (far > 0) & (_dot(normal, other) <= FACING)
    both = np.where(facing, near + far, 1.0)
    middle, radius = walls.points[start] + vector * far / both, near * far / both
    facing &= radius <= open_mm
    crossings = _Crossings(facing, np.stack([normal, other], axis=1), middle, radius, facing)
    short_mm = _shortfall_mm(walls, sides, crossings)
    return replace(crossings, on_ridge=facing & (short_mm <= NEAR_SHARE * radius))


def _shortfall_mm(walls: _Walls, sides: _Sides, crossings: _Crossings) -> Floats:
    """By how much (mm) a third wall is nearer to each side's ridge point than its own two; nothing where none is."""
    short = np.zeros(len(sides.ends))
    for k in range(3):
        facing = crossings.facing[sides.of_triangle[:, k]]
        side = sides.of_triangle[facing, k]
        third, _ = _third_wall(walls, crossings, side, sides.corners[facing, k - 1])
        np.maximum.at(short, side, crossings.radius_mm[side] - third)
    return short


def _third_wall(walls: _Walls, crossings: _Crossings, side: Indices, apex: Indices) -> tuple[Floats, Complex]:
    """From the ridge points of some sides: how far the third corner of a triangle is, or an edge there that runs
    across, and in which direction the ridge goes on that way."""
    along = crossings.along(side, walls.points[apex])
    ahead = walls.points[apex] - crossings.middle[side]
    third = np.abs(ahead)
    corner = walls.corners(apex, -ahead)
    before, after = walls.before[corner], walls.after[corner]
    for normal in (before, after):
        across = (_dot(normal, along) < ACROSS) & (_cross(before, after) >= 0)
        third = np.where(across, np.minimum(third, -_dot(normal, ahead)), third)
    return third, along


def _joined(walls: _Walls, sides: _Sides, crossings: _Crossings, open_mm: float) -> Ridges:
    on_ridge, facing = crossings.on_ridge[sides.of_triangle], crossings.facing[sides.of_triangle]
    hubs: Flags = np.all(on_ridge, axis=1)
    found = [_spokes(walls, sides, crossings, hubs)]
    for k, following, last in ((0, 1, 2), (1, 2, 0), (2, 0, 1)):
        passing = facing[:, k] & facing[:, following] & (on_ridge[:, k] | on_ridge[:, following]) & ~hubs
        found.append(_passages(sides, crossings, passing, [k, following]))
        ending = on_ridge[:, k] & ~facing[:, following] & ~facing[:, last]
        found.append(_last_steps(walls, sides, crossings, ending, k, open_mm))
    return put_together(found)


def _passages(sides: _Sides, crossings: _Crossings, passing: Flags, pair: list[int]) -> Ridges:
    """From one side of a triangle to another; the ridge ends between them where only one of them is on it. Around a
    corner it goes straight on from both until it meets."""
    both = sides.of_triangle[passing][:, pair]
    middle, radius = crossings.middle[both], crossings.radius_mm[both]
    ending: Flags = ~np.all(crossings.on_ridge[both], axis=1)
    elbow, bends = _elbows(middle, crossings.along(both, middle[:, ::-1]))
    found = [Ridges(middle[~bends], radius[~bends], ending[~bends])]
    for end in (0, 1):
        legs = np.stack([middle[bends, end], elbow[bends]], axis=1)
        found.append(Ridges(legs, radius[bends][:, [end, end]], np.ones(len(legs), dtype=bool)))
    return put_together(found)


def _elbows(middle: Complex, along: Complex) -> tuple[Complex, Flags]:
    """Where two ways (n, 2) meet that set out from points in some directions, and whether they bend there."""
    between, sine = middle[:, 1] - middle[:, 0], _cross(along[:, 0], along[:, 1])
    bends: Flags = (_dot(along[:, 0], along[:, 1]) > FACING) & (np.abs(sine) > SHORTEST_MM)  # side by side none meet
    share = np.stack([_cross(between, along[:, 1]), _cross(between, along[:, 0])], axis=1)
    ahead = np.where(bends[:, None], share / np.where(bends, sine, 1.0)[:, None], 0.0)
    return middle[:, 0] + ahead[:, 0] * along[:, 0], bends & np.all(ahead > 0, axis=1)


def _spokes(walls: _Walls, sides: _Sides, crossings: _Crossings, hubs: Flags) -> Ridges:
    """Where three ridges meet: from the three sides of a triangle to where these lead."""
    around, corners = sides.of_triangle[hubs], walls.points[sides.corners[hubs]]
    middle = crossings.middle[around]
    hub = _meeting(middle, crossings.along(around, middle), corners)
    hub_radius = np.abs(corners - hub[:, None]).min(axis=1)
    ends = np.stack([middle.ravel(), np.repeat(hub, 3)], axis=1)
    radius = np.stack([crossings.radius_mm[around].ravel(), np.repeat(hub_radius, 3)], axis=1)
    return Ridges(ends, radius, np.zeros(len(ends), dtype=bool))


def _meeting(points: Complex, along: Complex, corners: Complex) -> Complex:
    """The points nearest to three lines each (n, 3), given by a point and a unit vector; the middle of the triangle's
    corners (n, 3) where that is farther away than they are."""
    # The way from a point to a line along u is (v - u^2 conj(v)) / 2; the three sum to nothing at the nearest.
    turn = (along**2).sum(axis=1)
    ways = (points - along**2 * points.conj()).sum(axis=1)
    stiffness = np.maximum(9 - np.abs(turn) ** 2, SHORTEST_MM)  # nothing where all are parallel
    nearest: Complex = (3 * ways + turn * ways.conj()) / stiffness
    middle = corners.mean(axis=1)
    beyond = np.abs(nearest - middle) > np.abs(corners - middle[:, None]).max(axis=1)
    return np.where(beyond, middle, nearest)


def _last_steps(walls: _Walls, sides: _Sides, crossings: _Crossings, ending: Flags, k: int, open_mm: float) -> Ridges:
    """In a triangle where a ridge ends: on from its side k until a third wall is as near as the two are. These are
    taken to go on straight."""
    side = sides.of_triangle[ending, k]
    middle, radius = crossings.middle[side], crossings.radius_mm[side]
    third, along = _third_wall(walls, crossings, side, sides.corners[ending, k - 1])
    step = np.clip(third - radius, 0.0, open_mm)
    last_radius = radius + step * np.minimum(_dot(along, crossings.normals[side, 0]), 0.0)
    ends = np.stack([middle, middle + step * along], axis=1)
    last = Ridges(ends, np.stack([radius, last_radius], axis=1), np.ones(len(ends), dtype=bool))
    return last.where(step > SHORTEST_MM)


def _dot(one: Complex, other: Complex) -> Floats:
    return one.real * other.real + one.imag * other.imag


def _cross(one: Complex, other: Complex) -> Floats:
    return one.real * other.imag - one.imag * other.real
