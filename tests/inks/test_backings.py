"""Backings of the size of what lies on them, which peep out by a rounding: the plates are those without them."""

from itertools import product

import pytest
from shapely import Polygon, box
from shapely.affinity import translate

from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_plates
from vectorsep.settings import Settings

WHITE, BLACK, YELLOW, BLUE, GREEN = "#ffffff", "#111111", "#f0c020", "#2040a0", "#30a050"
WHOLE = Polygon([(10, 10), (30, 12), (28, 30), (18, 26), (9, 28)])
INNER = Polygon([(14, 14), (24, 15), (22, 22), (15, 21)])
JOBS = {
    "merged black": (BLACK, Settings(merge_black=True)),
    "white": (WHITE, Settings()),
    "highlight": (WHITE, Settings(highlight_white=True)),
    "lighter, with traps": (YELLOW, Settings()),
}


def separated(settings, *shapes):
    art = Artwork(40, 40, tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in shapes))
    design = separate_inks(art, settings)
    assert not any(ink.area.is_empty for ink in design.inks), "an ink of nothing would be counted and named"
    plates = {plate.ink: plate.area for plate in make_plates(design, settings)}
    return plates, [notice.code for notice in design.notices]


@pytest.mark.parametrize("rim_mm", [0.001, 0.005, 0.012])
@pytest.mark.parametrize(("backing", "settings"), JOBS.values(), ids=JOBS)
def test_a_backing_makes_no_screen_no_trap_and_no_choke(backing, settings, rim_mm):
    hole, peeping = INNER.buffer(rim_mm, join_style="mitre"), WHOLE.buffer(rim_mm, join_style="mitre")
    backed, told = separated(settings, (peeping, backing), (WHOLE.difference(hole), GREEN), (INNER, BLUE))
    plain, _ = separated(settings, (peeping.difference(INNER), GREEN), (INNER, BLUE))
    assert list(backed) == list(plain)
    for ink, area in backed.items():
        assert area.symmetric_difference(plain[ink]).area < 0.05 + INNER.length * rim_mm, ink
    assert told == ["hairline-ink"]


def test_what_is_wider_or_lies_on_cloth_is_art():
    hole = INNER.buffer(0.03, join_style="mitre")
    backed, told = separated(Settings(), (WHOLE, YELLOW), (WHOLE.difference(hole), GREEN), (INNER, BLUE))
    assert "yellow" in backed and told == []
    lined, told = separated(Settings(), (box(2, 2, 38, 2.01), YELLOW), (INNER, BLUE))
    assert "yellow" in lined and told == []


def striped_tiles(apart_mm):
    """Striped tiles of 10 mm within a rim, so that what is bare between them is enclosed."""
    stripes = (
        ([(0, 5), (0, 0), (5, 0)], YELLOW), ([(0, 10), (5, 10), (10, 5), (10, 0)], YELLOW),
        ([(0, 10), (10, 0), (5, 0), (0, 5)], BLACK), ([(5, 10), (10, 5), (10, 10)], BLACK),
    )  # fmt: skip
    for x, y in product(range(3), repeat=2):
        for points, hex_ in stripes:
            yield translate(Polygon(points), 5 + x * (10 + apart_mm), 5 + y * (10 + apart_mm)), hex_
    yield Polygon([(7, 6), (33, 8), (33, 31), (11, 33)]).exterior.buffer(1, join_style="mitre"), BLACK


def test_striped_tiles_that_miss_each_other_by_less_than_dust_print_as_if_they_met():
    """Patterns of patterns lie so. The net between them went to one ink, and the white was choked along it."""
    settings = Settings(merge_black=True)
    apart, _ = separated(settings, *striped_tiles(0.00004))
    whole, _ = separated(settings, *striped_tiles(0))
    assert list(apart) == list(whole)
    for ink, area in apart.items():
        assert area.symmetric_difference(whole[ink]).area < 0.5, ink
