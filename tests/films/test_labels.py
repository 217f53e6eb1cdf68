"""Labels: whole on every film, each in a place of its own, on the films that are laid out for them."""

import re
from dataclasses import replace
from itertools import combinations

import pytest
import shapely

from vectorsep.check.marks import MARK_REACH_MM
from vectorsep.cli import main
from vectorsep.errors import SettingsError
from vectorsep.films.labels import film_marks, label_notices, labels_of
from vectorsep.films.lettering import strokes, text_width
from vectorsep.films.marks import SHARED_MARKS, register_centres
from vectorsep.films.places import CAPITAL_MM, lay_out_labels
from vectorsep.films.sheet import _grown, lay_out_sheet
from vectorsep.geometry.curves import flatten
from vectorsep.model import Design, Plate, Sheet
from vectorsep.press_settings import FilmSetting
from vectorsep.settings import Settings

SIZES = ((20, 12), (20, 2), (35, 21), (50, 30), (90, 60), (30, 300), (280, 320))
NAMES = (
    "blocker black",
    "white",
    "dark greyish bluish green",
    "light yellowish brown",
    "red",
    "moderate purplish pink",
    "x",
    "Pantograph 1234.5 C special mix",
    "deep reddish orange",
    "greyish yellowish green",
    "teal",
    "dark greyish reddish purple",
)
JOB = "a very long job name of many words 20240117.svg"
CODE = "7T69"
AREA = shapely.box(0, 0, 1, 1)


def plates(names):
    return [Plate("colour", name, "#206080", AREA) for name in names]


def laid_out(size, names, settings=None):
    return lay_out_sheet(Design(*map(float, size), ()), plates(names), settings or Settings())


def drawn(marks):
    lines = [(line, mark.line_mm) for mark in marks for line in flatten(mark.outline, 0.001)]
    return shapely.union_all(
        [shapely.LineString([*line.points, *line.points[: line.closed]]).buffer(pen / 2) for line, pen in lines]
    )


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("count", [1, 2, 5, 8, 12])
@pytest.mark.parametrize("size", SIZES)
def test_every_film_says_its_number_ink_and_mesh_in_full(size, count, mirrored):
    """By the strokes that are drawn: as many as those of the whole text, wherever its rows break. The mesh is told by
    the centimetre too on all films of a set or on none."""
    names, settings = NAMES[:count], Settings(film=FilmSetting(mirror=mirrored))
    sheet = laid_out(size, names, settings)
    units = set()
    for order, name in enumerate(names, start=1):
        (own,) = film_marks(plates(names), order, sheet, settings, JOB)[SHARED_MARKS:]
        text = f"{order}/{count} {name} 160/inch"
        texts = {len(strokes(f"{text}{more}", 0.0, 0.0, CAPITAL_MM)): more for more in ("", " (63/cm)")}
        assert len(flatten(own.outline, 0.01)) in texts, text
        units.add(texts[len(flatten(own.outline, 0.01))])
    assert len(units) == 1
    assert count > 5 or min(size) < 50 or units == {" (63/cm)"}, "there is room"


@pytest.mark.parametrize("count", [1, 5, 12])
@pytest.mark.parametrize("size", SIZES)
def test_no_label_lies_on_another_on_a_mark_in_the_ink_or_past_the_film(size, count):
    """As on the page that holds them all."""
    names = NAMES[:count]
    sheet = laid_out(size, names)
    marks = [film_marks(plates(names), order, sheet, Settings(), JOB) for order in range(1, count + 1)]
    alone = [*(drawn([mark]) for mark in marks[0][:SHARED_MARKS]), *(drawn(film[SHARED_MARKS:]) for film in marks)]
    register, rule, of_set, *own = alone
    assert all(one.distance(other) > 0.3 for one, other in combinations((register, of_set, *own), 2))
    assert all(rule.distance(other) > 0.3 for other in own)
    film = shapely.box(0, 0, sheet.width_mm, sheet.height_mm).buffer(-1.5)
    film = shapely.affinity.translate(film, -sheet.margin_x_mm, -sheet.margin_y_mm)
    zone = shapely.box(0, 0, *size).buffer(sheet.ink_margin_mm, join_style="mitre")
    assert all(film.contains(one) and not one.intersects(zone) for one in alone)


@pytest.mark.parametrize(("size", "count"), [*((size, 12) for size in SIZES), ((60, 1), 8)])
def test_no_label_lies_where_the_check_compares_the_marks_of_films(size, count):
    """Labels differ from film to film: there, they would count as marks that do not register."""
    names = NAMES[:count]
    sheet = laid_out(size, names)
    marks = [shapely.Point(centre).buffer(MARK_REACH_MM, cap_style="square") for centre in register_centres(sheet)]
    for order in range(1, count + 1):
        own = drawn(film_marks(plates(names), order, sheet, Settings(), JOB)[SHARED_MARKS:])
        assert not own.intersects(shapely.union_all(marks)), order


