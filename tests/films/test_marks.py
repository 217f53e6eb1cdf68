"""Marks: outside the ink zone, the same on every film, measurable with a rule."""

import numpy as np
import pytest
import shapely

from vectorsep.films.labels import film_marks
from vectorsep.films.lettering import GLYPHS, strokes, text_width
from vectorsep.films.marks import MARK_LINE_MM, SHARED_MARKS, Label, draw_marks, register_centres
from vectorsep.films.places import CAPITAL_MM, Box, plate_cell, rows_of
from vectorsep.geometry.curves import flatten
from vectorsep.model import Plate, Sheet
from vectorsep.settings import Settings

SIZES = [(90, 60, 4, 20, 20), (12, 9, 4, 20, 20), (400, 500, 5, 21, 60), (30, 300, 9, 80, 25)]
LONG = "a very long job name of many words that no small film can hold.svg"
LABEL = Label(LONG, 2, 11, "Lantern Orange №7", 160, "up")


def drawn(marks):
    """What the marks cover on the film, pen width and all."""
    lines = [(line, mark.line_mm) for mark in marks for line in flatten(mark.outline, 0.001)]
    return shapely.union_all(
        [shapely.LineString([*line.points, *line.points[: line.closed]]).buffer(pen / 2) for line, pen in lines]
    )


@pytest.mark.parametrize("size", SIZES)
def test_marks_stay_between_the_ink_zone_and_the_films_edge(size):
    sheet = Sheet(*size)
    cover = drawn(draw_marks(sheet, LABEL))
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
    register = drawn(draw_marks(sheet, LABEL)[:1])
    for centre in (top, right, bottom, left):
        assert register.contains(shapely.Point(centre))
        ring = shapely.Point(centre).buffer(3).boundary
        assert register.buffer(0.01).contains(ring)


def test_the_rule_measures_100_mm():
    """As a steel rule would: from the first tick to the last."""
    rule = draw_marks(Sheet(*SIZES[0]), LABEL)[1].outline
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
ALL_LETTERS = Label("".join(GLYPHS), 2, 11, "".join(reversed(GLYPHS)), 160, "".join(GLYPHS))


@pytest.mark.parametrize("size", SIZES)
def test_no_line_is_finer_than_a_screen_holds(size):
    """Two threads and one opening, by hand: 25.4 / 86 + 0.1 mm thread for the coarsest, 25.4 / 110 + 0.08 mm."""
    register, rule, *lettering = (mark.line_mm for mark in draw_marks(Sheet(*size), ALL_LETTERS))
    assert min(register, rule) >= 25.4 / 86 + 0.1
    assert all(line_mm >= 0.3 for line_mm in lettering)


@pytest.mark.parametrize("size", [*SIZES, (2000, 9, 4, 20, 20)])
def test_no_spot_of_a_mark_is_as_thick_as_ink(size):
    """The largest film carries every letter there is; the smallest, letters of the least height."""
    cover = drawn(draw_marks(Sheet(*size), ALL_LETTERS))
    assert not cover.buffer(-MARK_LINE_MM / 2.1).is_empty
    assert cover.buffer(-THICKEST_MM / 2).is_empty


@pytest.mark.parametrize("size", [*SIZES, (64, 60, 4, 20, 20)])
def test_the_rule_keeps_clear_of_the_registration_marks(size):
    """On the last, the long tick of 50 mm stands right at the bottom mark's centre line."""
    register, rule = draw_marks(Sheet(*size), LABEL)[:2]
    assert drawn([register]).distance(drawn([rule])) > 0


@pytest.mark.parametrize("size", SIZES)
def test_no_lettering_runs_over_a_registration_mark(size):
    register, _, *lettering = draw_marks(Sheet(*size), LABEL)
    assert drawn([register]).distance(drawn(lettering)) > 0


COUNTS = (1, 2, 3, 6, 8, 15, 30)
CRAMPED = Sheet(53.0, 30.0, 4.0, 20.0, 20.0)
NAMES = ("blocker black", "white", "mist", "lantern gold", "hull red", "teal")


def of_plate(sheet, order, count, ink="Lantern Orange №7"):
    return drawn(draw_marks(sheet, Label(LONG, order, count, ink, 160, "right reading, emulsion up"))[SHARED_MARKS:])


