"""Gaps closed on request, against areas known beforehand and the plain closing by another engine's buffers."""

from itertools import permutations

import numpy as np
import pytest
import shapely
from second_engine import offset
from shapely import box

from vectorsep.errors import SettingsError
from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_stack
from vectorsep.settings import MAX_CLOSED_GAP_MM, Settings

RED, BLUE, GOLD = "#c81e28", "#1e46c8", "#e6b422"


def design_of(*shapes, **settings):
    painted = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in shapes)
    return separate_inks(Artwork(60.0, 60.0, painted), Settings(**settings))


def covered(design):
    return shapely.union_all([ink.area for ink in design.inks])


def side_by_side(gap):
    return (box(5, 5, 20, 25), RED), (box(20 + gap, 5, 35, 25), BLUE)


@pytest.mark.parametrize("gap", [0.03, 0.08, 0.19, 0.4])
def test_a_gap_between_two_inks_closes_where_the_job_says_so(gap):
    left_open = design_of(*side_by_side(gap))
    assert covered(left_open).area == pytest.approx(600 - 20 * gap)
    design = design_of(*side_by_side(gap), close_gaps_mm=gap + 0.02)
    # Both mouths stay a little hollow, by less than half a disc as wide as the gap.
    assert 600 - 2 * np.pi / 8 * gap**2 <= covered(design).area <= 600 + 1e-6
    assert shapely.coverage_is_valid([part for ink in design.inks for part in shapely.get_parts(ink.area)])
    (notice,) = (notice for notice in design.notices if notice.code == "gap-closed")
    assert notice.message.startswith("1 gap narrower than")
    assert notice.at_mm == pytest.approx((20 + gap / 2, 15), abs=10)


def test_wider_gaps_stay_open():
    shapes = side_by_side(0.2)
    design = design_of(*shapes, close_gaps_mm=0.19)
    assert [ink.area for ink in design.inks] == [ink.area for ink in design_of(*shapes).inks]
    assert not [notice for notice in design.notices if notice.code == "gap-closed"]


def test_enclosed_gaps_close_whatever_their_shape():
    ring = box(10, 10, 40, 40).difference(box(20, 20, 30, 30))
    speck = shapely.Polygon([(12, 12), (12.1, 12), (12.05, 12.1)])
    design = design_of((ring.difference(speck), RED), (box(20.1, 20.1, 29.9, 29.9), GOLD), close_gaps_mm=0.15)
    assert covered(design).area == pytest.approx(900, abs=1e-9)


def test_lines_and_notches_of_cloth_that_open_widely_stay():
    notched = box(5, 5, 35, 35).difference(shapely.Polygon([(20, 5), (24, 5), (22, 12)]))  # 32 degrees, to a point
    design = design_of((notched, RED), close_gaps_mm=0.2)
    assert covered(design).area == pytest.approx(notched.area, abs=0.2 * 0.2 / 2)


def test_no_third_ink_comes_between_two():
    """Three inks that meet at a T of gaps: each gap goes to an ink beside it."""
    red, blue, gold = box(5, 5, 20, 35), box(20.1, 5, 35, 20), box(20.1, 20.1, 35, 35)
    between = [
        (box(20, 21, 20.1, 34), RED, GOLD),
        (box(20, 6, 20.1, 19), RED, BLUE),
        (box(21, 20, 34, 20.1), BLUE, GOLD),
    ]
    for shapes in permutations([(red, RED), (blue, BLUE), (gold, GOLD)]):
        inks = {ink.hex: ink.area for ink in design_of(*shapes, close_gaps_mm=0.15).inks}
        for gap, *neighbours in between:
            assert gap.difference(shapely.union_all([inks[hex_] for hex_ in neighbours])).area < 1e-9


def test_white_is_not_choked_along_a_closed_gap():
    open_gap, closed = design_of(*side_by_side(0.1)), design_of(*side_by_side(0.1), close_gaps_mm=0.15)
    across = shapely.LineString([(18, 15), (22, 15)])
    bare = [across.difference(make_stack(d, Settings()).plates[1].area).length for d in (open_gap, closed)]
    assert bare[0] > 2 * Settings().min_choke_mm
    assert bare[1] == 0


@pytest.mark.parametrize("seed", range(6))
def test_random_cracks_fill_as_the_plain_closing_does(seed):
    """A page of tiles drawn with cracks of 0.05 to 0.12 mm between them, as tracing leaves them."""
    rng = np.random.default_rng(seed)
    sites = shapely.MultiPoint(rng.uniform(5, 55, (30, 2)))
    cells = shapely.get_parts(shapely.voronoi_polygons(sites, extend_to=box(0, 0, 60, 60)))
    tiles = [cell.intersection(box(5, 5, 55, 55)) for cell in cells]
    tiles = [tile.buffer(-rng.uniform(0.025, 0.06), join_style="mitre") for tile in tiles]
    shapes = [(tile, (RED, BLUE, GOLD)[i % 3]) for i, tile in enumerate(tiles) if not tile.is_empty]
    found = covered(design_of(*shapes, close_gaps_mm=0.15))
    plain = closed_by_clipper([tile for tile, _ in shapes], 0.15)
    # Where cracks meet the outside or each other, the plain closing leaves or rounds corners of half a width.
    filled = shapely.difference(plain, shapely.union_all(tiles))
    assert shapely.symmetric_difference(found, plain).area < 0.001 * filled.area
    assert found.area > shapely.union_all(tiles).area + 10


def closed_by_clipper(regions, width):
    return offset(offset(shapely.MultiPolygon(regions), width / 2), -width / 2)


@pytest.mark.parametrize("width", [-0.1, MAX_CLOSED_GAP_MM + 0.01, float("nan")])
def test_a_width_out_of_range_is_told_with_its_key(width):
    with pytest.raises(SettingsError, match=r"art\.close_gaps"):
        Settings(close_gaps_mm=width)