@pytest.mark.parametrize("size", [(8, 6), *SIZES])
def test_rows_break_between_words(size):
    said = told(NAMES, JOB)
    placed = lay_out_labels(laid_out(size, NAMES), said).plates
    assert tuple(" ".join(place.rows) for place in placed) in (said.plates, said.in_both_units)


@pytest.mark.parametrize("count", [1, 2, 5, 8, 12])
@pytest.mark.parametrize("size", SIZES)
def test_the_mesh_in_both_units_takes_no_larger_film_and_nothing_from_the_jobs_name(size, count):
    """Against the same films if they told it by the inch alone."""
    names, said = NAMES[:count], told(NAMES[:count], JOB)
    sheet = laid_out(size, names)
    by_inch = replace(said, in_both_units=said.plates)
    bare = replace(sheet, margin_x_mm=20.0, margin_y_mm=20.0)
    assert _grown(bare, said, across=True, down=True) == _grown(bare, by_inch, across=True, down=True)
    assert lay_out_labels(sheet, said).of_set == lay_out_labels(sheet, by_inch).of_set


def test_labels_that_share_a_place_would_be_seen():
    one = drawn(film_marks(plates(NAMES), 2, laid_out((20, 12), NAMES), Settings(), JOB)[SHARED_MARKS:])
    assert one.distance(one) == 0


@pytest.mark.parametrize("size", SIZES)
def test_marks_of_all_films_are_the_same_whatever_their_labels(size):
    sheet = laid_out(size, NAMES)
    first, *others = (film_marks(plates(NAMES), order, sheet, Settings(), JOB)[:SHARED_MARKS] for order in range(1, 13))
    for film in others:
        assert all(drawn([one]).equals(drawn([other])) for one, other in zip(first, film, strict=True))


@pytest.mark.parametrize("size", SIZES)
def test_what_all_films_say_loses_no_figure_of_a_number(size):
    for job_name, names in ((JOB, NAMES), ("small.svg", NAMES[:5])):
        sheet = laid_out(size, names)
        said = " ".join(row for row in lay_out_labels(sheet, told(names, job_name)).of_set.rows)
        assert said.replace(",", "").endswith(f"set {CODE} right reading emulsion up")
        said = said.replace(CODE, "")
        allowed = {"20240117", *(f"{side:.1f}" for side in size)}
        assert set(re.findall(r"[0-9.]*[0-9]", said)) <= allowed


def told(names, job_name, mirrored=False):
    return labels_of(plates(names), Settings(), job_name, Sheet(1.0, 1.0, 4.0, 4.0, 4.0, mirrored, CODE))


@pytest.mark.parametrize(("mirrored", "emulsion"), [(False, "emulsion up"), (True, "emulsion down")])
def test_a_film_names_the_emulsions_side_as_whoever_reads_it_sees_it(mirrored, emulsion):
    """Its lettering is turned with it: what is read always reads right, and only the emulsion's side differs."""
    assert told(NAMES, JOB, mirrored).reading == (f"set {CODE}", "right reading", emulsion)


def test_the_page_size_gives_way_before_the_jobs_name():
    roomy = lay_out_labels(laid_out((90, 60), NAMES[:2]), told(NAMES[:2], "badge.svg")).of_set.rows
    assert roomy == ("badge.svg", "page 90.0 × 60.0 mm", "set 7T69, right reading", "emulsion up")
    narrow = lay_out_labels(laid_out((20, 12), NAMES[:2]), told(NAMES[:2], "badge.svg")).of_set.rows
    assert narrow == ("badge.svg", "set 7T69", "right reading", "emulsion up")


def test_films_grow_no_more_than_they_must():
    """By hand: 4 mm of ink room and a band of 16 mm a side hold four short labels of a row each."""
    sheet = laid_out((90, 60), NAMES[:2])
    assert sheet == Sheet(90.0, 60.0, 4.0, 20.0, 20.0, set_code=sheet.set_code)
    grown = laid_out((20, 12), NAMES)
    assert (grown.width_mm, grown.height_mm) > (60, 52)
    assert not any(
        lay_out_labels(Sheet(20.0, 12.0, 4.0, 20.0 + 4 * x, 20.0 + 4 * y), told(NAMES, JOB))
        for x in range(20)
        for y in range(20)
        if (60 + 8 * x) * (52 + 8 * y) < grown.width_mm * grown.height_mm
    )


def test_a_film_of_a_given_width_grows_in_height_alone():
    sheet = laid_out((50, 30), NAMES, Settings(film=FilmSetting(width_mm=100.0)))
    assert sheet.width_mm == 100.0
    assert lay_out_labels(sheet, told(NAMES, JOB))


