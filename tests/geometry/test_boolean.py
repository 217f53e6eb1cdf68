"""Overlays that leave alone what they need not touch: the same outcome as the plain overlay of the engine."""

import numpy as np
import pytest
import shapely
from shapely import MultiPolygon, Point, Polygon, box

from vectorsep.geometry.boolean import (
    RESCUE_GRID_MM,
    common_areas_mm2,
    cut_to,
    cut_where,
    difference,
    differences,
    intersection,
    intersections,
    union,
    unions_of_others,
)
from vectorsep.geometry.region import EMPTY, gather
from vectorsep.geometry.sweep import Disc, sweep

WINDOW = shapely.union_all([box(0, 0, 40, 40), box(60, 0, 100, 40)])


def dots(seed):
    rng = np.random.default_rng(seed)
    places = np.stack(np.meshgrid(np.arange(2, 100, 8), np.arange(2, 40, 8)), axis=-1).reshape(-1, 2)
    return MultiPolygon(
        [Point(*at).buffer(radius) for at, radius in zip(places, rng.uniform(1, 3.9, len(places)), strict=True)]
    )


@pytest.mark.parametrize("seed", range(5))
def test_cutting_is_the_plain_intersection(seed):
    art = dots(seed)
    plain = shapely.intersection(art, WINDOW)
    outside = shapely.difference(art, WINDOW)
    for cut in (cut_to(art, WINDOW), gather(cut_where(art, WINDOW, outside))):
        assert cut.is_valid
        assert shapely.symmetric_difference(cut, plain).area < 1e-9
        assert {piece.wkb for piece in cut.geoms} & {piece.wkb for piece in art.geoms}  # most were not touched


def test_where_nothing_lies_outside_all_stays():
    art = dots(9)
    whole, cut = cut_where(art, WINDOW, EMPTY)
    assert (whole is art, cut.is_empty) == (True, True)


def test_what_was_cut_is_told_from_what_was_not():
    art = dots(9)
    whole, cut = cut_where(art, WINDOW, shapely.difference(art, WINDOW))
    inside = shapely.contains_properly(WINDOW, np.array(art.geoms))
    assert 0 < len(cut.geoms) < len(art.geoms)
    assert {piece.wkb for piece in whole.geoms} == {piece.wkb for piece in np.array(art.geoms)[inside]}


CROSSED = Polygon([(0, 0), (4, 4), (4, 0), (0, 4.1)])
"""Crosses itself, as regions that were moved may by the last bit; the engine refuses it."""


@pytest.mark.parametrize(
    ("ours", "plain"),
    [
        (intersection, shapely.intersection),
        (difference, shapely.difference),
        (lambda one, other: union([one, other]), shapely.union),
        (lambda one, other: intersections(np.array([one]), np.array([other]))[0], shapely.intersection),
    ],
)
def test_what_crosses_itself_is_mended_and_overlaid_without_moving_a_corner(ours, plain):
    other = box(1 / 3, 1, 3, 3)
    with pytest.raises(shapely.GEOSException):
        plain(CROSSED, other)
    found = ours(CROSSED, other)
    assert found.is_valid
    assert shapely.symmetric_difference(found, plain(shapely.make_valid(CROSSED), other)).area < 1e-12
    steps = shapely.get_coordinates(found) / RESCUE_GRID_MM
    assert abs(steps - np.rint(steps)).max() > 1e-3  # on the rescue grid all would be whole numbers


@pytest.mark.parametrize("count", [0, 1, 2, 3, 7])
def test_unions_of_others_are_the_engines_own_union_without_the_one(count):
    rng = np.random.default_rng(count)
    regions = [
        shapely.union_all([Point(*at).buffer(radius) for *at, radius in rng.uniform((0, 0, 1), (20, 20, 4), (6, 3))])
        for _ in range(count)
    ]
    if count == 7:
        regions[3] = EMPTY
    unions = list(unions_of_others(regions))
    assert len(unions) == count
    for nth, ours in enumerate(unions):
        plain = shapely.union_all([*regions[:nth], *regions[nth + 1 :]])
        assert shapely.symmetric_difference(ours, plain).area < 1e-9


SOUND = Point(2, 2).buffer(2)
OTHERS = np.array([box(1 / 3, 1, 3, 3), box(1, 1, 3, 9)])


def test_pairs_are_overlaid_each_by_itself_where_one_of_them_crosses_itself():
    pairs = np.array([CROSSED, SOUND])
    for plain in (shapely.difference, shapely.intersection):
        with pytest.raises(shapely.GEOSException):
            plain(pairs, OTHERS)
    mended = shapely.make_valid(pairs)
    left = differences(pairs, OTHERS)
    assert shapely.area(shapely.symmetric_difference(left, shapely.difference(mended, OTHERS))).max() < 1e-12
    common_mm2 = shapely.area(shapely.intersection(mended, OTHERS))
    assert common_areas_mm2(pairs, OTHERS) == pytest.approx(common_mm2, abs=1e-12)


def test_a_disc_is_moved_about_in_what_crosses_itself():
    by_a_last_bit = Polygon([(0, 0), (4, 0), (4, 4 + 1e-9), (4 + 1e-9, 4), (0, 4)])
    with pytest.raises(shapely.GEOSException):
        shapely.difference(by_a_last_bit, box(1, 1, 3, 3))
    found, plain = (sweep(region, Disc(0.5)).missed for region in (by_a_last_bit, box(0, 0, 4, 4)))
    assert (shapely.area(plain) > 0.01).sum() == (shapely.area(found) > 0.01).sum() == 4  # corners
    assert shapely.area(found).sum() == pytest.approx(shapely.area(plain).sum(), rel=1e-3)
