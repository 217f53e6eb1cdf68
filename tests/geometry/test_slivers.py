"""Slivers against shapes of known widths."""

import pytest
from shapely import MultiPolygon, Point, Polygon, box, union_all

from vectorsep.geometry.slivers import CORNER, slivers_of

WIDTH = 0.02


@pytest.mark.parametrize(("wide_mm", "is_one"), [(0.001, True), (0.015, True), (0.021, False), (1.0, False)])
def test_a_bar_is_a_sliver_by_its_width(wide_mm, is_one):
    bar = box(0, 0, 5, wide_mm)
    assert slivers_of(bar, WIDTH).equals(bar if is_one else MultiPolygon())


def test_a_rim_that_hangs_on_a_wide_part_is_told_from_it():
    rim = box(1, 0, 5, 0.01)
    found = slivers_of(union_all([box(0, 0, 1, 1), rim, box(7, 7, 8, 8)]), WIDTH)
    assert found.area == pytest.approx(rim.area, rel=2 * CORNER * WIDTH / 4)
    assert found.within(rim.buffer(1e-9))


@pytest.mark.parametrize("wide", [box(0, 0, 3, 3), Polygon([(0, 0), (3, 0), (3, 1.5)]), Point(0, 0).buffer(0.5)])
def test_corners_are_no_slivers(wide):
    assert slivers_of(wide, WIDTH).is_empty
