"""White where lines cross, meet or bend that are too thin for any: no bright dot on dull lines. Against plain buffers
of the engine and widths known beforehand."""

import math

import pytest
import shapely
from shapely import LineString, Point, box
from shapely.affinity import rotate

from vectorsep.geometry.crossings import BEND_TIMES
from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place, Plate
from vectorsep.plates import make_stack
from vectorsep.press.white_cover import bare_colours
from vectorsep.settings import Settings

GOLD, WHITE = "#e8b020", "#ffffff"
JOB = Settings()
TAKES_MM = JOB.min_line_mm + 2 * JOB.min_choke_mm
"""What a line must measure for a white line on it."""
MIDDLE = (20.0, 20.0)


def line(*points, width):
    return LineString(points).buffer(width / 2, cap_style="flat", join_style="mitre")


def star(width, angle=90.0, arms=4):
    """Lines from the middle, 6 mm long, so many degrees apart."""
    ways = [line(MIDDLE, (26, 20), width=width).union(Point(MIDDLE).buffer(width / 2)) for _ in range(arms)]
    return shapely.union_all([rotate(way, nth * angle, MIDDLE) for nth, way in enumerate(ways)])


def cross(width, angle):
    return shapely.union_all([rotate(line((10, 20), (30, 20), width=width), turn, MIDDLE) for turn in (0, angle)])


def plates_of(*shapes):
    painted = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in shapes)
    return make_stack(separate_inks(Artwork(40.0, 40.0, painted), JOB), JOB).plates


def white_of(*shapes):
    return shapely.union_all([plate.area for plate in plates_of(*shapes) if plate.role == "white"])


@pytest.mark.parametrize(
    ("width", "angle"), [(0.6, 90), (0.6, 45), (0.7, 90), (0.7, 60), (0.7, 45), (0.78, 90), (0.78, 75)]
)
def test_no_dot_where_thin_lines_cross(width, angle):
    art = cross(width, angle)
    assert white_of((art, GOLD)).is_empty
    if width > 0.7:  # a disc of the least white does fit there
        assert not art.buffer(-JOB.choke_mm - JOB.min_line_mm / 2).is_empty


@pytest.mark.parametrize("angle", [90, 60, 40])
def test_none_where_they_bend_and_none_where_three_meet(angle):
    assert white_of((line((10, 20), MIDDLE, rotate(Point(10, 20), angle, MIDDLE), width=0.78), GOLD)).is_empty
    assert white_of((star(0.75, 120, 3), GOLD)).is_empty
    assert white_of((star(0.75, 90, 3), GOLD)).is_empty


@pytest.mark.parametrize("width", [TAKES_MM + 0.05, 1.2])
def test_lines_that_take_white_keep_it_at_their_crossing(width):
    white = white_of((cross(width, 90), GOLD))
    assert Point(MIDDLE).buffer(0.2).within(white)
    assert white.length > 4 * 15


def test_a_thin_line_across_one_that_takes_white_leaves_that_alone():
    bold = line((10, 20), (30, 20), width=1.0)
    alone, crossed = (white_of((area, GOLD)) for area in (bold, bold | line((20, 14), (20, 26), width=0.6)))
    assert alone.difference(crossed).area < 0.01


@pytest.mark.parametrize("radius", [0.7, 0.9, 1.5])
def test_beads_and_hubs_are_details_of_their_own(radius):
    bead = Point(MIDDLE).buffer(radius)
    for art in (line((10, 20), (30, 20), width=0.4) | bead, star(0.4, 60, 6) | bead):
        assert bead.buffer(-JOB.choke_mm - 0.02).difference(white_of((art, GOLD))).area < 0.01


def test_dots_and_heads_of_lines_keep_theirs():
    dot, head = Point(8, 8).buffer(0.5), Point(28, 8).buffer(0.5)
    white = white_of((dot, GOLD), (head | line((28, 8), (28, 20), width=0.5), GOLD))
    for bright in (dot, head):
        assert bright.buffer(-JOB.choke_mm - 0.02).difference(white).area < 0.01


def test_white_art_is_not_dropped():
    art = cross(0.7, 90)
    assert art.buffer(-0.01).difference(white_of((art, WHITE), (box(2, 2, 6, 6), GOLD))).area < 0.01


def test_a_net_of_thin_lines_is_no_stack_that_lacks_white_but_dots_without_it_are():
    plates = plates_of((cross(0.78, 90), GOLD))
    assert bare_colours(plates, JOB) == ()
    dots = plates_of(*((Point(10 + 4 * nth, 20).buffer(0.55), GOLD) for nth in range(5)))
    assert bare_colours(dots, JOB) == ()
    stripped = [Plate("white", plate.ink, plate.hex, Point(2, 2).buffer(0.5)) if plate.role == "white" else plate
                for plate in dots]  # fmt: skip
    assert [colour.share for colour in bare_colours(stripped, JOB)] == pytest.approx([1.0])


@pytest.mark.parametrize("angle", [25, 30, 60, 90, 120, 170])
def test_the_widest_place_of_a_bend(angle):
    """The formula that the bound rests on, by the engine's largest disc."""
    bend = line((20, 0), (0, 0), rotate(Point(20, 0), angle, (0, 0)), width=1.0)
    radius = 1 / (1 + math.sin(math.radians(angle / 2)))
    assert shapely.maximum_inscribed_circle(bend, 0.0001).length == pytest.approx(radius, abs=0.001)
    assert radius < BEND_TIMES / 2


def test_a_spot_that_white_art_lies_on_stays():
    art = cross(0.75, 90)
    speck = Point(20.2, 20).buffer(0.1)
    white = white_of((art, GOLD), (speck, WHITE))
    assert speck.buffer(-0.01).within(white)
    assert Point(19.9, 20).within(white)  # the speck does not reach there
    assert white_of((art, GOLD)).is_empty
