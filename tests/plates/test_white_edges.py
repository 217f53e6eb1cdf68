"""The white plate's edge: choked along every edge of a colour to the outside, and without knobs. Against plain boxes
and shapely's own buffers."""

import numpy as np
import pytest
import shapely
from shapely import LineString, Point, affinity, box

from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_stack
from vectorsep.settings import Settings

WHITE, GREY = "#ffffff", "#9a9da2"


def white_of(*shapes, **values):
    settings = Settings(**values)
    painted = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in shapes)
    plates = make_stack(separate_inks(Artwork(60.0, 60.0, painted), settings), settings).plates
    return shapely.union_all([plate.area for plate in plates if plate.role == "white"])


@pytest.mark.parametrize("turn", range(3, 90, 6))
def test_a_colour_flush_with_the_white_that_it_lies_on_is_choked_along_its_edge(turn):
    """By rounding the white keeps a spike of no width along that edge: of 30 angles 14 lost some of the choke, 3 all of
    it."""
    drawn = ((box(20, 20, 40, 30), WHITE), (box(25, 24, 35, 30), GREY))
    white = white_of(*((affinity.rotate(area, turn, origin=(30, 25)), ink) for area, ink in drawn), choke_mm=0.5)
    straight = affinity.rotate(white, -turn, origin=(30, 25))
    expected = box(20, 20, 40, 30).difference(box(25, 29.5, 35, 30))
    assert straight.symmetric_difference(expected).area < 0.02


BLUNT = {"choke_mm": 0.5, "registration_mm": 0.4, "spread_mm": 0.6}
"""A white line needs 1.1 mm of art, and a plain choke leaves one of 1.3."""


@pytest.mark.parametrize("width", [1.05, 1.08])
@pytest.mark.parametrize("turn", [35, 50])
@pytest.mark.parametrize("body", [box(24, 25, 30, 35), Point(26, 30).buffer(4, quad_segs=32)])
def test_no_tongue_of_white_stands_in_the_mouth_of_an_arm_that_takes_none(width, turn, body):
    """At the mouth the arm is just wide enough for a core, which stood out of the plain choke by 0.45 mm."""
    arm = LineString([(25, 30), (36, 30)]).buffer(width / 2, cap_style="flat")
    art = body | affinity.rotate(arm, turn, origin=(29, 30))
    white = white_of((art, GREY), fill_gaps=True, **BLUNT)
    plain = art.buffer(-0.5, quad_segs=64)
    assert white.difference(plain).area < 0.005
    assert white.symmetric_difference(plain.buffer(-0.15).buffer(0.15)).area < 0.03, "as blunt as its thinnest line"


@pytest.mark.parametrize("length", [0.05, 0.2, 1.0])
@pytest.mark.parametrize("width", [1.12, 1.2, 1.28])
def test_a_core_that_leads_through_a_neck_stays(width, length):
    neck = box(29, 30 - width / 2, 31 + length, 30 + width / 2)
    art = box(25, 26, 30, 34) | neck | box(30 + length, 26, 35 + length, 34)
    for job in (BLUNT, {"choke_mm": width / 2 + 0.02, "min_choke_mm": 0.25}):  # the latter leaves a core alone there
        white = white_of((art, GREY), fill_gaps=True, **job)
        assert white.geom_type == "Polygon"
        assert Point(30 + length / 2, 30).buffer(0.14).within(white)


@pytest.mark.parametrize("width", [1.12, 1.2, 1.28])
def test_the_core_of_a_line_that_ends_on_a_bold_shape_stays(width):
    white = white_of((box(25, 26, 30, 34) | box(29, 30 - width / 2, 36, 30 + width / 2), GREY), **BLUNT)
    assert LineString([(29, 30), (35, 30)]).buffer(0.14).within(white)


@pytest.mark.parametrize("angle", [20, 25, 30])
def test_white_where_lines_meet_stays_or_goes_however_the_art_is_turned(angle):
    """Its length was told by a box along the page: of pieces between 1.5 and 2.1 mm some went as they were turned."""
    line = LineString([(20, 30), (40, 30)]).buffer(0.34, cap_style="flat")
    both = line | affinity.rotate(line, angle, origin=(30, 30))
    areas = [white_of((affinity.rotate(both, turn, origin=(30, 30)), GREY)).area for turn in range(0, 91, 15)]
    assert max(areas) - min(areas) < 0.01
    assert min(areas) > 0.5


@pytest.mark.parametrize("seed", range(40))
def test_lines_twice_as_wide_as_the_choke_take_no_white_from_what_they_hang_on(seed):
    """The engine's inset by just half of a line's width lost all of such art now and then: there was no white."""
    rng = np.random.default_rng(seed)
    choke_mm = Settings().choke_mm
    disc = Point(10, 10).buffer(rng.uniform(2, 4), quad_segs=int(rng.integers(3, 16)))
    lines = [LineString([(10, 10), tuple(rng.uniform(0, 20, 2))]).buffer(choke_mm) for _ in range(4)]
    drawn = shapely.union_all([disc, *lines])
    assert white_of((drawn, GREY)).area > 0.99 * disc.buffer(-choke_mm).area
