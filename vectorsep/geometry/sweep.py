"""A disc moved about inside a region: what it misses, and which of the missed pieces are more than corners."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from vectorsep.geometry.arrays import Flags, Floats, Geometries, Indices
from vectorsep.geometry.boolean import differences
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM, ENGINE_SMOOTHING, grown_each, inset_each
from vectorsep.geometry.region import LARGE_CORNERS, gather
from vectorsep.model import Region

SPUR = 2.0
"""A point that sticks out of a wide part by less than this many widths is a corner, or as little missed as one. At 2
that is any corner down to 23 degrees."""


@dataclass(frozen=True, slots=True)
class Disc:
    """The disc, by its width in mm."""

    width_mm: float

    @property
    def radius_mm(self) -> float:
        """Half the width."""
        return self.width_mm / 2

    @property
    def slack_mm(self) -> float:
        """How far what it sweeps may come out too small, by the engine's errors."""
        return self.radius_mm * ENGINE_SMOOTHING + 2 * CHORD_TOLERANCE_MM

    @property
    def passage_mm(self) -> float:
        """Edges farther apart than this leave room for the disc, whatever the engine's errors."""
        return self.width_mm + 2 * self.slack_mm

    @property
    def spur_mm(self) -> float:
        """What is farther from the disc's middles than this sticks out of what is swept."""
        return self.radius_mm + SPUR * self.width_mm + self.slack_mm

    @property
    def sight_mm(self) -> float:
        """What is farther from a missed piece than this has no part in whether it is a corner."""
        return self.spur_mm + self.passage_mm / 2


@dataclass(frozen=True, slots=True)
class Sweep:
    """What a disc does in a region."""

    disc: Disc
    middles: Region
    """Where the middle of the disc can be."""
    swept: Region
    """What the disc covers from there, and the slack. Pieces may overlap by it, so that only distances mean anything;
    a corner within the slack of what is swept in another piece counts as hanging on that too."""
    missed: Geometries
    """The pieces of the region that it does not, one polygon each."""


def sweep(region: Region, disc: Disc) -> Sweep:
    """Move the disc about in each piece of a region. No union is taken over the pieces, which are apart as it is."""
    pieces, radius_mm = shapely.get_parts(region), disc.radius_mm
    middles = inset_each(pieces, radius_mm)
    swept = grown_each(middles, radius_mm + disc.slack_mm)
    missed = shapely.get_parts(differences(pieces, swept))
    is_solid = (shapely.get_dimensions(missed) == 2) & ~shapely.is_empty(missed)
    return Sweep(disc, gather(middles), gather(swept), missed[is_solid])


def are_narrow(missed: Geometries, of: Sweep) -> Flags:
    """Which missed pieces are no corners: they are pieces of the region as a whole, and hang on nothing that is swept,
    or hang on it by more than one side, or stick out of it."""
    if not len(missed):
        return np.zeros(0, dtype=bool)
    points, ring, owner = _points_along(missed, of.disc.radius_mm)
    sides = _sides_that_hang(points, ring, owner, of)
    narrow: Flags = np.asarray(sides != 1)
    bounds = shapely.bounds(missed)
    across_mm = np.hypot(*(bounds[:, 2:] - bounds[:, :2]).T)
    # A piece that hangs on it, and is smaller than a spur is long, cannot stick out.
    asked = ~narrow & (across_mm >= SPUR * of.disc.width_mm - of.disc.slack_mm)
    of_asked = asked[owner]
    narrow[asked] = _stick_out(missed[asked], points[of_asked], (np.cumsum(asked) - 1)[owner[of_asked]], of)
    return narrow


def across_mm(missed: Geometries, of: Sweep) -> Floats:
    """How wide missed pieces are at least (mm): the least distance between the stretches of a piece's edge that do not
    run along what is swept, where there are several, as on both sides of a neck; 0 for other pieces."""
    least_mm = np.full(len(missed), np.inf)
    for owner, sides in _free_sides(missed, of):
        if len(sides) > 1:
            least_mm[owner] = _least_apart(sides)
    return np.where(np.isinf(least_mm), 0.0, least_mm)


def _least_apart(lines: Geometries) -> float:
    """The least distance between any two of some lines (mm). A net of fine lines has hundreds of sides: only those no
    farther from each other than the nearest of a line's two neighbours in the list are measured."""
    bound_mm = float(_apart_mm(lines[:-1], lines[1:]).min())
    if len(lines) == 2:
        return bound_mm
    one, other = shapely.STRtree(lines).query(lines, predicate="dwithin", distance=bound_mm)
    pairs = one < other
    return float(_apart_mm(lines[one[pairs]], lines[other[pairs]]).min(initial=bound_mm))


def _apart_mm(lines: Geometries, others: Geometries) -> Floats:
    """The distances of lines, pair by pair. Of two long ones, as both sides of a line are that winds over a page, the
    engine would compare every part with every other."""
    long = shapely.get_num_coordinates(lines) * shapely.get_num_coordinates(others) > LARGE_CORNERS**2
    apart_mm: Floats = np.empty(len(lines))
    apart_mm[~long] = shapely.distance(lines[~long], others[~long])
    apart_mm[long] = [_nearest_mm(*pair) for pair in zip(lines[long], others[long], strict=True)]
    return apart_mm


