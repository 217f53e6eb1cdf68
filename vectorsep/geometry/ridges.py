"""Ridges of narrow places: the lines midway between two walls, and how far from them the walls are.

Points are complex numbers here: x + iy, in mm.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
import shapely

from vectorsep.geometry.arrays import Complex, Flags, Floats, Geometries, Indices, ranges
from vectorsep.geometry.chains import chained
from vectorsep.geometry.measure import Strip, longest_first
from vectorsep.geometry.near import stretches
from vectorsep.geometry.offset import grown_each
from vectorsep.geometry.region import edge_lines, polygons, ring_edges
from vectorsep.model import Region
from vectorsep.remember import remembered

LEVEL_MM = 0.005
"""Where the walls' distance changes by less than this from end to end of a piece, it changes evenly."""
DIP_MM = 0.05
"""Between the ends of a piece past a corner the walls may be nearer than at both ends, but not by more than this."""
MEASURED_STEP_MM = 0.05
"""How far apart distances are measured; between, they are off by a micrometre and a half at 0.2 mm from a corner."""
NEAR_SHARE = 0.02
"""Where a third wall is nearer than the two that face each other by more than this share, or these are farther, the
ridge has ended."""
LEAP_MM = 2 * MEASURED_STEP_MM
"""Pieces that became longer as they were moved to a wall do not run along it."""
OPPOSITE = -0.5
"""Cosine from which the ways to two walls count as opposite."""
OTHER_WALL_SHARE = 0.1
"""A wall opposite may be so much farther from a ridge than the nearer one: between bends, ridges are off the middle."""
FAR_WALL_SHARE = 0.5
"""A ridge that runs on beside one wall has ended where the one opposite is farther by more than this share."""
UP_TO_WALL = 0.99
"""What is in sight of a wall sees so much of the way to it free."""
SHORTEST_MM = 1e-9
"""Keeps lengths that are divided by from being nothing."""
LENGTH_DIGITS = 6
"""Decimals of mm by which lengths are told apart: of two alike, as symmetric art has them, the leftmost comes first."""


