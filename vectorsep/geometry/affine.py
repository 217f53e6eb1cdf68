"""Affine maps of the plane, as SVG writes them: x' = a x + c y + e, y' = b x + d y + f."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from vectorsep.geometry.arrays import Floats
from vectorsep.geometry.region import EMPTY, polygons_only
from vectorsep.model import Region


@dataclass(frozen=True, slots=True)
class Affine:
    """One map. `outer @ inner` applies the inner map first."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    @staticmethod
    def translation(dx: float, dy: float) -> Affine:
        """Move by a vector."""
        return Affine(e=dx, f=dy)

    @staticmethod
    def scaling(sx: float, sy: float) -> Affine:
        """Scale about the origin."""
        return Affine(a=sx, d=sy)

    @staticmethod
    def rotation(degrees: float) -> Affine:
        """Turn about the origin, clockwise on the page since y runs down."""
        angle = math.radians(degrees)
        cosine, sine = math.cos(angle), math.sin(angle)
        return Affine(cosine, sine, -sine, cosine)

    def __matmul__(self, inner: Affine) -> Affine:
        """The map that applies `inner` first, then this one."""
        return Affine(
            self.a * inner.a + self.c * inner.b,
            self.b * inner.a + self.d * inner.b,
            self.a * inner.c + self.c * inner.d,
            self.b * inner.c + self.d * inner.d,
            self.a * inner.e + self.c * inner.f + self.e,
            self.b * inner.e + self.d * inner.f + self.f,
        )

    def apply(self, points: Floats) -> Floats:
        """Map an (n, 2) array of points. Scalings and moves take one rounding each; what overflows is not finite."""
        mapped = np.empty_like(points)
        x, y = points[:, 0], points[:, 1]
        with np.errstate(over="ignore", invalid="ignore"):
            mapped[:, 0] = self.a * x + self.e if self.c == 0 else self.a * x + self.c * y + self.e
            mapped[:, 1] = self.d * y + self.f if self.b == 0 else self.b * x + self.d * y + self.f
        return mapped

    def map_region(self, region: Region) -> Region:
        """Map a region; a map that flattens the plane to a line leaves nothing."""
        if self.is_singular:
            return EMPTY
        return polygons_only(shapely.transform(region, self.apply))

    def map_each(self, regions: Sequence[Region]) -> list[Region]:
        """Map many regions in one go, by a map that is not singular."""
        return [polygons_only(mapped) for mapped in shapely.transform(np.array(regions, dtype=object), self.apply)]

    @property
    def determinant(self) -> float:
        """By how much areas grow; negative where the map mirrors."""
        return self.a * self.d - self.b * self.c

    @property
    def is_finite(self) -> bool:
        """Whether all six numbers are finite."""
        return all(map(math.isfinite, (self.a, self.b, self.c, self.d, self.e, self.f)))

    @property
    def is_upright(self) -> bool:
        """Whether the map keeps upright rectangles upright."""
        return self.b == self.c == 0 or self.a == self.d == 0

    @property
    def is_singular(self) -> bool:
        """Whether the map flattens the plane to a line or a point."""
        return not abs(self.determinant) > 0

    @property
    def max_stretch(self) -> float:
        """By how much the map stretches at most: the larger singular value of its linear part."""
        mean, skew = (
            math.hypot(self.a + self.d, self.b - self.c),
            math.hypot(self.a - self.d, self.b + self.c),
        )
        return (mean + skew) / 2

    def inverse(self) -> Affine:
        """The map that undoes this one. Raises ZeroDivisionError for a singular map."""
        det = self.determinant
        a, b, c, d = self.d / det, -self.b / det, -self.c / det, self.a / det
        return Affine(a, b, c, d, -(a * self.e + c * self.f), -(b * self.e + d * self.f))


IDENTITY = Affine()
