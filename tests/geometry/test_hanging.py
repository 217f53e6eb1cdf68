"""Pieces that hang on a part of a region are told from those that do not."""

import pytest
import shapely
from shapely import MultiPolygon, box

from vectorsep.geometry.region import hanging_on


@pytest.mark.parametrize("far_mm", [0.0, 3.0])
def test_pieces_without_a_piece_of_the_part_are_dropped(far_mm):
    part = MultiPolygon([box(0, 0, 1, 1), box(5, 0, 6, 1)])
    bits = [box(0, 0, 2, 1), box(5, 0, 6, 2), box(8 + far_mm, 0, 8.1 + far_mm, 1)]
    kept = hanging_on(MultiPolygon(bits), part)
    assert shapely.equals(kept, MultiPolygon(bits[:2]))