def _nearest_mm(line: BaseGeometry, other: BaseGeometry) -> float:
    parts = shapely.STRtree(shapely.get_parts(other))
    _, away_mm = parts.query_nearest(shapely.get_parts(line), return_distance=True, all_matches=False)
    return float(away_mm.min())


def _free_sides(missed: Geometries, of: Sweep) -> Iterator[tuple[int, Geometries]]:
    """The stretches of each piece's edge that do not run along what is swept, as lines, of pieces that have any."""
    if not len(missed):
        return
    points, ring, owner = _points_along(missed, of.disc.radius_mm)
    free, (firsts, lasts) = ~_hang(points, of), _ends_of_rings(ring)
    begins = free & ~_before(free, firsts, lasts)
    begins[firsts] |= np.logical_and.reduceat(free, firsts)
    stretch, rings = np.cumsum(begins), np.repeat(np.arange(len(firsts)), lasts - firsts + 1)
    before_ring: Indices = (stretch[firsts] - begins[firsts])[rings]
    stretch = np.where(stretch == before_ring, stretch[lasts][rings], stretch)  # it goes on past the ring's first point
    following = np.arange(1, len(ring) + 1)
    following[lasts] = firsts
    kept = np.flatnonzero(free & free[following])
    kept = kept[np.argsort(stretch[kept], kind="stable")]
    xy = shapely.get_coordinates(points)
    pairs: Geometries = np.asarray(shapely.linestrings(np.stack([xy[kept], xy[following[kept]]], axis=1)))
    numbers, first_of, indices = np.unique(stretch[kept], return_index=True, return_inverse=True)
    if len(numbers):
        sides: Geometries = np.asarray(shapely.multilinestrings(pairs, indices=indices))
        owners = owner[kept][first_of]
        for piece in np.unique(owners):
            yield int(piece), sides[owners == piece]


def _stick_out(pieces: Geometries, points: Geometries, owner: Indices, of: Sweep) -> Flags:
    """Which pieces reach out of what is swept by a spur, by points along their edges, and exactly where these leave it
    open: no part of a piece is farther from such a point than the disc's radius, or another disc would fit, and a
    quarter of it, half the way from point to point."""
    shapely.prepare(of.middles)
    spur_mm, doubt_mm = of.disc.spur_mm, 1.25 * of.disc.radius_mm
    sure, unsure = (
        np.bincount(owner[~shapely.dwithin(of.middles, points, reach_mm)], minlength=len(pieces)) > 0
        for reach_mm in (spur_mm, spur_mm - doubt_mm)
    )
    unsure &= ~sure
    around = shapely.bounds(pieces[unsure]) + spur_mm * np.array([-1.0, -1.0, 1.0, 1.0])
    middles = np.asarray(shapely.intersection(of.middles, shapely.box(*around.T)))
    sure[unsure] = ~shapely.is_empty(differences(pieces[unsure], grown_each(middles, spur_mm)))
    return sure


def _points_along(pieces: Geometries, longest_mm: float) -> tuple[Geometries, Indices, Indices]:
    """Points along the edges of polygons: corners, and middles of edges none longer than so much. In order along each
    ring, with the ring's number and the polygon's."""
    rings, owner = shapely.get_rings(pieces, return_index=True)
    # Ring by ring: the engine makes polygons valid that it divides, and of slivers something else than polygons.
    xy, ring = shapely.get_coordinates(shapely.segmentize(rings, longest_mm), return_index=True)
    starts = np.flatnonzero(ring[:-1] == ring[1:])
    along = np.stack([xy[starts], (xy[starts] + xy[starts + 1]) / 2], axis=1).reshape(-1, 2)
    ring = np.repeat(ring[starts], 2)
    points: Geometries = np.asarray(shapely.points(along))
    return points, ring, owner[ring]


def _sides_that_hang(points: Geometries, ring: Indices, owner: Indices, of: Sweep) -> Indices:
    """For each piece, in how many separate stretches its edge runs along what is swept, or within the slack of it."""
    hangs, (firsts, lasts) = _hang(points, of), _ends_of_rings(ring)
    begins = np.bincount(owner[hangs & ~_before(hangs, firsts, lasts)], minlength=owner[-1] + 1)
    all_around = np.bincount(owner[firsts], weights=np.logical_and.reduceat(hangs, firsts), minlength=owner[-1] + 1)
    sides: Indices = begins + all_around.astype(int)
    return sides


def _hang(points: Geometries, of: Sweep) -> Flags:
    """Which points lie on what is swept, or within the slack of it."""
    shapely.prepare(of.swept)
    hang: Flags = shapely.dwithin(of.swept, points, of.disc.slack_mm)
    return hang


def _ends_of_rings(ring: Indices) -> tuple[Indices, Indices]:
    """The first and the last point of each ring, by the ring's number at every point."""
    firsts = np.flatnonzero(np.diff(ring, prepend=-1))
    return firsts, np.append(firsts[1:], len(ring)) - 1


def _before(flags: Flags, firsts: Indices, lasts: Indices) -> Flags:
    """For each point the flag of the one before it on its ring."""
    before = np.roll(flags, 1)
    before[firsts] = flags[lasts]
    return before
