"""Places where outlines come near each other, and windows around them, against distances edge by edge."""

import numpy as np
import pytest
import shapely

from vectorsep.geometry.near import STRETCH, near_bounds, near_places, stretches
from vectorsep.geometry.windows import windows_around

REACH = 0.5


def blots(seed, count=6):
    rng = np.random.default_rng(seed)
    rounds = [shapely.Point(*rng.uniform(0, 20, 2)).buffer(rng.uniform(0.5, 2)) for _ in range(count)]
    holes = [shapely.Point(*rng.uniform(0, 20, 2)).buffer(0.4, quad_segs=3) for _ in range(count)]
    return shapely.union_all(rounds).difference(shapely.union_all(holes))


def edges(region):
    rings = shapely.get_rings(shapely.get_parts(region))
    pairs = [shapely.get_coordinates(ring) for ring in rings]
    return shapely.linestrings(np.concatenate([np.stack([xy[:-1], xy[1:]], axis=1) for xy in pairs]))


@pytest.mark.parametrize("seed", range(4))
def test_stretches_are_the_outline_in_order_and_no_longer_than_asked_for(seed):
    region = blots(seed)
    lines = stretches(region)
    assert shapely.get_num_coordinates(lines).max() == STRETCH + 1
    assert shapely.length(lines).sum() == pytest.approx(region.length)
    assert shapely.union_all(lines).equals(region.boundary)


def test_nothing_has_no_stretches_and_is_near_nothing():
    assert len(stretches(shapely.MultiPolygon())) == 0
    assert len(near_places(stretches(shapely.MultiPolygon()), stretches(blots(1)), REACH)) == 0


@pytest.mark.parametrize("seed", range(6))
def test_all_that_is_within_reach_of_two_near_edges_lies_in_a_box_and_in_the_windows(seed):
    one, other = blots(seed), blots(seed + 100)
    boxes = near_places(stretches(one), stretches(other), REACH)
    inside = shapely.union_all(shapely.box(*boxes.T))
    windows = windows_around(boxes, 1.0)
    assert windows.is_valid
    assert shapely.covers(windows, inside.buffer(1.0 - 1e-9))
    assert shapely.covers(inside.buffer(3.0, join_style="mitre"), windows)
    both = [
        (first, second) for first in edges(one) for second in edges(other)[shapely.dwithin(edges(other), first, REACH)]
    ]
    assert both
    for first, second in both:
        shared = first.buffer(REACH - 1e-9).intersection(second.buffer(REACH - 1e-9))
        assert inside.buffer(1e-6).covers(shared)


def test_outlines_apart_have_no_places_and_no_windows():
    boxes = near_places(stretches(shapely.box(0, 0, 1, 1)), stretches(shapely.box(1.6, 0, 3, 1)), REACH)
    assert boxes.shape == (0, 4) and windows_around(boxes, 1.0).is_empty


@pytest.mark.parametrize("count", [0, 1, 7, 30, 700])
def test_regions_near_the_bounds_of_any_line_are_those_of_all_pairs(count):
    """Against numpy, pair by pair; of 700 lines most regions are near many."""
    rng = np.random.default_rng(count)
    corners = rng.uniform(0, 100, (300, 2))
    regions = shapely.box(*corners.T, *(corners + rng.uniform(0.1, 3, (300, 2))).T)
    ends = rng.uniform(0, 100, (count, 1, 2)) + rng.uniform(-4, 4, (count, 2, 2))
    lines = np.asarray(shapely.linestrings(ends), dtype=object)
    (left, top), (right, bottom) = ends.min(axis=1).T, ends.max(axis=1).T
    across = [
        np.maximum(low - high[:, None], other[:, None] - far)
        for low, high, other, far in (
            (left, shapely.bounds(regions)[:, 2], shapely.bounds(regions)[:, 0], right),
            (top, shapely.bounds(regions)[:, 3], shapely.bounds(regions)[:, 1], bottom),
        )
    ]
    expected = np.flatnonzero((np.maximum(*across) <= 0.5).any(axis=1))
    assert near_bounds(regions, lines, 0.5).tolist() == expected.tolist()
    assert len(expected) >= min(count - 1, 250) / 3
