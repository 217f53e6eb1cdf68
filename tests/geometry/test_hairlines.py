"""Open hairline gaps: which are filled and by whom, on shapes of known measures."""

import numpy as np
import pytest
import shapely
from shapely import Polygon, box

from vectorsep.geometry import hairlines, tiles
from vectorsep.geometry.boolean import HAIRLINE_MM
from vectorsep.geometry.borders import borders_of
from vectorsep.geometry.hairlines import without_hairlines
from vectorsep.geometry.visible import visible_of_kinds


def silhouette(*areas):
    return shapely.union_all(without_hairlines(areas))


@pytest.mark.parametrize("width", [1e-6, 1e-4, 0.004, 0.015, 0.0199])
def test_a_slit_between_two_areas_is_filled(width):
    whole = silhouette(box(0, 0, 10, 10), box(10 + width, 0, 20, 10))
    assert len(shapely.get_parts(whole)) == 1
    # A mouth stays a little hollow at both ends, by no more than the width.
    assert 10 * width - 2 * width**2 - 2 * 0.005 * width <= whole.area - (200 - 10 * width) <= 10 * width + 1e-6


@pytest.mark.parametrize("width", [0.021, 0.1])
def test_what_a_screen_could_show_stays_open(width):
    areas = [box(0, 0, 10, 10), box(10 + width, 0, 20, 10)]
    assert without_hairlines(areas) == areas


def test_each_tile_of_a_chequered_page_is_looked_at_around_its_own_edges(monkeypatch):
    """By the corners of what it is cut with: those around all edges make one net of thousands."""
    cut_with, cut = [], hairlines.intersections

    def counted(pieces, windows):
        cut_with.extend(shapely.get_num_coordinates(windows))
        return cut(pieces, windows)

    monkeypatch.setattr(hairlines, "intersections", counted)
    tiles_of_one = [box(x, y, x + 1, y + 1) for x in range(20) for y in range(20) if (x + y) % 2]
    (filled,) = without_hairlines([shapely.MultiPolygon(tiles_of_one)])
    assert filled.area == pytest.approx(200, abs=1e-3)
    assert len(cut_with) == 200 and max(cut_with) < 100


def rays(count):
    """Wedges that meet in a point, as wide as the cloth between them."""
    ways = np.linspace(0, 2 * np.pi, 2 * count, endpoint=False)
    rim = 40 * np.stack([np.cos(ways), np.sin(ways)], axis=1)
    return [Polygon([(0, 0), *pair]) for pair in rim.reshape(-1, 2, 2)]


def test_what_is_around_rays_at_their_hub_is_united_once(monkeypatch):
    """Each has the sides of all others beside it there. Against the plain union of all, by shapely."""
    united, unite, around = [], hairlines.union, hairlines._around

    def counted(areas):
        united.append(len(areas))
        return unite(areas)

    def held_against_the_plain_way(sides, reach, pieces):
        near, of = around(sides, reach, pieces)
        plain = shapely.union_all(shapely.buffer(sides, reach, quad_segs=1))
        for area, piece in zip(near, pieces[of], strict=True):
            assert shapely.symmetric_difference(area, piece.intersection(plain)).area < 1e-9
        return near, of

    monkeypatch.setattr(hairlines, "union", counted)
    monkeypatch.setattr(hairlines, "_around", held_against_the_plain_way)
    (filled,) = without_hairlines([shapely.MultiPolygon(rays(80))])
    gap_mm = 2 * 40 * np.sin(np.pi / 160)
    hub_mm = 40 * HAIRLINE_MM / gap_mm  # so far from the point the gaps are narrower than a hairline
    assert filled.area - shapely.area(rays(80)).sum() == pytest.approx(80 * hub_mm * HAIRLINE_MM / 2, rel=0.1)
    assert sum(united) < 20 * 80


