"""Where narrow places open: what becomes there of the cores along their ridges."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely

from vectorsep.geometry.arrays import Complex, Flags, Floats, Indices
from vectorsep.geometry.chains import chained
from vectorsep.geometry.chordal import CORNER_DEG
from vectorsep.geometry.offset import inset
from vectorsep.geometry.ridges import Ridges, as_points, feet_on, in_sight, put_together
from vectorsep.model import Region

EVEN_MM = 1e-6
"""Walls that are farther or nearer than the least by no more than this are as far as that."""
STEEPEST = math.sin(math.radians(CORNER_DEG))
"""How much farther (mm) walls get for each mm from end to end of a line, at the most. Between straight walls that have
a ridge it is the sine of half that angle, 0.33; past corners it was up to 0.55, in mouths 0.7 to 1 (of 60 random
designs)."""
SLOWEST = math.sin(math.radians(CORNER_DEG / 2))
"""How much farther (mm) straight walls get for each mm on from where a ridge has ended between them, at the least."""
AS_NEAR = 1.02
"""What is farther by no more than this share is as near: of two ways out that mirror each other both are gone."""
LEAST_LENGTH = 2.0
"""An open end of what closes is so many times as long as a core is wide, or it is no place that anybody drew."""


def led_out(area: Region, room: Region, held: Ridges, needed_mm: float, plenty_mm: float) -> Ridges:
    """Ridges along which cores are kept in an area, led on to where it is wide, with walls `plenty_mm` away, or to each
    other. But not those that lead straight there from a place too narrow for a core, with walls nearer than
    `needed_mm`. `room` is where walls are no nearer than that."""
    points = held.are_points
    lines = held.where(~points)
    whole = put_together([lines, _ways_out(area, room, _joined(lines), needed_mm, plenty_mm)])
    # Joined anew: a way out makes a line longer, and two that end at one point join theirs. But two mouths that face
    # each other across the wide are no line from one narrow place to another.
    parted = _joined(whole.below(plenty_mm))
    return put_together([held.where(points), _without_mouths(parted, needed_mm, plenty_mm)])


def nibs_parted(held: Ridges, width_mm: float, needed_mm: float, plenty_mm: float) -> tuple[Ridges, Ridges]:
    """Ridges along which cores of a width are kept, as far as walls are nearer than `plenty_mm`; and those of them that
    lead no farther than a core is wide from there to walls `needed_mm` away, where no core is kept, as they do beside
    necks between round shapes: their cores would be nibs that carry nothing."""
    narrow = held.below(plenty_mm)
    points = narrow.are_points
    lines = _joined(narrow.where(~points))
    low_mm, high_mm = np.sort(lines.radius_mm, axis=0)
    runs_out = (low_mm <= needed_mm + EVEN_MM) & (high_mm >= plenty_mm - EVEN_MM)
    on_nib = lines.on(runs_out & (lines.lengths_mm < width_mm))
    return put_together([narrow.where(points), lines.pieces.where(~on_nib)]), lines.pieces.where(on_nib)


def open_ends(lost: Ridges, needed_mm: float) -> Ridges:
    """Where ridges without cores, of walls nearer than needed, end as the place widens, as points."""
    points = lost.are_points
    lines = _joined(lost.where(~points))
    opens = lines.alone & (lines.radius_mm < needed_mm - EVEN_MM)
    return put_together([lost.where(points), Ridges.of_specks(lines.places[opens], lines.radius_mm[opens])])


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Ridges joined to lines: the pieces, which of them are on which line, and of each line's two ends (2, n) where
    it is, how far the walls are, and whether it meets no other line."""

    pieces: Ridges
    piece: Indices
    line: Indices
    places: Complex
    radius_mm: Floats
    alone: Flags

    def on(self, chosen: Flags) -> Flags:
        """Which pieces are on some of the lines."""
        flags = np.zeros(len(self.pieces.ends), dtype=bool)
        flags[self.piece[chosen[self.line]]] = True
        return flags

    def open_out(self, needed_mm: float, plenty_mm: float) -> Flags:
        """Which ends (2, n) lie where the place widens, short of where it is wide."""
        flags: Flags = self.alone & (self.radius_mm > needed_mm + EVEN_MM) & (self.radius_mm < plenty_mm)
        return flags

    def are_stubs(self, needed_mm: float) -> Flags:
        """Which lines are short and close at an end."""
        closes = (self.radius_mm <= needed_mm + EVEN_MM).any(axis=0)
        flags: Flags = closes & (self.lengths_mm < LEAST_LENGTH * 2 * needed_mm)
        return flags

    @property
    def lengths_mm(self) -> Floats:
        """From end to end of each line, as the crow flies."""
        lengths: Floats = np.abs(self.places[1] - self.places[0])
        return lengths