@dataclass(frozen=True, slots=True, eq=False)
class Ridges:
    """Straight pieces of ridge lines: their ends (n, 2), and at each end how far (mm) the walls are (n, 2). `ending`
    says whether the ridge may end on the way."""

    ends: Complex
    radius_mm: Floats
    ending: Flags

    @staticmethod
    def none() -> Ridges:
        """No ridge."""
        return Ridges.of_specks(np.empty(0, dtype=complex), np.empty(0))

    @staticmethod
    def of_specks(middle: Complex, radius_mm: Floats) -> Ridges:
        """Ridges that are points."""
        twice = np.stack([radius_mm, radius_mm], axis=1)
        return Ridges(np.stack([middle, middle], axis=1), twice, np.zeros(len(middle), dtype=bool))

    @property
    def are_points(self) -> Flags:
        """Which pieces have no length: the middles of places without a ridge."""
        flags: Flags = self.ends[:, 0] == self.ends[:, 1]
        return flags

    def where(self, chosen: Flags) -> Ridges:
        """Some of the pieces."""
        return Ridges(self.ends[chosen], self.radius_mm[chosen], self.ending[chosen])

    def middles(self) -> Geometries:
        """The middle of each piece, as a point."""
        return as_points(self.ends.mean(axis=1))

    def inside(self, region: Region) -> Flags:
        """Of which pieces the middle lies inside the region."""
        middle = self.ends.mean(axis=1)
        shapely.prepare(region)
        return np.asarray(shapely.contains_xy(region, middle.real, middle.imag))

    def near(self, region: Region, distance_mm: float) -> Flags:
        """Which pieces come within the distance of the region, but for the chord tolerance."""
        around = grown_each(shapely.get_parts(region), distance_mm)  # asking for distances takes four times as long
        flags = np.zeros(len(self.ends), dtype=bool)
        flags[shapely.STRtree(self.lines()).query(around, predicate="intersects")[1]] = True
        return flags

    def lines_with(self, some: Flags, share: float) -> Flags:
        """Some of the pieces, and of lines, from fork to fork, that have at least such a share of their length among
        them all pieces."""
        on_line = np.flatnonzero(~self.are_points)
        lengths_mm = np.abs(self.ends[on_line, 1] - self.ends[on_line, 0])
        end, line_of = chained(self.ends[on_line])
        line = np.empty(len(on_line), dtype=np.intp)
        line[end // 2] = line_of
        among = np.bincount(line, lengths_mm * some[on_line]) >= share * np.bincount(line, lengths_mm)
        flags = some.copy()
        flags[on_line] |= among[line]
        return flags

    def above(self, least_mm: float) -> Ridges:
        """The parts where the walls are at least so far."""
        largest, smallest = self.radius_mm.max(axis=1), self.radius_mm.min(axis=1)
        some = self.where((largest > least_mm) | (smallest >= least_mm))
        ends, radius = some.ends.copy(), some.radius_mm.copy()
        for end in (0, 1):
            low = radius[:, end] < least_mm
            share = (least_mm - radius[low, end]) / (radius[low, 1 - end] - radius[low, end])
            ends[low, end] += share * (ends[low, 1 - end] - ends[low, end])
            radius[low, end] = least_mm
        return replace(some, ends=ends, radius_mm=radius)

    def below(self, most_mm: float) -> Ridges:
        """The parts where the walls are at most so far."""
        turned = replace(self, radius_mm=-self.radius_mm).above(-most_mm)
        return replace(turned, radius_mm=-turned.radius_mm)

    def chains(self) -> Geometries:
        """The pieces joined end to end, as far as they do not fork; z is how far the walls are."""
        points = self.are_points
        pieces = self.where(~points)
        end, line = chained(pieces.ends)  # the engine's merge of lines made one by one takes five times as long
        joined = shapely.linestrings(pieces._xyz().reshape(-1, 3)[end], indices=line)
        return np.concatenate([joined, self.where(points).lines()])

    def lines(self) -> Geometries:
        """Each piece as a line; z is how far the walls are."""
        return np.asarray(shapely.linestrings(self._xyz()), dtype=object)

    def shapes(self) -> Geometries:
        """Each piece as a line, or as the point that it is: of lines without length the engine's trees do not tell
        what is within a distance."""
        shapes, points = self.lines(), self.are_points
        shapes[points] = as_points(self.ends[points, 0])
        return shapes

    def _xyz(self) -> Floats:
        return np.stack([self.ends.real, self.ends.imag, self.radius_mm], axis=2)

    def strips(self) -> tuple[Strip, ...]:
        """The narrow places along the ridges as strips, longest first: as long as a disc that fills the place and
        runs from end to end."""
        chains = self.chains()
        xyz, owner = shapely.get_coordinates(chains, include_z=True, return_index=True)
        goes_on = np.flatnonzero(np.diff(owner) == 0)
        legs_mm = np.hypot(*(xyz[goes_on + 1, :2] - xyz[goes_on, :2]).T)
        weights = np.maximum(legs_mm, SHORTEST_MM)
        of = owner[goes_on]
        widths_mm = np.bincount(of, weights * (xyz[goes_on, 2] + xyz[goes_on + 1, 2])) / np.bincount(of, weights)
        first = np.flatnonzero(np.diff(owner, prepend=-1))
        last = np.append(first, len(owner))[1:] - 1
        lengths_mm = np.bincount(of, legs_mm) + xyz[first, 2] + xyz[last, 2]
        at_mm = shapely.get_coordinates(shapely.line_interpolate_point(chains, 0.5, normalized=True))
        return longest_first(at_mm, lengths_mm.round(LENGTH_DIGITS), widths_mm)


def put_together(parts: Iterable[Ridges]) -> Ridges:
    """Ridges of several kinds of one region."""
    columns = zip(*((part.ends, part.radius_mm, part.ending) for part in (Ridges.none(), *parts)), strict=True)
    return Ridges(*(np.concatenate(column) for column in columns))


def measured(area: Region, ridges: Ridges, least_mm: float) -> Ridges:
    """The same ridges of an area, so exact that one can tell where they rise above the least distance.

    Where a ridge is steep or may end, it is taken in short pieces and the distance to the area's edge is measured at
    their ends. Past a corner that juts in it does not change evenly; past a ridge's end it is less than the walls', or
    far more where that lies in the open, or no wall faces the nearest. A neck from which the distance rises at once on
    both sides is a point.
    """
    smallest, largest = ridges.radius_mm.min(axis=1), ridges.radius_mm.max(axis=1)
    steep = (largest - smallest > LEVEL_MM) & (smallest < least_mm + DIP_MM)
    unsure = ridges.ending | ((largest >= least_mm) & steep)
    some = ridges.where(unsure)
    if not len(some.ends):
        return ridges
    owner, share = _in_steps(some)
    points = _between(some.ends[owner], share)
    supposed = _between(some.radius_mm[owner], share)
    _, foot, radius = feet_on(area, points)
    nearer, farther = radius < (1 - NEAR_SHARE) * supposed, radius > (1 + NEAR_SHARE) * supposed
    # Nothing is held past the end of a ridge that is too narrow for it, wide as the place may be: it is the open.
    past_end = some.ending[owner] & (nearer | (farther & (supposed < least_mm)))
    # Past the end of one of two walls it ran on along the other: gaps were told as longer by up to a wall's step.
    beside_one = some.ending[owner] & ~past_end & (supposed < least_mm)
    beside_one[beside_one] = ~_amid(area, points[beside_one], foot[beside_one], FAR_WALL_SHARE)
    past_end |= beside_one
    first = np.flatnonzero((share < 1) & ~past_end & ~np.roll(past_end, -1))
    pair = np.stack([first, first + 1], axis=1)
    known = put_together([ridges.where(~unsure), Ridges(points[pair], radius[pair], some.ending[owner[first]])])
    # Of a ridge between two corners its narrowest place may be all that is left.
    lone = ~past_end & (radius < least_mm) & ~np.isin(points, known.ends)
    lone[lone] = _amid(area, points[lone], foot[lone])
    necks, at = np.unique(points[lone], return_index=True)
    return put_together([known, Ridges.of_specks(necks, radius[lone][at])])


@dataclass(frozen=True, slots=True)
class Wall:
    """A region that ridges may lean on, what else lies behind it, and how far (mm) behind its edge that counts."""

    area: Region
    behind: Region
    depth_mm: float


def leaning_on(wall: Wall, area: Region, ridges: Ridges, away_mm: float, reach_mm: float) -> Ridges:
    """The same ridges of an area, moved towards a wall beside it, where that comes within reach and nothing else lies
    between: as if the area went on through half the wall, as far as it is thick, but to no less than so far away.
    Where the wall is on the other side as well neither is the one to lean on. Moved ones are in short pieces, and bend
    as its edge does. Points stay: an opening that is a dot costs no less art beside the wall."""
    near = np.zeros(len(ridges.ends), dtype=bool)
    near[_stretches(wall.area).query(ridges.shapes(), predicate="dwithin", distance=reach_mm)[0]] = True
    near &= ~ridges.are_points
    if not near.any():
        return ridges
    some = ridges.where(near)
    owner, share = _in_steps(some)
    points = _between(some.ends[owner], share)
    _, foot, from_wall_mm = feet_on(wall.area, points)
    leans = from_wall_mm <= reach_mm
    leans[leans] = in_sight(area, points[leans], foot[leans])
    leans[leans] = ~_amid(wall.area, points[leans], foot[leans])
    to_be_mm = np.maximum(away_mm, from_wall_mm[leans] - _thickness_mm(wall, points[leans], foot[leans]) / 2)
    points[leans] = foot[leans] + (points[leans] - foot[leans]) * to_be_mm / from_wall_mm[leans]
    radius_mm = _between(some.radius_mm[owner], share)
    radius_mm[leans] = to_be_mm
    # In a corner of the wall the way from one side of it to the other would cut across.
    leaps = leans & np.roll(leans, -1) & (np.abs(np.roll(points, -1) - points) > LEAP_MM)
    first = np.flatnonzero((share < 1) & ~leaps)
    pair = np.stack([first, first + 1], axis=1)
    moved = Ridges(points[pair], radius_mm[pair], some.ending[owner[first]])
    return put_together([ridges.where(~near), moved])


def in_sight(area: Region, points: Complex, walls: Complex) -> Flags:
    """Which points inside an area see a point each on the edge of what lies beside it, across the area alone."""
    free = np.ones(len(points), dtype=bool)
    ways = _ways(points, points + UP_TO_WALL * (walls - points))
    free[_stretches(area).query(ways, predicate="intersects")[0]] = False
    return free


def _thickness_mm(wall: Wall, points: Complex, feet: Complex) -> Floats:
    """How thick a wall is behind feet on its edge, as seen from points before it; without end past what counts."""
    edges = _edges(wall.behind)
    onward = (feet - points) / np.maximum(np.abs(feet - points), SHORTEST_MM)
    foot, edge = edges.query(_ways(feet, feet + onward * wall.depth_mm), predicate="intersects")
    thickness_mm = np.full(len(feet), np.inf)
    np.minimum.at(thickness_mm, foot, shapely.distance(as_points(feet[foot]), edges.geometries[edge]))
    return thickness_mm


def _ways(starts: Complex, ends: Complex) -> Geometries:
    ways = np.stack([starts, ends], axis=1)
    return edge_lines(np.stack([ways.real, ways.imag], axis=2))


def _amid(wall: Region, points: Complex, feet: Complex, share: float = OTHER_WALL_SHARE) -> Flags:
    """Which points have the same region on the other side as well, farther than their nearest point of it by no more
    than such a share."""
    edges, at, to_foot = _edges(wall), as_points(points), feet - points
    point, edge = edges.query(at, predicate="dwithin", distance=(1 + share) * np.abs(to_foot))
    there = _nearest_on(edges.geometries[edge], at[point]) - points[point]
    along = (there * to_foot[point].conj()).real
    amid = np.zeros(len(points), dtype=bool)
    amid[point[along < OPPOSITE * np.abs(there) * np.abs(to_foot[point])]] = True
    return amid


def as_points(points: Complex) -> Geometries:
    """Points for the engine."""
    return np.asarray(shapely.points(points.real, points.imag), dtype=object)


def _nearest_on(lines: Geometries, points: Geometries) -> Complex:
    """The point of each line that is nearest to each point, one to one."""
    nearest = shapely.line_interpolate_point(lines, shapely.line_locate_point(lines, points))
    return shapely.get_coordinates(nearest).view(np.complex128)[:, 0]


def feet_on(area: Region, points: Complex, within_mm: float | None = None) -> tuple[Indices, Complex, Floats]:
    """Of the points that have an area's edge within a distance, or of all: which they are, its nearest point to each,
    and how far (mm) that is."""
    lines, at = _stretches(area), as_points(points)
    nearest = lines.query_nearest(at, max_distance=within_mm, return_distance=True, all_matches=False)
    (point, line), away_mm = nearest
    return point, _nearest_on(lines.geometries[line], at[point]), away_mm


Column = TypeVar("Column", Complex, Floats)


def _in_steps(ridges: Ridges) -> tuple[Indices, Floats]:
    """Points along each piece, from end to end: which piece they are on, and at which share of the way."""
    length = np.abs(ridges.ends[:, 1] - ridges.ends[:, 0])
    count = np.ceil(np.maximum(length, SHORTEST_MM) / MEASURED_STEP_MM).astype(np.intp)
    owner, place = ranges(np.zeros_like(count), count + 1)
    return owner, place / count[owner]


def _between(ends: Column, share: Floats) -> Column:
    """A share of the way from each row's first to its second."""
    return ends[:, 0] + share * (ends[:, 1] - ends[:, 0])


@remembered
def _stretches(area: Region) -> shapely.STRtree:
    return shapely.STRtree(stretches(area))  # a tree of all edges takes four times as long to make


@remembered
def _edges(area: Region) -> shapely.STRtree:
    edges, _ = ring_edges(shapely.get_rings(polygons(area)))
    return shapely.STRtree(edge_lines(edges))
