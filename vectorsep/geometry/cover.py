"""A coarse look at painted regions from above: which edges can be seen at all, and which region is on top where.

The page is laid out in square cells. A region fills a cell where none of its edges comes near the cell and the
cell's middle lies inside. Whatever is painted in such a cell before that region is hidden for certain, so that most
hidden edges are known without cutting anything; what cells cannot decide is decided point by point, exactly.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from vectorsep.geometry.arrays import Flags, Floats, Geometries, Indices, ranges

NOTHING = -1
"""In place of a region where there is none."""
CELLS_A_CORNER = 4
CELLS_A_REGION = 64
"""How many cells all regions' bounding boxes hold together, at the most: fewer hide less, more cost more to fill."""
NEAR = 1e-7
"""Edges this near to a cell, in cells, count as touching it: far more than rounding moves them."""

BATCH = 30_000
"""Corners looked at together: as many as the processor's caches hold."""
BUSY = 16
"""Regions asked for so many points are indexed first; for fewer, the index costs more than it saves."""


@dataclass(frozen=True, slots=True, eq=False)
class Corners:
    """All corners of all rings of all regions, ring by ring, the first of a ring repeated as its last."""

    points: Floats
    """(n, 2), mm."""
    region: Indices
    """Whose corner it is."""
    leads_on: Flags
    """Whether an edge runs from this corner to the next one; not so for the last of a ring."""


def corners_of(regions: Geometries) -> Corners:
    """Take regions apart into corners."""
    pieces, region = shapely.get_parts(regions, return_index=True)
    rings, piece = shapely.get_rings(pieces, return_index=True)
    counts = shapely.get_num_coordinates(rings)
    leads_on = np.ones(counts.sum(), dtype=bool)
    leads_on[np.cumsum(counts) - 1] = False
    return Corners(shapely.get_coordinates(rings), np.repeat(region[piece], counts), leads_on)


