"""How far ink is as it was made, told by the measures that a report keeps of it: by cells, as outlines it has not."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from vectorsep.geometry.arrays import Floats
from vectorsep.geometry.cells import in_cells
from vectorsep.geometry.region import gather
from vectorsep.model import Bounds, InkMeasure, Point, Region
from vectorsep.units import counted, format_mm2

SAME_PLACE_MM = 0.01
"""Ink this near to where it was made was saved anew by a program that rounds, not moved: to hundredths of a
millimetre, as a rule, which may put the bend of a curve a little farther off than its points."""
SAME_AREA_MM2 = 0.05
"""So much ink comes and goes by rounding; a dot of it is a quarter of a millimetre wide, less than any mesh prints."""
MOST_AROUND = 100
"""Cells around those of the ink as made; farther out, ink is not told by cells."""
MOST_SPOTS = 4
"""Spots told one by one; the rest are counted."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Ink that came, or went where the area is negative, and where that is, to about a cell."""

    at_mm: Point
    area_mm2: float


@dataclass(frozen=True, slots=True, eq=False)
class Unlike:
    """What is not as it was made, beyond what rounding explains."""

    frame_mm: Bounds
    """The bounds that it was made with, and around them what is needed to hold it now."""
    more_mm2: Floats
    """In each cell of the frame, how much more ink than was made; 0 where rounding explains it."""
    outside_mm2: float
    """Ink beyond the frame, of which only a tiny one has any."""
    by_rounding_mm2: float
    """So much ink in all may come or go by rounding, whose errors are not the same from cell to cell."""

    @property
    def total_mm2(self) -> float:
        """All that came and all that went."""
        return float(np.abs(self.more_mm2).sum()) + self.outside_mm2

    @property
    def came_and_went(self) -> bool:
        """Whether ink is missing in places while there is more in others."""
        came_mm2 = float(self.more_mm2.clip(min=0).sum()) + self.outside_mm2
        return min(came_mm2, -float(self.more_mm2.clip(max=0).sum())) > SAME_AREA_MM2

    def spots(self) -> list[Spot]:
        """Cells side by side in which ink came, or went, as one spot each, the largest first."""
        left, top, right, bottom = self.frame_mm
        rows, columns = self.more_mm2.shape
        spots = []
        for cells in _together(np.sign(self.more_mm2)):
            at = tuple(np.array(cells).T)
            more_mm2 = self.more_mm2[at]
            row, column = np.average(np.array(cells) + 0.5, axis=0, weights=np.abs(more_mm2))
            x = left + (right - left) * float(column) / columns
            y = top + (bottom - top) * float(row) / rows
            spots.append(Spot((x, y), float(more_mm2.sum())))
        spots.sort(key=lambda spot: -abs(spot.area_mm2))
        return [spot for spot in spots if abs(spot.area_mm2) > SAME_AREA_MM2]


def keeps_cells(made: InkMeasure) -> bool:
    """Whether a report says where the ink lay within its bounds: those of older versions do not."""
    left, top, right, bottom = made.bounds_mm
    return bool(made.covered) and right > left and bottom > top


def unlike(pieces: Sequence[Region], made: InkMeasure) -> Unlike:
    """Compare ink, given as pieces that do not overlap, with what was made, whose cells must be known.

    An outline that runs through a cell, or past it in one beside it, may have been rounded off by SAME_PLACE_MM.
    """
    covered, frame_mm = _framed(made, gather(pieces).bounds if pieces else made.bounds_mm)
    now = in_cells(pieces, frame_mm, *covered.shape)
    more_mm2 = (now.covered - covered) * now.cell_mm2
    explained = np.abs(more_mm2) <= SAME_PLACE_MM * _most_near(now.edge_mm)
    by_rounding_mm2 = SAME_PLACE_MM * float(np.hypot.reduce(now.edge_mm, axis=None))
    return Unlike(frame_mm, np.where(explained, 0.0, more_mm2), now.outside_mm2, by_rounding_mm2)


def _framed(made: InkMeasure, now: Bounds) -> tuple[Floats, Bounds]:
    """The cells as made, with empty ones around them to hold the ink as it is, and the frame of them all.

    One at least on each side, into which edges may have been rounded.
    """
    covered = np.array(made.covered)
    rows, columns = covered.shape
    left, top, right, bottom = made.bounds_mm
    wide, high = (right - left) / columns, (bottom - top) / rows
    beyond = ((left - now[0]) / wide, (top - now[1]) / high, (now[2] - right) / wide, (now[3] - bottom) / high)
    before_x, before_y, after_x, after_y = (math.ceil(min(max(cells, 0.0), MOST_AROUND)) + 1 for cells in beyond)
    frame_mm = (left - before_x * wide, top - before_y * high, right + after_x * wide, bottom + after_y * high)
    return np.pad(covered, ((before_y, after_y), (before_x, after_x))), frame_mm


def spots_told(spots: Sequence[Spot]) -> Iterator[str]:
    """How much ink came and went where; a single spot is the place of the finding, and its amount is told anyhow."""
    if len(spots) < 2:
        return
    told = [
        f"{format_mm2(abs(spot.area_mm2))} {'came' if spot.area_mm2 > 0 else 'went'} at {spot.at_mm[0]:.1f}, "
        f"{spot.at_mm[1]:.1f} mm"
        for spot in spots[:MOST_SPOTS]
    ]
    others = len(spots) - len(told)
    more = f", and some in {counted(others, 'place')} more" if others else ""
    yield f"{', '.join(told)}{more}"


def _most_near(cells: Floats) -> Floats:
    """The largest of each cell and the eight around it: an outline may run between two cells."""
    rows, columns = cells.shape
    padded = np.pad(cells, 1)
    shifts = [padded[i : i + rows, j : j + columns] for i, j in product(range(3), repeat=2)]
    return np.asarray(np.max(shifts, axis=0))


def _together(signs: Floats) -> list[list[tuple[int, int]]]:
    """Groups of cells of the same sign that have sides in common, cells of 0 left out."""
    left = {(int(row), int(column)) for row, column in np.argwhere(signs)}
    groups = []
    while left:
        group = [left.pop()]
        for row, column in group:  # grows while it is walked
            beside = {(row - 1, column), (row + 1, column), (row, column - 1), (row, column + 1)} & left
            alike = sorted(cell for cell in beside if signs[cell] == signs[row, column])
            left.difference_update(alike)
            group += alike
        groups.append(sorted(group))
    return sorted(groups)
