"""Overlays that leave alone what they need not touch: the same outcome as the plain overlay of the engine."""

import numpy as np
import pytest
import shapely
from shapely import MultiPolygon, Point, box

from vectorsep.geometry.boolean import cut_to, cut_where
from vectorsep.geometry.region import EMPTY

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
    for cut in (cut_to(art, WINDOW), cut_where(art, WINDOW, outside)):
        assert cut.is_valid
        assert shapely.symmetric_difference(cut, plain).area < 1e-9
        assert {piece.wkb for piece in cut.geoms} & {piece.wkb for piece in art.geoms}  # most were not touched


def test_where_nothing_lies_outside_all_stays():
    art = dots(9)
    assert cut_where(art, WINDOW, EMPTY) is art
