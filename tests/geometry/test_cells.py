"""Ink by cells of a grid, against the engine's own cut of each cell."""

import numpy as np
import pytest
import shapely
from shapely import MultiPolygon, Polygon, box
from shapely.affinity import scale

from vectorsep.geometry.cells import in_cells

ROWS, COLUMNS = 7, 9


def engines_cut(region, bounds):
    """Share of each cell that the engine finds covered, and its outline in each, by one overlay a cell."""
    left, top, right, bottom = bounds
    wide, high = (right - left) / COLUMNS, (bottom - top) / ROWS
    cells = [
        [box(left + j * wide, top + i * high, left + (j + 1) * wide, top + (i + 1) * high) for j in range(COLUMNS)]
        for i in range(ROWS)
    ]
    return (
        shapely.area(shapely.intersection(cells, region)) / (wide * high),
        shapely.length(shapely.intersection(cells, shapely.boundary(region))),
    )


def random_region(rng):
    """Stars with holes, some over the grid's border."""
    stars = []
    for _ in range(12):
        angle = np.sort(rng.uniform(0, 2 * np.pi, 30))
        reach, middle = rng.uniform(2, 9, 30), rng.uniform(0, 50, 2)
        star = Polygon(middle + reach[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)).buffer(0)
        stars.append(star - scale(star, 0.4, 0.4))
    return shapely.union_all(stars)


@pytest.mark.parametrize("seed", range(8))
def test_cells_are_those_that_the_engine_cuts(seed):
    rng = np.random.default_rng(seed)
    region = random_region(rng)
    bounds = (*rng.uniform(-5, 20, 2), *rng.uniform(25, 60, 2))
    cells = in_cells([region], bounds, ROWS, COLUMNS)
    covered, edge_mm = engines_cut(region, bounds)
    assert np.allclose(cells.covered, covered, atol=1e-9)
    assert np.allclose(cells.edge_mm, edge_mm, atol=1e-9)
    assert cells.outside_mm2 == pytest.approx((region - box(*bounds)).area, abs=1e-9)


def test_pieces_are_counted_together_and_as_often_as_they_overlap():
    cells = in_cells([box(0, 0, 1, 2), box(0.5, 0, 2, 2)], (0, 0, 2, 2), 1, 2)
    assert cells.covered.tolist() == [[1.5, 1.0]]


def test_outlines_along_the_grid_and_either_way_round_do_not_matter():
    square = box(1, 1, 2, 3)
    for region in (square, square.reverse(), MultiPolygon([square])):
        assert in_cells([region], (0, 0, 3, 3), 3, 3).covered.tolist() == [[0, 0, 0], [0, 1, 0], [0, 1, 0]]


def test_nothing_covers_nothing():
    cells = in_cells([], (0, 0, 3, 3), 2, 2)
    assert cells.covered.tolist() == [[0, 0], [0, 0]] and cells.outside_mm2 == 0
