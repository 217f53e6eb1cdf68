"""How much of a region lies in each cell of a grid: exactly, by cutting its edges at the grid's lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely

from vectorsep.geometry.arrays import Floats, Indices, ranges
from vectorsep.geometry.region import gather, outlines, ring_edges
from vectorsep.model import Bounds, Region


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """A region by the cells of a grid over an upright rectangle, row by row from its top left."""

    covered: Floats
    """Which share of each cell is covered, (rows, columns)."""
    edge_mm: Floats
    """How much of the outline lies in each cell, (rows, columns)."""
    cell_mm2: float
    outside_mm2: float
    """What of the region lies outside the rectangle."""


def in_cells(pieces: Sequence[Region], bounds_mm: Bounds, rows: int, columns: int) -> Cells:
    """Measure regions together by cells. Where they overlap, they count as often.

    The area under an edge, up to the right side of its row, counts with the sign of the edge's direction: that of all
    edges around a cell is what they enclose of it (the trapezoidal rule, exact for straight edges).
    """
    left, top, right, bottom = bounds_mm
    wide, high = (right - left) / columns, (bottom - top) / rows
    rings, _, is_hole = outlines(gather(pieces))
    edges, ring = ring_edges(rings)
    sign = np.where(shapely.is_ccw(rings) == is_hole, 1.0, -1.0)[ring]
    start, end, of_edge = _cut((edges - (left, top)) / (wide, high), columns, rows)
    middle, way = (start + end) / 2, end - start
    column, row = np.clip(np.floor(middle), -1, (columns, rows)).astype(np.intp).T
    under = sign[of_edge] * way[:, 1]
    within = (row >= 0) & (row < rows)
    in_grid = within & (column >= 0) & (column < columns)
    place = row * (columns + 2) + column + 1  # a column more on either side is for what lies beside the grid
    sums = partial(_sums, rows=rows, columns=columns + 2)
    beside = np.cumsum(sums(place[within], under[within]), axis=1)[:, :columns]
    own = sums(place[in_grid], (under * (column + 1 - middle[:, 0]))[in_grid])[:, 1:-1]
    covered = np.maximum(0.0, own + beside)
    length_mm = np.hypot(*(way * (wide, high)).T)
    edge_mm = sums(place[in_grid], length_mm[in_grid])[:, 1:-1]
    whole_mm2 = float(shapely.area(list(pieces)).sum())
    return Cells(
        covered,
        edge_mm,
        wide * high,
        max(0.0, whole_mm2 - float(covered.sum()) * wide * high),
    )


def _sums(place: Indices, values: Floats, rows: int, columns: int) -> Floats:
    """The sum of the values at each place of a grid, row by row."""
    sums: Floats = np.bincount(place, values, rows * columns).astype(np.float64)
    return sums.reshape(rows, columns)


def _cut(edges: Floats, columns: int, rows: int) -> tuple[Floats, Floats, Indices]:
    """Edges (n, 2, 2), in cells, cut at the lines of the grid: starts and ends (m, 2), and which edge each is of."""
    n = len(edges)
    cuts = [_crossings(edges[:, :, axis], lines) for axis, lines in ((0, columns), (1, rows))]
    of_edge = np.concatenate([np.arange(n), *(edge for edge, _ in cuts), np.arange(n)])
    at = np.concatenate([np.zeros(n), *(share for _, share in cuts), np.ones(n)])
    order = np.lexsort((at, of_edge))
    of_edge, at = of_edge[order], at[order]
    points = edges[of_edge, 0] + at[:, None] * (edges[of_edge, 1] - edges[of_edge, 0])
    same = of_edge[1:] == of_edge[:-1]
    return points[:-1][same], points[1:][same], of_edge[:-1][same]


def _crossings(ends: Floats, lines: int) -> tuple[Indices, Floats]:
    """Where edges, given by one coordinate of their ends (n, 2), cross whole numbers from 0 to `lines`: the edge, and
    the share of it before the crossing."""
    low, high = np.clip(ends.min(axis=1), 0, lines), np.clip(ends.max(axis=1), 0, lines)
    first, after = np.ceil(low).astype(np.intp), np.floor(high).astype(np.intp) + 1
    edge, line = ranges(first, np.where(ends[:, 0] == ends[:, 1], first, after))
    start, end = ends[edge].T
    return edge, np.clip((line - start) / (end - start), 0.0, 1.0)
