"""The report's figures, measured: what a drawing states must be what the plates are."""

import dataclasses
import math

import pytest
from shapely import box

from vectorsep.films.closeup import MOST_PICTURES, closeup, register_closeups, remark_closeups
from vectorsep.films.cross_section import EDGE_X, draw_section
from vectorsep.films.exploded import FIGURE_HEIGHT_MM, FIGURE_WIDTH_MM, draw_exploded
from vectorsep.films.hatches import hatch_of
from vectorsep.geometry.section import cut_intervals
from vectorsep.model import Check, Clearance, Film, Finding, Plate, RegisterCase, Sheet

BLOCKER = Plate("blocker", "blocker black", "#000000", box(0, 0, 60, 40))
WHITE = Plate("white", "white", "#ffffff", box(0.7, 0.9, 59.3, 39.1))
RED = Plate("colour", "red", "#ff0000", box(0.4, 10, 30, 30).difference(box(10, 15, 20, 25)))


def checked(*clearances):
    return Check((Clearance(BLOCKER, None, None), *clearances), ())


def test_the_section_draws_the_distances_to_scale():
    """Rectangles: red ends 0.4 mm and white 0.7 mm inside the blocker's left edge."""
    section = draw_section(checked(Clearance(WHITE, 0.7, (0.7, 20.0)), Clearance(RED, 0.4, (0.4, 20.0))))
    assert section.at_mm == (0.4, 20.0)
    blocker, white, red = section.bands
    assert (blocker.distance, white.distance, red.distance) == (None, "0.700", "0.400")
    assert (EDGE_X - red.end_x) / section.scale == pytest.approx(0.4, abs=1e-3)
    assert blocker.end_x == pytest.approx(EDGE_X)
    assert blocker.top > white.top > red.top


def test_the_tightest_distance_is_the_checks_own_and_no_other():
    """The check takes off what reading a film back may hide: its figure is smaller than the drawing's."""
    section = draw_section(checked(Clearance(WHITE, 0.69, (0.7, 20.0)), Clearance(RED, 0.3969, (0.4, 20.0))))
    assert [band.distance for band in section.bands] == [None, "0.700", "0.396"]


def test_layers_that_the_cut_does_not_meet_are_left_out():
    section = draw_section(checked(Clearance(WHITE, 0.7, (30.0, 0.9)), Clearance(RED, 2.0, (9.0, 30.0))))
    assert [band.plate for band in section.bands] == [BLOCKER, WHITE]


def test_ink_past_the_blocker_is_drawn_past_its_edge():
    stray = Plate("colour", "stray", "#00ff00", box(-0.5, 10, 5, 30))
    section = draw_section(checked(Clearance(stray, 0.0, (-0.3, 20.0), 10.0)))
    band = section.bands[1]
    assert band.end_x == pytest.approx(EDGE_X + 0.5 * section.scale, abs=0.01)
    assert band.distance == "0.000"


def test_what_lies_past_a_gap_is_drawn_but_not_measured():
    """Two bars half a millimetre apart: the cut through the left one's right edge meets the right one too."""
    blocker = dataclasses.replace(BLOCKER, area=box(0, 0, 20, 40).union(box(20.5, 0, 60, 40)))
    white = dataclasses.replace(WHITE, area=box(0.3, 0.3, 19.6, 39.7).union(box(20.55, 0.3, 59.7, 39.7)))
    section = draw_section(Check((Clearance(blocker, None, None), Clearance(white, 0.4, (19.6, 20.0))), ()))
    assert section.at_mm == (19.6, 20.0)
    assert section.bands[1].distance == "0.400"
    assert len(section.bands[1].bars) == 2


def test_without_a_measurement_there_is_no_section():
    assert draw_section(Check((), ())) is None


def test_a_cut_finds_every_stretch():
    first, second = cut_intervals(RED.area, (-1, 20), (40, 20))
    assert (*first, *second) == pytest.approx((1.4, 11.0, 21.0, 31.0))
    assert cut_intervals(RED.area, (-1, 50), (40, 50)) == ()


@pytest.mark.parametrize("size", [(60, 40), (20, 300), (400, 50)])
@pytest.mark.parametrize("count", [1, 3, 9])
def test_the_exploded_view_fits_its_place_and_keeps_the_print_order(size, count):
    sheet = Sheet(*size, 4, 20, 20)
    films = tuple(Film(f"{i}.svg", RED, b"") for i in range(count))
    figure = draw_exploded(films, sheet)
    _, _, wide, high = map(float, figure.view.split())
    assert figure.width_mm <= FIGURE_WIDTH_MM + 1e-9
    assert figure.width_mm * high / wide <= FIGURE_HEIGHT_MM * 1.05
    heights = [layer.leader_y for layer in figure.layers]
    assert heights == sorted(heights, reverse=True)
    assert [layer.order for layer in figure.layers] == list(range(1, count + 1))


def test_hatching_tells_twenty_plates_apart():
    plates = [BLOCKER, WHITE] + [RED] * 18
    looks = {
        (h.angle, round(h.spacing, 4), h.crossed, h.blank) for h in (hatch_of(i + 1, p) for i, p in enumerate(plates))
    }
    assert len(looks) == len(plates)


def test_a_closeup_is_centred_on_its_spot_with_a_bar_that_fits():
    picture = closeup((12.0, 7.0), "here")
    left, top, wide, high = map(float, picture.view.split())
    assert (left + wide / 2, top + high / 2) == (12.0, 7.0)
    assert 0 < picture.bar_mm < wide / 2


def test_the_gravest_findings_get_the_pictures():
    warnings = [Finding("w", "warning", None, f"w{i}", (i, i)) for i in range(20)]
    findings = (
        *warnings,
        Finding("u", "unsafe", None, "grave", (math.pi, 1.0)),
        Finding("n", "note", None, "n", (0, 0)),
    )
    pictures = remark_closeups(findings)
    assert len(pictures) == MOST_PICTURES
    assert pictures[0].caption == "grave"
    assert "n" not in {picture.caption for picture in pictures}


def out_of_register(*findings):
    strips = box(10, 0, 10.03, 20).union(box(40, 5, 40.3, 6))
    case = RegisterCase(RED, "gap-opens", (0.3, 0.0), 0.0, (30.0, 20.0), strips, (10.01, 10.0))
    return Check((Clearance(BLOCKER, None, None), Clearance(RED, 0.4, (0.4, 20.0))), findings, (case,))


def test_slivers_that_nobody_sees_get_no_picture():
    """They come to 0.9 mm² all the same."""
    assert register_closeups(out_of_register()) == ()


def test_what_register_spoils_is_pictured_once_where_it_is_seen_and_told_by_the_findings_own_figure():
    gap = Finding("gap-opens", "warning", "red", "out of register by 0.3 mm, 0.3 mm² show", (40.15, 5.5))
    (picture,) = register_closeups(out_of_register(gap))
    assert (picture.caption, picture.at_mm, picture.moved_order) == (gap.message, gap.at_mm, 2)
    assert remark_closeups((gap,)) == ()


@pytest.mark.parametrize(("count", "label"), [(6, ("light bluish", "green")), (30, ("light bl…sh green",))])
def test_a_long_name_takes_a_second_line_where_layers_lie_far_enough_apart(count, label):
    plate = Plate("colour", "light bluish green", "#7cc8b8", box(0, 0, 1, 1))
    figure = draw_exploded((Film("a.svg", plate, b""),) * count, Sheet(240.0, 200.0, 4.0, 20.0, 20.0))
    assert {layer.label for layer in figure.layers} == {label}
