"""Overlays piece by piece, against the engine's overlay of the whole regions."""

import numpy as np
import pytest
import shapely

from vectorsep.geometry.piecewise import (
    FEW,
    LARGE_TIMES,
    LIGHT_LOAD,
    MANY,
    WORTH_HALVING,
    difference_by_pieces,
    in_halves,
    intersection_by_pieces,
    union_by_pieces,
)

LAST_BITS_MM2 = 1e-9
BOTH = pytest.mark.parametrize(
    ("ours", "whole"),
    [(intersection_by_pieces, shapely.intersection), (difference_by_pieces, shapely.difference)],
)


def discs(seed, count, radius_mm, page_mm=100):
    """Disjoint discs in the squares of a grid, some squares left empty."""
    rng = np.random.default_rng(seed)
    steps = int(np.sqrt(count))
    corner = np.stack(np.meshgrid(np.arange(steps), np.arange(steps)), axis=-1).reshape(-1, 2)
    shaken = (corner + rng.uniform(0.3, 0.7, corner.shape)) * page_mm / steps
    return shapely.multipolygons(shapely.buffer(shapely.points(shaken[rng.random(len(shaken)) < 0.7]), radius_mm))


def assert_same(region, other, ours, whole):
    found = ours(region, other)
    assert found.is_valid
    assert shapely.symmetric_difference(found, whole(region, other)).area < LAST_BITS_MM2


@BOTH
def test_many_with_many(ours, whole):
    region, other = discs(1, 400, 1.4), discs(2, 400, 1.4)
    assert not shapely.disjoint(region, other)
    assert_same(region, other, ours, whole)


@BOTH
def test_large_pieces_that_meet_many_small_ones_and_small_ones_that_meet_a_large_one(ours, whole):
    teeth = [shapely.box(x, 0, x + 2, 90) for x in range(0, 90, 4)]
    comb = shapely.segmentize(shapely.union_all([*teeth, shapely.box(0, 90, 90, 99)]), 1.0)
    dots = discs(3, 900, 0.9)
    assert shapely.get_num_coordinates(comb) > LIGHT_LOAD * shapely.get_num_coordinates(dots.geoms[0])
    several = shapely.multipolygons([comb, shapely.box(200, 0, 210, 10), shapely.box(-30, 50, -1, 60)])
    assert_same(several, dots, ours, whole)
    far = shapely.transform(discs(4, 64, 0.5), lambda xy: xy + 200)
    assert_same(dots, shapely.multipolygons([comb, *far.geoms]), ours, whole)


@BOTH
def test_pieces_that_share_edges_and_pieces_that_meet_nothing(ours, whole):
    squares = shapely.multipolygons([shapely.box(2 * k, 0, 2 * k + 1, 1) for k in range(3 * MANY)])
    beside = shapely.multipolygons([shapely.box(2 * k + 1, 0, 2 * k + 2, 1) for k in range(MANY)])
    assert_same(squares, beside, ours, whole)


def test_nothing_to_meet_leaves_all_as_it_is():
    region, far = discs(5, 100, 2), discs(6, 400, 1, page_mm=50)
    far = shapely.transform(far, lambda xy: xy + 1000)
    assert difference_by_pieces(region, far).equals(region)
    assert intersection_by_pieces(region, far).is_empty


def large_piece():
    teeth = [shapely.box(x, 0, x + 2, 90) for x in range(0, 90, 4)]
    return shapely.segmentize(shapely.union_all([*teeth, shapely.box(0, 90, 90, 99)]), 0.5)


@pytest.mark.parametrize("others", [1, 2, FEW - 1, FEW + 2])
def test_a_union_with_a_large_piece_that_many_small_ones_meet(others):
    regions = [large_piece(), *(discs(seed, 400, 1.5) for seed in range(others))]
    vertices = shapely.get_num_coordinates(shapely.get_parts(regions))
    assert vertices.max() > LARGE_TIMES * vertices.mean()
    found = union_by_pieces(regions)
    assert found.is_valid
    assert shapely.symmetric_difference(found, shapely.union_all(regions)).area < LAST_BITS_MM2


def test_a_union_of_one_region_whose_pieces_overlap_and_of_none():
    overlapping = shapely.multipolygons([large_piece(), *(shapely.box(x, 80, x + 5, 95) for x in range(0, 90, 3))])
    found = union_by_pieces([overlapping])
    assert found.is_valid and found.area == pytest.approx(shapely.union_all(overlapping.geoms).area)
    assert union_by_pieces([]).is_empty


def test_halves_are_whole_pieces_one_left_of_the_other_and_alike_in_vertices():
    rng = np.random.default_rng(7)
    dots = shapely.buffer(shapely.points(np.stack([np.arange(200.0) * 3, rng.uniform(0, 50, 200)], axis=1)), 1.0)
    whole = shapely.multipolygons(rng.permutation(dots))
    left, right = in_halves(whole)
    assert {piece.wkb for half in (left, right) for piece in half.geoms} == {dot.wkb for dot in dots}
    assert len(left.geoms) + len(right.geoms) == 200
    assert left.bounds[2] < right.bounds[0]
    vertices = shapely.get_num_coordinates([left, right])
    assert abs(int(vertices[0]) - int(vertices[1])) <= shapely.get_num_coordinates(dots[0])


def test_what_is_one_piece_or_has_few_vertices_is_not_halved():
    ring = shapely.Point(0, 0).buffer(10, quad_segs=WORTH_HALVING)
    few = shapely.multipolygons([shapely.box(0, 0, 1, 1), shapely.box(2, 0, 3, 1)])
    for region in (ring, few, shapely.MultiPolygon()):
        assert in_halves(region) == (region,)


@pytest.mark.parametrize("large_first", [True, False])
def test_a_piece_of_most_vertices_is_a_half_by_itself(large_first):
    large, small = (
        shapely.Point(0, 0).buffer(10, quad_segs=2000),
        [shapely.box(20, 0, 21, 1), shapely.box(30, 0, 31, 1)],
    )
    if not large_first:
        small = [shapely.box(-30, 0, -29, 1), shapely.box(-20, 0, -19, 1)]
    halves = in_halves(shapely.multipolygons([*small, large]))
    assert sorted(shapely.get_num_geometries(halves)) == [1, 2]
    assert any(half.equals(large) for half in halves)
