"""Pinholes are filled where they are hidden, and nothing else is."""

import math

import pytest
import shapely
from shapely import MultiPolygon, Point, box

from vectorsep.geometry.holes import without_pinholes
from vectorsep.geometry.region import hanging_on

DOT_MM2 = math.pi / 4 * 0.3**2
PLATE = box(0, 0, 20, 10)


def holes(region):
    return [ring for piece in shapely.get_parts(region) for ring in piece.interiors]


def test_small_openings_under_another_ink_are_filled():
    dark, light = box(0, 0, 10, 10), box(10, 0, 20, 10)
    small, large, bare = Point(3, 3).buffer(0.1), Point(6, 3).buffer(0.5), Point(15, 3).buffer(0.1)
    plate = PLATE.difference(shapely.union_all([small, large, bare]))
    filled = without_pinholes(plate, DOT_MM2, [dark])
    assert shapely.symmetric_difference(filled, shapely.union(plate, small)).area < 1e-9
    assert len(holes(without_pinholes(plate, DOT_MM2, [dark, light]))) == 1
    assert without_pinholes(plate, DOT_MM2, []) is plate


def test_an_opening_that_shows_some_other_ink_stays():
    opening = box(4.9, 3, 5.1, 3.2)
    plate = PLATE.difference(opening)
    assert len(holes(without_pinholes(plate, DOT_MM2, [box(0, 0, 5, 10)]))) == 1
    assert not holes(without_pinholes(plate, DOT_MM2, [box(0, 0, 5, 10), box(5, 0, 20, 10)]))
    speck = Point(5, 3.1).buffer(0.02)
    assert len(holes(without_pinholes(plate, DOT_MM2, [PLATE.difference(speck)]))) == 1


@pytest.mark.parametrize("far_mm", [0.0, 3.0])
def test_pieces_without_a_piece_of_the_part_are_dropped(far_mm):
    part = MultiPolygon([box(0, 0, 1, 1), box(5, 0, 6, 1)])
    bits = [box(0, 0, 2, 1), box(5, 0, 6, 2), box(8 + far_mm, 0, 8.1 + far_mm, 1)]
    kept = hanging_on(MultiPolygon(bits), part)
    assert shapely.equals(kept, MultiPolygon(bits[:2]))
