"""Bands along borders, against the engine's buffers and overlays of the whole."""

import numpy as np
import pytest
import shapely
from shapely import LineString, Polygon, box

from vectorsep.geometry.bands import bands_along, bands_within, cover_near
from vectorsep.geometry.borders import borders_of


def _areas(seed):
    """Three areas with matched edges around a wavy middle one, and cloth in a hole."""
    rng = np.random.default_rng(seed)
    y = 10 + np.cumsum(rng.uniform(-1, 1, 41))
    wave = [(x, y) for x, y in zip(np.linspace(0, 40, 41), y, strict=True)]
    below, above = Polygon([(0, -20), *wave, (40, -20)]), Polygon([(0, 50), *wave, (40, 50)])
    left, right = box(-1, -30, 23.3, 60), box(23.3, -30, 50, 60)
    hole = box(10, y[15] + 0.1, 13, y[15] + 3)
    above = shapely.difference(above, hole)
    parts = [below, shapely.intersection(above, left), shapely.intersection(above, right)]
    return list(shapely.coverage_clean(parts))


@pytest.mark.parametrize("seed", range(8))
def test_bands_of_one_width_are_the_buffer_of_the_border(seed):
    border = borders_of(_areas(seed)).between([0], [1]).split(0.3)
    for past_ends, caps in ((True, "round"), (False, "flat")):
        bands = bands_along(border, np.full(len(border.ends), 0.25), past_ends=past_ends)
        whole = shapely.buffer(shapely.line_merge(border.lines()), 0.25, quad_segs=32, cap_style=caps)
        assert shapely.symmetric_difference(shapely.union_all(bands), whole).area < 1e-3 * whole.area


@pytest.mark.parametrize("seed", range(8))
def test_what_lies_within_is_the_whole_overlay(seed):
    areas = _areas(seed)
    borders = borders_of(areas)
    border = borders.between([0], [1]).split(0.3)
    widths = np.random.default_rng(seed).choice([0.0, 0.1, 0.25], len(border.ends))
    bands = bands_along(border, widths)
    within = bands_within(bands, areas[1], borders.around([0, 1]))
    ours = shapely.difference(shapely.union_all(within), areas[0])
    theirs = shapely.intersection(shapely.union_all(bands), areas[1])
    assert theirs.area > 1
    assert shapely.symmetric_difference(ours, theirs).area < 1e-9
    assert shapely.difference(shapely.union_all(within), shapely.union_all(areas[:2])).area < 1e-9


def test_edges_of_no_width_have_no_band():
    border = borders_of([box(0, 0, 10, 10), box(10, 0, 20, 10)]).between([0], [1]).split(1.0)
    bands = bands_along(border, np.where(border.middles[:, 1] < 5, 0.2, 0.0), past_ends=False)
    assert shapely.symmetric_difference(shapely.union_all(bands), box(9.8, 0, 10.2, 5)).area < 1e-9


@pytest.mark.parametrize("first", range(4))
def test_bands_that_end_square_leave_no_notch_where_the_width_changes_at_a_bend(first):
    """Be it where the outline begins."""
    corners = [(0, 0), (10, 0), (10, 10), (0, 10)]
    inner = Polygon(corners[first:] + corners[:first])
    border = borders_of([inner, shapely.difference(box(-5, -5, 15, 15), inner)]).between([0], [1]).split(1.0)
    y = border.middles[:, 1]
    bands = shapely.union_all(bands_along(border, np.where(y < 1e-9, 0.3, 0.2), past_ends=False))
    assert shapely.covers(bands, LineString([(9, 0), (10.01, -0.01), (10, 1)]))
    assert shapely.covers(bands, LineString([(1, 0), (-0.01, -0.01), (0, 1)]))
    assert shapely.covers(bands, box(10, -0.14, 10.14, 0))  # round the corner by the narrower width


def test_only_near_pieces_are_covers():
    near, far = box(10, 0, 12, 10), box(30, 0, 32, 10)
    border = borders_of([box(0, 0, 10, 10), near]).between([0], [1])
    assert cover_near([shapely.union(near, far)], border, 1.0).equals(near)
    assert cover_near([near, far], border, 100.0).area == pytest.approx(40)