def test_each_stretch_of_a_slit_goes_to_what_lies_beside_it():
    slit = box(5, 4, 5.01, 10)
    body = box(0, 0, 10, 10).difference(slit)
    one, other = body.difference(box(0, 8, 10, 10)), body.intersection(box(0, 8, 10, 10))
    for areas in ([one, other], [other, one]):
        filled = without_hairlines(areas)
        for area, before, length in zip(filled, areas, (4, 2) if areas[0] is one else (2, 4), strict=True):
            assert area.area == pytest.approx(before.area + 0.01 * length, abs=5e-4)
        assert shapely.coverage_is_valid([part for area in filled for part in shapely.get_parts(area)])


def test_of_two_beside_a_slit_the_first_takes_it():
    areas = [box(0, 0, 10, 10), box(10.01, 0, 20, 10)]
    for i in (0, 1):
        filled = without_hairlines(areas[:: 1 - 2 * i])
        assert filled[0].area == pytest.approx(areas[i].area + 0.1, abs=1e-3)
        assert filled[1].area == pytest.approx(areas[1 - i].area, abs=1e-3)


def test_neighbours_share_exact_edges_around_a_filled_slit():
    areas = visible_of_kinds([box(0, 0, 20, 4), box(0, 4, 10, 10), box(10.01, 4, 20, 10)], [0, 1, 2], 3)
    filled = without_hairlines(areas)
    assert shapely.coverage_is_valid([part for area in filled for part in shapely.get_parts(area)])
    assert sum(area.area for area in filled) == pytest.approx(200, abs=1e-3)


def test_edges_match_all_over_where_the_engine_needs_a_rescue_grid(monkeypatch):
    """One that moves corners: what does not lie at the slit must move along, or traps would be missed."""
    low, high = 7 / 3, 28 / 3
    slit = [box(0, 0, 10, low), box(10.01, 0, 20, low)]
    areas = [*slit, box(0, low, 10, high), box(0, high, 10, 12)]
    tiles_between = tiles._tiles_between

    def needing_a_grid(edges, cover, grid_mm):
        if grid_mm is None:
            raise shapely.GEOSException("side location conflict")
        return tiles_between(edges, cover, grid_mm)

    monkeypatch.setattr(tiles, "_tiles_between", needing_a_grid)
    filled = without_hairlines(areas)
    assert shapely.coverage_is_valid(filled)
    assert filled[0].area == pytest.approx(areas[0].area + 0.01 * low, abs=1e-3)
    borders = borders_of(filled)
    for one, other in ((0, 2), (2, 3)):
        met = borders.ends[(borders.owner == one) & (borders.beyond == other)]
        assert sum(abs(met[:, 1, 0] - met[:, 0, 0])) == pytest.approx(10, abs=1e-3)


@pytest.mark.parametrize(
    "area",
    [
        box(0, 0, 10, 0.01),  # a thin line of ink is none of cloth
        box(0, 0, 10, 10).difference(box(4, 4, 6, 10)),
        Polygon([(0, 0), (10, 0), (10, 10), (6, 10), (5, 8), (4, 10), (0, 10)]),  # a notch of 53 degrees
        shapely.Point(0, 0).buffer(0.012, quad_segs=32),  # smaller than what a hairline reaches
    ],
)
def test_corners_and_thin_ink_are_left_alone(area):
    assert without_hairlines([area]) == [area]


def test_a_long_slit_along_a_curve():
    disc = shapely.Point(0, 0).buffer(5, quad_segs=200)
    around = shapely.Point(0, 0).buffer(8, quad_segs=200).difference(shapely.Point(0, 0).buffer(5.01, quad_segs=200))
    half = box(-10, 0, 10, 10)  # cut in half, so that the slit is open at both ends
    whole = silhouette(disc.intersection(half), around.intersection(half))
    assert len(shapely.get_parts(whole)) == 1
    assert whole.area == pytest.approx(shapely.Point(0, 0).buffer(8, quad_segs=200).area / 2, abs=1e-3)
