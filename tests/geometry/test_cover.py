"""The look from above against exact predicates, region by region: what it calls hidden must be hidden."""

import numpy as np
import pytest
import shapely
from shapely import Point, box

from vectorsep.geometry.cover import NOTHING, cover_of


def random_regions(seed):
    """Discs with and without a hole, thin slanted bars and a frame, some of them on round coordinates."""
    rng = np.random.default_rng(seed)
    regions = []
    for i in range(60):
        x, y, size = *rng.uniform(0, 100, 2), rng.uniform(1, 25)
        disc = Point(x, y).buffer(size)
        bar = shapely.affinity.rotate(box(x, y, x + 3 * size, y + 0.02 * size), rng.uniform(0, 180))
        ring = disc.difference(Point(x, y).buffer(size * 0.7))
        upright = box(round(x), round(y), round(x) + 10, round(y) + 10)
        regions.append((disc, bar, ring, upright)[i % 4])
    return np.array([*regions, box(-5, -5, 105, 105).difference(box(0, 0, 100, 100))], dtype=object)


@pytest.mark.parametrize("seed", range(5))
def test_edges_said_to_be_hidden_lie_under_the_regions_above(seed):
    regions = random_regions(seed)
    cover = cover_of(regions)
    corners, seen = cover.corners, cover.seen_edges()
    hidden = np.flatnonzero(corners.leads_on & ~seen)
    for index in np.unique(corners.region[hidden]):
        here = hidden[corners.region[hidden] == index]
        edges = shapely.linestrings(np.stack([corners.points[here], corners.points[here + 1]], axis=1))
        assert shapely.union_all(regions[index + 1 :]).covers(shapely.multilinestrings(edges))
    assert len(hidden) > corners.leads_on.sum() / 20, "or nothing was tested"


@pytest.mark.parametrize("seed", range(5))
def test_filled_cells_lie_in_the_topmost_region_that_fills_them(seed):
    regions = random_regions(seed)
    cover = cover_of(regions)
    filled = np.flatnonzero(cover.top != NOTHING)
    row, column = np.divmod(filled, cover.columns)
    left, top = cover.origin[0] + column * cover.cell_mm, cover.origin[1] + row * cover.cell_mm
    cells = shapely.box(left, top, left + cover.cell_mm, top + cover.cell_mm)
    assert len(filled) > 20
    assert shapely.covers(regions[cover.top[filled]], cells).all()


@pytest.mark.parametrize("seed", range(5))
def test_the_topmost_region_is_the_last_that_holds_the_point(seed):
    regions = random_regions(seed)
    points = np.random.default_rng(seed).uniform(-20, 120, (2000, 2))
    held = [np.flatnonzero(shapely.contains_xy(regions, x, y)) for x, y in points]
    assert cover_of(regions).topmost(points).tolist() == [int(h[-1]) if len(h) else NOTHING for h in held]


def test_level_upright_and_endless_edges():
    flat = shapely.Polygon([(0, 5), (1000, 5 + 1e-12), (1000, 6), (0, 6)])
    needle = shapely.Polygon([(0, 5.5), (1000, 5.5), (1000, 5.5 + 1e-9)])
    cover = cover_of(np.array([flat, needle], dtype=object))
    assert cover.topmost(np.array([[500, 5.2], [500, 5.7], [500, 4.0], [5000, 5.2]])).tolist() == [0, 0, -1, -1]
