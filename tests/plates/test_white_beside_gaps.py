"""White of fine lines beside gaps that stay open. Against boxes of known measure: a line holds white if it is as wide
as the thinnest white and twice the least choke."""

import itertools

import pytest
import shapely
from shapely import LineString, affinity, box

from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_plates
from vectorsep.settings import Settings

RED, WHITE = "#c81e28", "#ffffff"
BARS = 6
TURNS = (0, 33)


def laid(x, turn):
    return affinity.rotate(x, turn, origin=(20, 20))


def comb(width, gap, turn):
    """Bars of 10 mm that hang on a body: it is so large that they lose little of it."""
    bars = [box(8 + i * (width + gap), 14, 8 + i * (width + gap) + width, 25) for i in range(BARS)]
    return laid(shapely.union_all([box(4, 4, 30, 15), *bars]), turn)


def amid_bars(width, gap, turn):
    """Their middle lines, away from the body and their ends."""
    middles = [8 + i * (width + gap) + width / 2 for i in range(BARS)]
    return laid(shapely.union_all([LineString([(x, 18), (x, 22)]) for x in middles]), turn)


def amid_gaps(width, gap, turn):
    middles = [8 + i * (width + gap) - gap / 2 for i in range(1, BARS)]
    return laid(shapely.union_all([LineString([(x, 18), (x, 22)]) for x in middles]), turn)


def plates_of(area, colour=RED, **values):
    settings = Settings(**values)
    painted = (PaintedShape(area, colour, Place("path")),)
    plates = make_plates(separate_inks(Artwork(40.0, 40.0, painted), settings), settings)
    return {plate.role: plate.area for plate in plates}


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("width", [0.82, 0.9, 1.0, 1.2])
@pytest.mark.parametrize("gap", [0.6, 0.8, 1.0])
def test_a_line_that_holds_white_keeps_it_whatever_gap_stays_open(width, gap, turn):
    """There was none at all where the least gap was a little under what filled: there, gone, there as it grew."""
    least_gaps = [("min_gap_mm", 0.3 + 0.05 * i) for i in range(9)]
    clearances = [("clearance_mm", value) for value in (0, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35)]  # the spread is 0.4
    for setting, value in least_gaps + clearances:
        white = plates_of(comb(width, gap, turn), **{setting: value})["white"]
        assert amid_bars(width, gap, turn).difference(white).length < 0.01, (setting, value)


@pytest.mark.parametrize("turn", TURNS)
def test_gaps_stay_open_where_no_white_is_at_stake(turn):
    """Beside what is too thin for white in any case, or wide enough for it still, and on grey without any."""
    for width, values in (0.78, {}), (1.6, {}), (0.9, {"white_under_colours": False, "blocker": "grey"}):
        plates = plates_of(comb(width, 0.85, turn), **values)
        assert amid_gaps(width, 0.85, turn).intersection(plates["blocker"]).length == 0, width
        assert comb(width, 0.85, turn).difference(plates["colour"]).area > 1, "nothing recedes: there is no case"


@pytest.mark.parametrize("turn", TURNS)
def test_white_art_prints_its_lines_itself_and_keeps_no_gap_closed(turn):
    for width, gap in itertools.product((0.82, 0.9, 1.0), (0.8, 1.0)):
        plates = plates_of(comb(width, gap, turn), WHITE)
        assert amid_bars(width, gap, turn).difference(plates["white"]).is_empty
        assert amid_gaps(width, gap, turn).intersection(plates["blocker"]).length == 0
