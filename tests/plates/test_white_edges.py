"""The white plate's edge: choked along every edge of a colour to the outside, and without knobs. Against plain boxes
and shapely's own buffers."""

import pytest
import shapely
from shapely import LineString, affinity, box

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


@pytest.mark.parametrize("angle", [20, 25, 30])
def test_white_where_lines_meet_stays_or_goes_however_the_art_is_turned(angle):
    """Its length was told by a box along the page: of pieces between 1.5 and 2.1 mm some went as they were turned."""
    line = LineString([(20, 30), (40, 30)]).buffer(0.34, cap_style="flat")
    both = line | affinity.rotate(line, angle, origin=(30, 30))
    areas = [white_of((affinity.rotate(both, turn, origin=(30, 30)), GREY)).area for turn in range(0, 91, 15)]
    assert max(areas) - min(areas) < 0.01
    assert min(areas) > 0.5