@dataclass(frozen=True, slots=True, eq=False)
class Cover:
    """What was seen from above. Cells are numbered row by row."""

    regions: Geometries
    corners: Corners
    origin: Floats
    cell_mm: float
    columns: int
    top: Indices
    """For every cell the topmost region that fills it, or NOTHING."""
    edge: Indices
    """The corner that each edge starts at which touches a cell not filled from above ..."""
    cell: Indices
    """... and that cell; one row for each pair."""

    def seen_edges(self) -> Flags:
        """For each corner, whether an edge starts there that is not wholly hidden in filled cells."""
        seen = np.zeros(len(self.corners.points), dtype=bool)
        seen[self.edge] = True
        return seen

    def topmost(self, points: Floats) -> Indices:
        """The topmost region at each point (n, 2), or NOTHING. Points must lie off all edges.

        The region that fills a point's cell hides all below; of those above it, only such as touch the cell matter.
        """
        column, row = np.floor((points - self.origin) / self.cell_mm).astype(np.intp).T
        on_grid = (column >= 0) & (column < self.columns) & (row >= 0) & (row < len(self.top) // self.columns)
        at = np.where(on_grid, row * self.columns + column, 0)
        found = np.where(on_grid, self.top[at], NOTHING)
        point, region = self._contenders(at)
        held = on_grid[point]
        point, region = point[held], region[held]
        busy = self.regions[np.bincount(region, minlength=len(self.regions)) >= BUSY]
        shapely.prepare(busy)
        inside = shapely.contains_xy(self.regions[region], *points[point].T)
        shapely.destroy_prepared(busy)
        np.maximum.at(found, point[inside], region[inside])
        return found

    def _contenders(self, cells: Indices) -> tuple[Indices, Indices]:
        """For points in the given cells: point and region, for every region that touches the cell above its filler."""
        wanted = np.zeros(len(self.top), dtype=bool)
        wanted[cells] = True
        here = wanted[self.cell]
        count = len(self.regions)
        touching = np.unique(self.cell[here] * count + self.corners.region[self.edge[here]])
        cell, region = np.divmod(touching, count)
        first, after = np.searchsorted(cell, cells, "left"), np.searchsorted(cell, cells, "right")
        point, at = ranges(first, after)
        return point, region[at]


def cover_of(regions: Geometries) -> Cover:
    """Look down on regions painted in order, lowest first; none may be empty."""
    corners = corners_of(regions)
    bounds = shapely.bounds(regions)
    cell_mm = _cell_size(regions, bounds, len(corners.points))
    origin = bounds[:, :2].min(axis=0) - 2 * cell_mm
    boxes_in_cells = (bounds - np.tile(origin, 2)) / cell_mm
    columns, rows = (_floor(boxes_in_cells[:, 2:].max(axis=0)) + 3).tolist()
    top = np.full(columns * rows, NOTHING)
    touching = []
    for batch in _batches_from_the_top(corners.region):
        first = batch.start + np.flatnonzero(corners.leads_on[batch])
        start, end = ((corners.points[at] - origin) / cell_mm for at in (first, first + 1))
        lowest, highest = corners.region[batch][[0, -1]].tolist()
        boxes = _Boxes(boxes_in_cells[lowest : highest + 1])
        owner = corners.region[first] - lowest
        filled = boxes.insides(start, end, owner)
        edge, row, column = _touched(start, end)
        filled[boxes.slot(owner[edge], row, column)] = False
        region, row_filled, column_filled = boxes.places(np.flatnonzero(filled))
        np.maximum.at(top, row_filled * columns + column_filled, region + lowest)
        cell = row * columns + column
        open_above = top[cell] < owner[edge] + lowest
        touching.append((first[edge[open_above]], cell[open_above]))
    edges, cells = zip(*touching, strict=True)
    return Cover(regions, corners, origin, cell_mm, columns, top, np.concatenate(edges), np.concatenate(cells))


def _batches_from_the_top(region: Indices) -> Iterator[slice]:
    """The corners of whole regions, some BATCH at a time, given whose each corner is."""
    stop = len(region)
    while stop:
        start = int(np.searchsorted(region, region[max(stop - BATCH, 0)]))
        yield slice(start, stop)
        stop = start


def _cell_size(regions: Geometries, bounds: Floats, corners: int) -> float:
    """As small as the budget of cells allows, for bounding boxes, for the whole grid and along the edges."""
    budget = max(CELLS_A_CORNER * corners, CELLS_A_REGION * len(regions))
    width, height = (bounds[:, 2:] - bounds[:, :2]).T
    whole_width, whole_height = bounds[:, 2:].max(axis=0) - bounds[:, :2].min(axis=0)
    area = max(float((width * height).sum()), float(whole_width * whole_height))
    return max(float(np.sqrt(area / budget)), float(shapely.length(regions).sum()) / budget)


class _Boxes:
    """The cells of every region's bounding box, one region after the other in one long row of slots."""

    def __init__(self, bounds: Floats) -> None:
        self._left, self._top = np.floor(bounds[:, :2]).astype(np.intp).T - 1
        right, bottom = np.floor(bounds[:, 2:]).astype(np.intp).T + 2
        self._width = right - self._left + 1
        self._starts = np.append(0, np.cumsum(self._width * (bottom - self._top + 1)))
        self._corner = self._starts[:-1] - self._top * self._width - self._left

    def slot(self, region: Indices, row: Indices, column: Indices) -> Indices:
        """The slot of a cell in a region's box."""
        slot: Indices = self._corner[region] + row * self._width[region] + column
        return slot

    def places(self, slot: Indices) -> tuple[Indices, Indices, Indices]:
        """Region, row and column of slots."""
        region = np.searchsorted(self._starts, slot, side="right") - 1
        row, column = np.divmod(slot - self._starts[region], self._width[region])
        return region, row + self._top[region], column + self._left[region]

    def insides(self, start: Floats, end: Floats, owner: Indices) -> Flags:
        """For every slot, whether the middle of its cell lies inside the region.

        Walking along the middles of a row, the inside changes at every edge that crosses the row.
        """
        low, high = np.minimum(start[:, 1], end[:, 1]), np.maximum(start[:, 1], end[:, 1])
        edge, row = ranges(_floor(low - 0.5) + 1, _floor(high - 0.5) + 1)
        x, y = start[edge].T
        dx, dy = (end[edge] - start[edge]).T
        crossing = x + (row + 0.5 - y) * (dx / dy)
        change = self.slot(owner[edge], row, _floor(crossing + 0.5))
        changes = np.bincount(change, minlength=self._starts[-1]).astype(np.uint8)
        inside: Flags = np.cumsum(changes, dtype=np.uint8) % 2 == 1
        return inside


def _touched(start: Floats, end: Floats) -> tuple[Indices, Indices, Indices]:
    """Edge, row and column of every cell that an edge comes near, edges given by their ends in cells."""
    (x0, y0), (x1, y1) = start.T, end.T
    low, high = np.minimum(y0, y1), np.maximum(y0, y1)
    level = high - low < NEAR
    slope = (x1 - x0) / np.where(level, np.inf, y1 - y0)
    edge, row = ranges(_floor(low - NEAR), _floor(high + NEAR) + 1)
    x, y, slope, low, high = x0[edge], y0[edge], slope[edge], low[edge], high[edge]
    enters = x + (np.clip(row - NEAR, low, high) - y) * slope
    leaves = np.where(level[edge], x1[edge], x + (np.clip(row + (1 + NEAR), low, high) - y) * slope)
    left, right = np.minimum(enters, leaves), np.maximum(enters, leaves)
    in_row, column = ranges(_floor(left - NEAR), _floor(right + NEAR) + 1)
    return edge[in_row], row[in_row], column


def _floor(numbers: Floats) -> Indices:
    return np.floor(numbers).astype(np.intp)
