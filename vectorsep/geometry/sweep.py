"""A disc moved about inside a region: what it misses, and which of the missed pieces are more than corners."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from vectorsep.geometry.cover import Flags, Indices, Regions
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM, ENGINE_SMOOTHING, quarter_segments
from vectorsep.geometry.region import gather
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
    missed: Regions
    """The pieces of the region that it does not, one polygon each."""


def sweep(region: Region, disc: Disc) -> Sweep:
    """Move the disc about in each piece of a region. No union is taken over the pieces, which are apart as it is."""
    pieces, radius_mm = shapely.get_parts(region), disc.radius_mm
    middles = shapely.buffer(pieces, -radius_mm, quad_segs=quarter_segments(radius_mm))
    reach_mm = radius_mm + disc.slack_mm
    swept = shapely.buffer(middles, reach_mm, quad_segs=quarter_segments(reach_mm))
    missed = shapely.get_parts(shapely.difference(pieces, swept))
    is_solid = (shapely.get_dimensions(missed) == 2) & ~shapely.is_empty(missed)
    return Sweep(disc, gather(middles), gather(swept), missed[is_solid])


def are_narrow(missed: Regions, of: Sweep) -> Flags:
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


def _stick_out(pieces: Regions, points: Regions, owner: Indices, of: Sweep) -> Flags:
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
    middles = shapely.intersection(of.middles, shapely.box(*around.T))
    spurs = shapely.buffer(middles, spur_mm, quad_segs=quarter_segments(spur_mm))
    sure[unsure] = ~shapely.is_empty(shapely.difference(pieces[unsure], spurs))
    return sure


def _points_along(pieces: Regions, longest_mm: float) -> tuple[Regions, Indices, Indices]:
    """Points along the edges of polygons: corners, and middles of edges none longer than so much. In order along each
    ring, with the ring's number and the polygon's."""
    rings, owner = shapely.get_rings(shapely.segmentize(pieces, longest_mm), return_index=True)
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    starts = np.flatnonzero(ring[:-1] == ring[1:])
    along = np.stack([xy[starts], (xy[starts] + xy[starts + 1]) / 2], axis=1).reshape(-1, 2)
    ring = np.repeat(ring[starts], 2)
    points: Regions = np.asarray(shapely.points(along))
    return points, ring, owner[ring]


def _sides_that_hang(points: Regions, ring: Indices, owner: Indices, of: Sweep) -> Indices:
    """For each piece, in how many separate stretches its edge runs along what is swept, or within the slack of it."""
    shapely.prepare(of.swept)
    hangs = shapely.dwithin(of.swept, points, of.disc.slack_mm)
    firsts = np.flatnonzero(np.diff(ring, prepend=-1))
    lasts = np.append(firsts[1:], len(ring)) - 1
    before = np.roll(hangs, 1)
    before[firsts] = hangs[lasts]
    begins = np.bincount(owner[hangs & ~before], minlength=owner[-1] + 1)
    all_around = np.bincount(owner[firsts], weights=np.logical_and.reduceat(hangs, firsts), minlength=owner[-1] + 1)
    sides: Indices = begins + all_around.astype(int)
    return sides
