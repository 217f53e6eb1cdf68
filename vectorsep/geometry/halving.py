"""Halving a crowded polygon until each part is easy, for work that grows faster than what it is done on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from vectorsep.geometry.region import pieces_within

MOST_HOLES = 60
"""A polygon with more holes is cut in two: a triangulation joins each hole to the outline, one by one."""
MOST_CORNERS = 2000
"""A polygon with more corners is cut in two: a triangulation of twice as many takes some three times as long."""
LEAST_SIDE = 4.0
"""A part is at least this many margins wide; smaller ones would overlap more than they divide."""


@dataclass(frozen=True, slots=True)
class Part:
    """What of a polygon lies in a rectangle and a margin around it. Together the rectangles cover the polygon once."""

    pieces: tuple[Polygon, ...]
    left: float
    top: float
    right: float
    bottom: float

    def holds(self, x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Which points (mm) lie in the rectangle itself, each point in one part only."""
        inside: NDArray[np.bool_] = (self.left <= x) & (x < self.right) & (self.top <= y) & (y < self.bottom)
        return inside


def are_crowded(polygons: NDArray[np.object_]) -> NDArray[np.bool_]:
    """Which polygons are better halved."""
    holes, corners = shapely.get_num_interior_rings(polygons), shapely.get_num_coordinates(polygons)
    crowded: NDArray[np.bool_] = (holes > MOST_HOLES) | (corners > MOST_CORNERS)
    return crowded


def halved(polygon: Polygon, margin_mm: float) -> Iterator[Part]:
    """Parts that are not crowded each, or too small to cut. A polygon that is not comes as one part, uncut."""
    left, top, right, bottom = polygon.bounds
    around = (left - margin_mm, top - margin_mm, right + margin_mm, bottom + margin_mm)
    yield from _divided(Part((polygon,), *around), margin_mm)


def _divided(whole: Part, margin_mm: float) -> Iterator[Part]:
    left, top, right, bottom = whole.left, whole.top, whole.right, whole.bottom
    if not are_crowded(np.array(whole.pieces)).any() or max(right - left, bottom - top) < 2 * LEAST_SIDE * margin_mm:
        yield whole
        return
    if right - left >= bottom - top:
        middle = (left + right) / 2
        halves = ((left, top, middle, bottom), (middle, top, right, bottom))
    else:
        middle = (top + bottom) / 2
        halves = ((left, top, right, middle), (left, middle, right, bottom))
    for half in halves:
        yield from _divided(_cut(whole, half, margin_mm), margin_mm)


def _cut(whole: Part, half: tuple[float, float, float, float], margin_mm: float) -> Part:
    left, top, right, bottom = half
    frame = (left - margin_mm, top - margin_mm, right + margin_mm, bottom + margin_mm)
    cut = shapely.get_parts(pieces_within(np.array(whole.pieces), frame))
    return Part(tuple(piece for piece in cut if isinstance(piece, Polygon) and not piece.is_empty), *half)