def _joined(ridges: Ridges) -> _Lines:
    end, line = chained(ridges.ends)
    first = np.flatnonzero(np.diff(line, prepend=-1))
    outer = end[np.stack([first, np.append(first, len(end))[1:] - 1])]
    places = ridges.ends.ravel()[outer]
    _, place, meeting = np.unique(places, return_inverse=True, return_counts=True)
    alone = (meeting == 1)[place].reshape(places.shape)
    return _Lines(ridges, end // 2, line, places, ridges.radius_mm.ravel()[outer], alone)


def _without_mouths(lines: _Lines, needed_mm: float, plenty_mm: float) -> Ridges:
    """All lines but short ends of what closes, and those that rise from it faster than between any walls that have a
    ridge. Cores along the former would be holes beside the mouth, along the latter dents before it."""
    low_mm, high_mm = np.sort(lines.radius_mm, axis=0)
    steep = (low_mm <= needed_mm + EVEN_MM) & (high_mm - low_mm > STEEPEST * lines.lengths_mm)
    short = lines.are_stubs(needed_mm) & lines.open_out(needed_mm, plenty_mm).any(axis=0)
    return lines.pieces.where(~lines.on(steep | short))


def _ways_out(area: Region, room: Region, lines: _Lines, needed_mm: float, plenty_mm: float) -> Ridges:
    """From where lines end as the place widens, straight on to what is nearest: where a plain inset leaves enough, or
    where another line ends so, as several do that meet between round walls. Else their cores would end before necks.
    """
    ending = lines.open_out(needed_mm, plenty_mm) & ~lines.are_stubs(needed_mm)
    if not ending.any():  # as when nothing is asked for, and plenty is nothing
        return Ridges.none()
    at, radius_mm, line = lines.places[ending], lines.radius_mm[ending], np.nonzero(ending)[1]
    reach_mm = (plenty_mm - needed_mm) / SLOWEST
    widening, edge, _ = feet_on(inset(area, plenty_mm), at, reach_mm)
    one, other = _pairs_within(at, line, reach_mm)
    start = np.concatenate([widening, one])
    ends = np.stack([at[start], np.concatenate([edge, at[other]])], axis=1)
    radii_mm = np.stack([radius_mm[start], np.append(np.full(len(edge), plenty_mm), radius_mm[other])], axis=1)
    nearest = _nearest_in_sight(room, start, ends)
    _, once = np.unique(np.sort(ends[nearest], axis=1), axis=0, return_index=True)  # two may lead to each other
    nearest = nearest[np.sort(once)]
    return Ridges(ends[nearest], radii_mm[nearest], np.zeros(len(nearest), dtype=bool))


def _nearest_in_sight(room: Region, start: Indices, ends: Complex) -> Indices:
    """Of the ways that each start has the shortest that lies in the room, and those that do of what is as short. As a
    rule the first asked about does: in a halftone each start has some thirty."""
    length_mm, shortest_mm = np.abs(ends[:, 1] - ends[:, 0]), np.full(start.max(initial=0) + 1, np.inf)
    ways = np.lexsort([length_mm, start])
    found = [ways[:0]]
    while len(ways):
        is_next = np.diff(start[ways], prepend=-1) != 0
        asked = ways[is_next]
        free = asked[in_sight(room, *ends[asked].T)]
        found.append(free)
        shortest_mm[start[free]] = np.minimum(shortest_mm[start[free]], length_mm[free])
        ways = ways[~is_next & (length_mm[ways] <= AS_NEAR * shortest_mm[start[ways]])]
    return np.sort(np.concatenate(found))


def _pairs_within(points: Complex, line: Indices, distance_mm: float) -> tuple[Indices, Indices]:
    """Pairs of points on different lines, both ways round, no farther from each other than the distance."""
    at = as_points(points)
    one, other = shapely.STRtree(at).query(at, predicate="dwithin", distance=distance_mm)
    apart = line[one] != line[other]
    return one[apart], other[apart]
