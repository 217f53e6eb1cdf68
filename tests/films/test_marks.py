"""Marks: outside the ink zone, the same on every film, measurable with a rule."""

import numpy as np
import pytest
import shapely
from shapely import affinity

from vectorsep.films.labels import film_marks
from vectorsep.films.lettering import GLYPHS
from vectorsep.films.marks import MARK_LINE_MM, SHARED_MARKS, draw_marks, register_centres
from vectorsep.films.places import Labels
from vectorsep.geometry.curves import flatten
from vectorsep.model import Plate, Sheet
from vectorsep.settings import Settings

SIZES = [(90, 60, 4, 20, 20), (12, 9, 4, 24, 28), (400, 500, 5, 21, 60), (30, 300, 9, 80, 25)]
LONG = "a very long job name of many words that no small film can hold.svg"
SAID = ("1/2 blocker black 86/inch", "2/2 orange No7 160/inch")
LABELS = Labels(LONG, ("right reading", "up"), SAID, tuple(f"{text} (63/cm)" for text in SAID))


def drawn(marks):
    """What the marks cover on the film, pen width and all."""
    lines = [(line, mark.line_mm) for mark in marks for line in flatten(mark.outline, 0.001)]
    return shapely.union_all(
        [shapely.LineString([*line.points, *line.points[: line.closed]]).buffer(pen / 2) for line, pen in lines]
    )


@pytest.mark.parametrize("size", SIZES)
def test_marks_stay_between_the_ink_zone_and_the_films_edge(size):
    sheet = Sheet(*size)
    cover = drawn(draw_marks(sheet, LABELS, 2))
    page = shapely.box(0, 0, sheet.design_width_mm, sheet.design_height_mm)
    zone = page.buffer(sheet.ink_margin_mm, join_style="mitre")
    film = shapely.box(-sheet.margin_x_mm, -sheet.margin_y_mm, size[0] + sheet.margin_x_mm, size[1] + sheet.margin_y_mm)
    assert cover.distance(zone) > 0
    assert film.buffer(-1.5).contains(cover)


@pytest.mark.parametrize("size", SIZES)
def test_registration_marks_on_all_four_sides_on_the_centre_lines(size):
    sheet = Sheet(*size)
    top, right, bottom, left = register_centres(sheet)
    assert top[0] == bottom[0] == sheet.design_width_mm / 2
    assert left[1] == right[1] == sheet.design_height_mm / 2
    register = drawn(draw_marks(sheet, LABELS, 2)[:1])
    for centre in (top, right, bottom, left):
        assert register.contains(shapely.Point(centre))
        ring = shapely.Point(centre).buffer(3).boundary
        assert register.buffer(0.01).contains(ring)
        across = shapely.LineString([(centre[0] - 4.9, centre[1]), (centre[0] + 4.9, centre[1])])
        assert register.contains(across) and register.contains(affinity.rotate(across, 90, origin=centre))
    wide, high = size[0] + sheet.margin_x_mm, size[1] + sheet.margin_y_mm
    to_edges = np.subtract(register.bounds, (-sheet.margin_x_mm, -sheet.margin_y_mm, wide, high))
    assert np.abs(to_edges) == pytest.approx(2 - MARK_LINE_MM / 2, abs=0.01), "centre lines run on to the film's edge"


def test_the_rule_measures_100_mm():
    """As a steel rule would: from the first tick to the last."""
    rule = draw_marks(Sheet(*SIZES[0]), LABELS, 2)[1].outline
    assert np.ptp(rule.knots[:, 0]) == pytest.approx(100.0, abs=1e-9)


def test_all_films_share_the_marks_but_not_the_label():
    area = shapely.box(0, 0, 1, 1)
    plates = [Plate("blocker", "blocker", "#000000", area), Plate("colour", "red", "#ff0000", area)]
    first, second = (film_marks(plates, order, Sheet(*SIZES[0]), Settings(), "job.svg") for order in (1, 2))
    for one, other in zip(first[:SHARED_MARKS], second[:SHARED_MARKS], strict=True):
        assert np.array_equal(one.outline.knots, other.outline.knots)
    assert any(
        len(a.outline.knots) != len(b.outline.knots)
        for a, b in zip(first[SHARED_MARKS:], second[SHARED_MARKS:], strict=True)
    )


THICKEST_MM = 0.8
"""From here on the check takes what lies in the margin for ink astray."""
BACKWARDS = "".join(reversed(GLYPHS))
ALL_LETTERS = Labels("".join(GLYPHS), ("".join(GLYPHS),), (BACKWARDS,), (BACKWARDS,))


@pytest.mark.parametrize("size", SIZES)
def test_no_line_is_finer_than_a_screen_holds(size):
    """Two threads and one opening, by hand: 25.4 / 86 + 0.1 mm thread for the coarsest, 25.4 / 110 + 0.08 mm."""
    register, rule, *lettering = (mark.line_mm for mark in draw_marks(Sheet(*size), ALL_LETTERS, 1))
    assert min(register, rule) >= 25.4 / 86 + 0.1
    assert all(line_mm >= 0.3 for line_mm in lettering)


@pytest.mark.parametrize("size", [*SIZES, (2000, 9, 4, 20, 20)])
def test_no_spot_of_a_mark_is_as_thick_as_ink(size):
    """The largest film carries every letter there is; the smallest, letters of the least height."""
    cover = drawn(draw_marks(Sheet(*size), ALL_LETTERS, 1))
    assert not cover.buffer(-MARK_LINE_MM / 2.1).is_empty
    assert cover.buffer(-THICKEST_MM / 2).is_empty


@pytest.mark.parametrize("size", [*SIZES, (64, 60, 4, 20, 20)])
def test_the_rule_keeps_clear_of_the_registration_marks(size):
    """On the last, the long tick of 50 mm stands right at the bottom mark's centre line."""
    register, rule = draw_marks(Sheet(*size), LABELS, 2)[:2]
    assert drawn([register]).distance(drawn([rule])) > 0


@pytest.mark.parametrize("size", SIZES)
def test_no_lettering_runs_over_a_registration_mark(size):
    register, _, *lettering = draw_marks(Sheet(*size), LABELS, 2)
    assert drawn([register]).distance(drawn(lettering)) > 0
