"""How a region lies out of its place, as a plate out of register does: turned about a point, then shifted."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from vectorsep.geometry.affine import Affine
from vectorsep.geometry.arrays import Floats
from vectorsep.geometry.region import gather, polygons, repaired
from vectorsep.model import Point, Region


@dataclass(frozen=True, slots=True)
class Move:
    """A turn about a point, clockwise on the page, then a shift."""

    shift_mm: Point
    turn_deg: float
    about_mm: Point

    def of(self, region: Region) -> Region:
        """The region, moved.

        A turn rounds every coordinate, so that a piece hardly larger than a last bit may come to cross itself: an
        engine stumbles over it and takes ten times as long, so such pieces are mended here.
        """
        there = self._map.map_region(region)
        return there if self.turn_deg == 0 else gather(repaired(piece) for piece in polygons(there))

    def ways_mm(self, points_mm: Floats) -> Floats:
        """How far each of (n, 2) points is moved, as (n, 2) vectors; as (1, 2) where all are moved alike."""
        if self.turn_deg == 0:
            return np.array([self.shift_mm])
        return self._map.apply(points_mm) - points_mm

    @property
    def unevenness(self) -> float:
        """By how much the ways of two points differ, as a share of their distance: the chord of the turn."""
        return 2 * math.sin(math.radians(abs(self.turn_deg)) / 2)

    def farthest_mm(self, region: Region) -> float:
        """No point of the region is moved by more than this."""
        return math.hypot(*self.shift_mm) + self.unevenness * farthest_corner_mm(region, self.about_mm)

    @property
    def _map(self) -> Affine:
        if self.turn_deg == 0:
            return Affine.translation(*self.shift_mm)
        x, y = self.about_mm
        turn = Affine.translation(x, y) @ Affine.rotation(self.turn_deg) @ Affine.translation(-x, -y)
        return Affine.translation(*self.shift_mm) @ turn


def farthest_corner_mm(region: Region, about_mm: Point) -> float:
    """Distance from a point to the farthest corner of the region's upright bounding rectangle."""
    left, top, right, bottom = region.bounds
    x, y = about_mm
    return math.hypot(max(abs(left - x), abs(right - x)), max(abs(top - y), abs(bottom - y)))
