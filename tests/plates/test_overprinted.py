"""Specks of the black that the blocker prints, against areas known beforehand and plain shapely."""

import pytest
from least_dot import DOT_MM2, disc_of
from shapely import Point, box

from vectorsep.check import measure_stack
from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_stack, sound_roles
from vectorsep.settings import InkSetting, Settings

RED, BLUE, WHITE, BLACK = "#c81e28", "#1e46c8", "#ffffff", "#101010"
FIELD = box(5, 5, 55, 55)


def stack_of(*shapes, **values):
    settings = Settings(merge_black=True, **values)
    painted = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in shapes)
    return make_stack(separate_inks(Artwork(60.0, 60.0, painted), settings), settings)


def plates(stack):
    return {plate.hex if plate.role == "colour" else plate.role: plate.area for plate in stack.plates}


def told(stack):
    return [notice for notice in stack.notices if notice.code == "speck-overprinted"]


@pytest.mark.parametrize(("times", "is_given"), [(0.1, True), (0.9, True), (1.1, False), (4.0, False)])
def test_a_speck_smaller_than_a_dot_of_the_narrowest_gap_is_printed_over(times, is_given):
    dot = disc_of(times * DOT_MM2)
    stack = stack_of((FIELD, RED), (dot, BLACK), (box(40, 40, 45, 45), BLACK))
    made = plates(stack)
    assert made[RED].intersection(dot).area == pytest.approx(dot.area if is_given else 0.0, abs=1e-3)
    assert Point(20, 20).buffer(1).within(made["white"]) == is_given
    assert not box(40.1, 40.1, 44.9, 44.9).intersects(made[RED])  # what is no speck stays black
    assert [notice.message[:18] for notice in told(stack)] == is_given * ["1 speck of black, "]


def test_each_goes_to_the_ink_that_it_borders_on_most_and_all_are_told_at_once():
    by_red, by_blue = box(29.95, 20, 30.02, 20.1), box(29.98, 30, 30.05, 30.1)
    stack = stack_of((box(5, 5, 30, 55), RED), (box(30, 5, 55, 55), BLUE), (by_red, BLACK), (by_blue, BLACK))
    made = plates(stack)
    assert made[RED].intersection(by_red).area == pytest.approx(by_red.area, abs=1e-4)
    assert box(30, 30, 30.05, 30.1).within(made[BLUE].buffer(1e-3))
    (notice,) = told(stack)
    assert notice.message.startswith("2 specks of black, 0.014 mm² in all, are printed over by the ink around them")
    assert notice.severity == "warning"
    assert Point(notice.at_mm).within(by_red.union(by_blue))


@pytest.mark.parametrize(
    "other",
    [
        (box(54.95, 20, 55.05, 20.1), BLACK),  # over the edge of the art
        (box(54.9, 20, 55.0, 20.1), BLACK),  # flush with it
    ],
)
def test_one_at_cloth_stays_the_arts_own_edge(other):
    stack = stack_of((FIELD, RED), other, (box(40, 40, 45, 45), BLACK))
    assert not told(stack)
    assert plates(stack)[RED].intersection(other[0]).area < 1e-3


def test_black_of_a_screen_of_its_own_keeps_its_specks():
    dot = disc_of(0.5 * DOT_MM2)
    settings = Settings()
    painted = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in [(FIELD, RED), (dot, BLACK)])
    stack = make_stack(separate_inks(Artwork(60.0, 60.0, painted), settings), settings)
    assert plates(stack)[BLACK].area == pytest.approx(dot.area, abs=1e-4)
    assert not told(stack)


def test_specks_in_white_art_become_white_art():
    dot = disc_of(0.5 * DOT_MM2)
    made = plates(stack_of((FIELD, WHITE), (dot, BLACK), (box(40, 40, 45, 45), BLACK)))
    assert dot.within(made["white"].buffer(1e-3))


@pytest.mark.parametrize("garment_hex", [Settings().garment_hex, "#000000"])
def test_a_black_of_nothing_but_specks_leaves_a_stack_that_is_safe(garment_hex):
    """On cloth that is nearer to it than the blocker too, of whose outline it has none."""
    dots = [(disc_of(0.3 * DOT_MM2, (20 + 3 * nth, 20)), BLACK) for nth in range(4)]
    stack = stack_of((FIELD, RED), *dots, garment_hex=garment_hex)
    assert told(stack)[0].message.startswith("4 specks")
    assert plates(stack)[RED].area == pytest.approx(FIELD.area, abs=1e-2)
    assert measure_stack(stack.plates, Settings(merge_black=True)).safe


@pytest.mark.parametrize(
    "values", [{"detail_gap_mm": 0.1}, {"detail_colour_gap_mm": 0.1}, {"inks": (InkSetting(RED, "red", 330),)}]
)
def test_what_finer_screens_hold_open_stays(values):
    dot = disc_of(0.5 * DOT_MM2)
    assert told(stack_of((FIELD, RED), (dot, BLACK), (box(40, 40, 45, 45), BLACK)))
    assert not told(stack_of((FIELD, RED), (dot, BLACK), (box(40, 40, 45, 45), BLACK), **values))


def test_the_limit_is_that_of_the_ink_around():
    dots = [disc_of(0.5 * DOT_MM2, (x, 20)) for x in (20, 40)]
    shapes = (box(5, 5, 30, 55), RED), (box(30, 5, 55, 55), BLUE), *((dot, BLACK) for dot in dots)
    stack = stack_of(*shapes, inks=(InkSetting(BLUE, "blue", 330),))
    assert Point(told(stack)[0].at_mm).within(dots[0])
    assert plates(stack)[BLUE].intersection(dots[1]).area < 1e-3


def test_inks_and_black_still_share_the_art_among_them():
    dots = [(disc_of(0.5 * DOT_MM2, (x, 20)), BLACK) for x in (20, 40)]
    painted = (
        PaintedShape(area, hex_, Place("path")) for area, hex_ in [(FIELD, RED), *dots, (box(9, 9, 12, 12), BLACK)]
    )
    settings = Settings(merge_black=True)
    design = separate_inks(Artwork(60.0, 60.0, tuple(painted)), settings)
    roles = sound_roles(design, settings)
    assert roles.exposed_black.area == pytest.approx(9.0, abs=1e-9)
    assert roles.overprinted.area == pytest.approx(DOT_MM2, abs=1e-9)
    assert roles.exposed_black.area + roles.colours[0].area.area == pytest.approx(FIELD.area, abs=1e-9)


def test_a_larger_multiple_of_detail_fills_no_more():
    """It moves warnings alone."""
    dot = disc_of(1.2 * DOT_MM2)
    assert not told(stack_of((FIELD, RED), (dot, BLACK), (box(40, 40, 45, 45), BLACK), detail_multiple=3.0))