@pytest.mark.parametrize("size", [(50, 30), (35, 21)])
def test_a_given_film_without_room_for_the_names_is_refused_with_the_size_that_has_it(size):
    """It is the one that is taken where no size is given, here larger down alone, and across too."""
    film = FilmSetting(width_mm=size[0] + 40.0, height_mm=size[1] + 40.0)
    assert laid_out(size, NAMES[:1], Settings(film=film)).width_mm == film.width_mm
    with pytest.raises(SettingsError, match="say which ink each is") as caught:
        laid_out(size, NAMES, Settings(film=film))
    wide, high = (
        float(side) for side in re.findall(r"([0-9.]+) (?:mm|×)", caught.value.problems[0].replace("mm ×", "×"))
    )
    assert laid_out(size, NAMES, Settings(film=FilmSetting(width_mm=wide, height_mm=high)))
    smallest = laid_out(size, NAMES)
    assert (wide, high) == (smallest.width_mm, smallest.height_mm)


def test_names_that_no_film_holds_are_refused():
    with pytest.raises(SettingsError, match="a few words"):
        laid_out((50, 30), ["blocker black", "long " * 4000])


def test_labels_run_on_past_a_film_that_was_not_laid_out_for_them():
    """As in a report that somebody has edited: nothing is lost, and nothing fails."""
    (own,) = film_marks(plates(NAMES), 12, Sheet(1.0, 1.0, 4.0, 4.0, 4.0), Settings(), JOB)[SHARED_MARKS:]
    text = f"12/12 {NAMES[-1]} 160/inch"
    assert len(flatten(own.outline, 0.01)) == len(strokes(text, 0.0, 0.0, CAPITAL_MM))


def test_columns_leave_labels_apart():
    layout = lay_out_labels(laid_out((280, 320), NAMES), told(NAMES, JOB))
    boxes = [place.box for place in layout.plates]
    assert len({box.left_mm for box in boxes}) > 1
    assert all(text_width(row, CAPITAL_MM) <= place.box.width_mm for place in layout.plates for row in place.rows)


@pytest.mark.parametrize(
    ("name", "told_as"),
    [
        ("красный", "#206080"),
        ("красный 185", "185 #206080"),
        ("rouge foncé", "rouge fonce"),
        ("kırmızı", "kirmizi"),
        ("rødgrød", "rodgrod"),
        ("sailor’s red", "sailor's red"),
        ("flame 🔥 red", "flame red"),
        ("№7", "No7"),
        ("🔥", "#206080"),
    ],
)
def test_names_in_other_letters_are_told_by_plain_ones_or_by_the_colour(name, told_as):
    assert told(["blocker black", name], JOB).plates[1] == f"2/2 {told_as} 160/inch"


def test_letters_that_no_film_shows_are_named_in_a_warning_with_what_stands_for_them():
    warnings = list(label_notices(plates(["blocker black", "красный", "bleu foncé"]), "афиша.svg"))
    ink, job, near = warnings
    assert (ink.severity, ink.plate, job.severity, near.severity) == ("warning", "красный", "warning", "note")
    assert "к р а с н ы й" in ink.message and "2/3 #206080" in ink.message and "[[inks]]" in ink.message
    assert "а ф и ш" in job.message
    assert "'bleu fonce' for 'bleu foncé'" in near.message
    assert len(list(label_notices(plates(["blocker black", "café красный"]), JOB))) == 1  # a letter lost is told once
    assert not list(label_notices(plates(NAMES), JOB))


ART = """<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="60mm" viewBox="0 0 100 60">
<rect x="5" y="5" width="90" height="50" fill="#e33"/><rect x="25" y="15" width="40" height="20" fill="#141c30"/>
<rect x="35" y="20" width="10" height="10" fill="#000"/></svg>"""


@pytest.mark.parametrize("width", ["20mm", "35mm", "100mm"])
def test_small_designs_pass_the_check_and_tell_of_letters_that_are_lost(tmp_path, capsys, width):
    art, job, out = tmp_path / "nb.svg", tmp_path / "nb.toml", tmp_path / "plates"
    art.write_text(ART)
    job.write_text('[[inks]]\nhex = "#ee3333"\nname = "красный"\n')
    assert main(["separate", str(art), "--job", str(job), "--width", width, "--out", str(out)]) == 0
    assert "no film can show к р а с н ы й" in re.sub(r"\s+", " ", capsys.readouterr().out)
    assert "no film can show к р а с н ы й" in (out / "stacking-report.json").read_text()
    assert main(["check", str(out)]) == 0
    assert "SAFE at" in capsys.readouterr().out
