"""Openings that no screen holds, against areas known beforehand and plain shapely."""

import math

import pytest
import shapely
from least_dot import DOT_MM2, disc_of
from shapely import Point, box

from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_plates
from vectorsep.settings import InkSetting, Settings

RED, BLUE = "#c81e28", "#1e46c8"
FIELD = box(5, 5, 55, 55)


def design_of(*shapes, **settings):
    painted = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in shapes)
    return separate_inks(Artwork(60.0, 60.0, painted), Settings(**settings))


def told(design):
    return [notice for notice in design.notices if notice.code == "pinhole-filled"]


@pytest.mark.parametrize(("times", "is_filled"), [(0.1, True), (0.9, True), (1.1, False), (4.0, False)])
def test_an_opening_smaller_than_a_dot_of_the_narrowest_gap_takes_ink(times, is_filled):
    opening = disc_of(times * DOT_MM2)
    design = design_of((FIELD - opening, RED))
    assert design.inks[0].area.area == pytest.approx(2500 - (0 if is_filled else opening.area), abs=1e-9)
    assert len(told(design)) == is_filled


def test_the_notice_counts_them_and_tells_where():
    openings = [disc_of(0.01, (10 + 5 * nth, 30)) for nth in range(3)]
    (notice,) = told(design_of((FIELD - shapely.union_all(openings), RED)))
    assert notice.message.startswith("3 pinholes, 0.03 mm² in all, smaller than a dot of 0.221 mm, are filled")
    assert notice.at_mm == pytest.approx((10, 30), abs=0.06)


def test_white_lies_under_what_was_filled_and_without_it_would_be_choked_around():
    opening = disc_of(0.9 * DOT_MM2)

    def white(**settings):
        plates = make_plates(design_of((FIELD - opening, RED), **settings), Settings(**settings))
        return next(plate.area for plate in plates if plate.role == "white")

    window = Point(20, 20).buffer(2)
    assert window.within(white())
    bare = window - white(detail_gap_mm=0.05)
    assert bare.area > math.pi * 0.25**2  # choked by 0.25 mm around it, the opening itself besides


def test_it_goes_to_the_ink_it_borders_on_most_and_edges_stay_matched():
    opening = disc_of(0.02, (30.03, 30.0))  # astride the border, two thirds of it on the right
    left, right = box(5, 5, 30, 55) - opening, box(30, 5, 55, 55) - opening
    design = design_of((left, RED), (right, BLUE))
    red, blue = (ink.area for ink in design.inks)
    assert blue.area == pytest.approx(1250 + (opening & box(5, 5, 30, 55)).area, abs=1e-9)
    assert red.area == pytest.approx(left.area, abs=1e-9)
    assert shapely.coverage_is_valid([red, blue])


def test_openings_with_art_in_them_stay_and_so_do_slits():
    ring, speck = disc_of(0.9 * DOT_MM2), disc_of(0.3 * DOT_MM2)
    slit = box(40, 20, 40.05, 21)  # longer than a dot: 0.05 mm²
    design = design_of((FIELD - ring - slit, RED), (speck, BLUE))
    cloth = FIELD - shapely.union_all([ink.area for ink in design.inks])
    assert cloth.area == pytest.approx(ring.area - speck.area + slit.area, abs=1e-9)
    assert not told(design)


def test_a_screen_that_holds_less_fills_more():
    shapes = ((FIELD - disc_of(1.7 * DOT_MM2), RED),)
    assert not told(design_of(*shapes))
    assert told(design_of(*shapes, colour_mesh_per_inch=110))
    assert told(design_of(*shapes, inks=(InkSetting(RED, "red", mesh_per_inch=110),)))


def test_what_is_set_to_be_warned_of_more_does_not_change_the_art():
    shapes = ((FIELD - disc_of(1.7 * DOT_MM2), RED),)
    assert not told(design_of(*shapes, detail_gap_mm=0.4)) and not told(design_of(*shapes, detail_multiple=2))
    finer = ((FIELD - disc_of(0.5 * DOT_MM2), RED),)
    assert told(design_of(*finer))
    assert not told(design_of(*finer, detail_gap_mm=0.1)) and not told(design_of(*finer, detail_multiple=0.5))
    assert not told(design_of(*finer, detail_colour_gap_mm=0.1)) and told(design_of(*finer, detail_white_gap_mm=0.1))


def test_of_two_inks_each_goes_by_its_own_screen():
    openings = disc_of(1.7 * DOT_MM2, (15, 30)), disc_of(1.7 * DOT_MM2, (45, 30))
    left, right = box(5, 5, 30, 55) - openings[0], box(30, 5, 55, 55) - openings[1]
    coarse = InkSetting(BLUE, "blue", mesh_per_inch=110)
    red, blue = (ink.area.area for ink in design_of((left, RED), (right, BLUE), inks=(coarse,)).inks)
    assert red == pytest.approx(left.area, abs=1e-9)
    assert blue == pytest.approx(1250, abs=1e-9)
