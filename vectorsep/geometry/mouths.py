"""Where narrow places open: what becomes there of the cores along their ridges."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from vectorsep.geometry.chains import chained
from vectorsep.geometry.chordal import CORNER_DEG
from vectorsep.geometry.cover import Flags, Floats, Indices
from vectorsep.geometry.offset import inset
from vectorsep.geometry.ridges import Complex, Ridges, feet, in_sight, put_together
from vectorsep.model import Region

EVEN_MM = 1e-6
"""Walls that are farther or nearer than the least by no more than this are as far as that."""
STEEPEST = math.sin(math.radians(CORNER_DEG))
"""How much farther (mm) walls get for each mm from end to end of a line, at the most. Between straight walls that have
a ridge it is the sine of half that angle, 0.33; past corners it was up to 0.55, in mouths 0.7 to 1 (of 60 random
designs)."""
LEAST_LENGTH = 2.0
"""An open end of what closes is so many times as long as a core is wide, or it is no place that anybody drew."""


def led_out(area: Region, held: Ridges, needed_mm: float, plenty_mm: float) -> Ridges:
    """Ridges along which cores are kept in an area, led on to where it is wide: where walls are `plenty_mm` away. But
    not those that lead straight there from a place too narrow for a core, whose walls are nearer than `needed_mm`."""
    points = held.ends[:, 0] == held.ends[:, 1]
    lines = held.where(~points)
    whole = put_together([lines, _ways_out(area, _joined(lines), needed_mm, plenty_mm)])
    # Joined anew: a way out makes a line longer, and two that end at one point join theirs.
    return put_together([held.where(points), _without_mouths(_joined(whole), needed_mm)])


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


def _without_mouths(lines: _Lines, needed_mm: float) -> Ridges:
    """All lines but those that rise from what closes faster than between any walls that have a ridge: between walls it
    is by the sine of half their angle. Cores there would be dents before a mouth."""
    low_mm, high_mm = np.sort(lines.radius_mm, axis=0)
    is_mouth = (low_mm <= needed_mm + EVEN_MM) & (high_mm - low_mm > STEEPEST * lines.lengths_mm)
    in_mouth = np.zeros(len(lines.pieces.ends), dtype=bool)
    in_mouth[lines.piece[is_mouth[lines.line]]] = True
    return lines.pieces.where(~in_mouth)


def _ways_out(area: Region, lines: _Lines, needed_mm: float, plenty_mm: float) -> Ridges:
    """From where lines end as the place widens, straight on to where a plain inset leaves enough: else their cores
    would meet what it leaves in a neck. Short ends of what closes have none, and so stay shut."""
    closes = lines.radius_mm <= needed_mm + EVEN_MM
    short = closes.any(axis=0) & (lines.lengths_mm < LEAST_LENGTH * 2 * needed_mm)
    ending = lines.alone & ~closes & (lines.radius_mm < plenty_mm) & ~short
    if not ending.any():  # as when nothing is asked for, and plenty is nothing
        return Ridges.none()
    start, radius_mm = lines.places[ending], lines.radius_mm[ending]
    found, end, _ = feet(inset(area, plenty_mm), start, plenty_mm)
    ends = np.stack([start[found], end], axis=1)
    radius_mm = np.stack([radius_mm[found], np.full(len(end), plenty_mm)], axis=1)
    return Ridges(ends, radius_mm, np.zeros(len(end), dtype=bool)).where(in_sight(area, *ends.T))