@pytest.mark.parametrize(
    ("size", "count"),
    [(size, count) for size in SIZES for count in COUNTS if count <= size[0]],  # no more inks than mm of art
)
def test_every_plates_lettering_has_a_place_of_its_own(size, count):
    """As on the page that holds them all: none touches another's, or what all films share."""
    sheet = Sheet(*size)
    shared = drawn(draw_marks(sheet, Label(LONG, 1, count, "red", 160, "right reading, emulsion up"))[:SHARED_MARKS])
    own = [of_plate(sheet, order, count) for order in range(1, count + 1)]
    for i, one in enumerate(own):
        assert all(one.distance(other) > 0.3 for other in (*own[:i], shared)), i
    film = shapely.box(*shapely.box(-size[3], -size[4], size[0] + size[3], size[1] + size[4]).buffer(-1.5).bounds)
    zone = shapely.box(-size[2], -size[2], size[0] + size[2], size[1] + size[2])
    assert all(film.contains(one) and not one.intersects(zone) for one in own)


def test_a_place_of_ones_own_can_be_missed():
    assert of_plate(CRAMPED, 2, 6).distance(of_plate(CRAMPED, 2, 6)) == 0


@pytest.mark.parametrize("sheet", [Sheet(280.0, 320.0, 4.0, 20.0, 20.0), Sheet(90.0, 120.0, 4.0, 20.0, 20.0)])
def test_a_plates_lettering_is_whole_on_films_of_usual_size(sheet):
    for order, ink in enumerate(NAMES, start=1):
        cell = plate_cell(sheet, order, len(NAMES))
        assert " ".join(rows_of((f"{order}/6", ink, "160/inch"), cell)) == f"{order}/6 {ink} 160/inch"


PLAIN_NAMES = (
    "blocker black",
    "white",
    "moderate yellowish green",
    "light bluish green",
    "deep reddish brown",
    "teal",
    "x",
)


def test_names_of_several_words_are_whole_where_the_film_has_room():
    """As drawn, by the lettering's own strokes."""
    sheet, area = Sheet(240.0, 200.0, 4.0, 20.0, 20.0), shapely.box(0, 0, 1, 1)
    plates = [Plate("colour", ink, "#206080", area) for ink in PLAIN_NAMES]
    for order, ink in enumerate(PLAIN_NAMES, start=1):
        (own,) = film_marks(plates, order, sheet, Settings(), "job.svg")[SHARED_MARKS:]
        text = f"{order}/7 {ink} 160/inch"
        assert len(flatten(own.outline, 0.01)) == len(strokes(text, 0.0, 0.0, CAPITAL_MM))


@pytest.mark.parametrize(
    ("count", "size"), [(6, (53.0, 30.0)), (7, (40.0, 40.0)), (12, (60.0, 40.0)), (2, (12.0, 9.0))]
)
def test_on_a_small_film_the_ink_is_shortened_and_never_order_or_mesh(count, size):
    """80 mm of film and more; the last is 52 mm wide."""
    for order in range(1, count + 1):
        parts = (f"{order}/{count}", "a moderate yellowish green", "160/inch")
        cell = plate_cell(Sheet(*size, 4.0, 20.0, 20.0), order, count, len(" ".join(parts)))
        rows = rows_of(parts, cell)
        assert len(rows) <= cell.rows
        assert all(text_width(row, CAPITAL_MM) <= cell.width_mm for row in rows)
        words = " ".join(rows).split()
        assert (words[0], words[-1].removesuffix("/inch")) == (parts[0], "160")


def test_an_ink_gives_way_in_its_middle_and_then_whole():
    box = Box(0.0, 0.0, text_width("x" * 10, CAPITAL_MM) + 0.01, 2)
    assert rows_of(("1/2", "teal", "160/inch"), box) == ("1/2 teal", "160/inch")
    assert rows_of(("1/2", "a long ink", "160/inch"), box) == ("1/2 a l…nk", "160/inch")
    narrow = Box(0.0, 0.0, text_width("x" * 12, CAPITAL_MM) + 0.01, 1)
    assert rows_of(("1/2", "a long ink", "160/inch"), narrow) == ("1/2 160/inch",)
    narrower = Box(0.0, 0.0, text_width("x" * 9, CAPITAL_MM) + 0.01, 1)
    assert rows_of(("12/12", "a long ink", "160/inch"), narrower) == ("12/12 160",)


def test_few_plates_have_several_rows_on_a_narrow_film():
    narrow = Sheet(12, 9, 4, 20, 20)
    assert plate_cell(narrow, 1, 2).rows > 1
    assert len({plate_cell(narrow, order, 30).left_mm for order in range(1, 31)}) > 1
