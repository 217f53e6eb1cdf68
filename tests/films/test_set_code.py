"""The code of a set: films of another making are told apart by it, and by nothing else that a crew would see."""

import json
import re
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
import shapely

from vectorsep.cli import main
from vectorsep.films.labels import labels_of
from vectorsep.films.lettering import strokes
from vectorsep.films.marks import LETTER_LINE_MM
from vectorsep.films.places import lay_out_labels
from vectorsep.films.run_steps import run_steps
from vectorsep.films.set_code import LENGTH, SIGNS, set_code
from vectorsep.films.sheet import lay_out_sheet
from vectorsep.model import Design, Plate, Sheet
from vectorsep.press_settings import FilmSetting
from vectorsep.settings import InkSetting, Settings

DESIGN = Design(90.0, 60.0, ())
DISC = shapely.Point(45, 30).buffer(20)
PLATES = (Plate("blocker", "blocker black", "#000000", DISC.buffer(0.4)), Plate("colour", "red", "#c81e28", DISC))
CODE = re.compile(rf"\bset [{SIGNS}]{{{LENGTH}}}\b")


def code_of(plates=PLATES, **settings):
    return lay_out_sheet(DESIGN, plates, Settings(**settings)).set_code


def test_the_same_films_have_the_same_code():
    assert code_of() == code_of() == code_of(registration_mm=0.2)  # films do not show the registration


@pytest.mark.parametrize(
    ("plates", "settings"),
    [
        ((PLATES[0], replace(PLATES[1], area=shapely.affinity.translate(DISC, 0.0001))), {}),
        ((PLATES[0], replace(PLATES[1], ink="rust")), {}),
        (PLATES[::-1], {}),
        (PLATES[1:], {}),
        (PLATES, {"blocker_mesh_per_inch": 110}),
        (PLATES, {"inks": (InkSetting("#c81e28", None, 195),)}),
        (PLATES, {"film": FilmSetting(mirror=True)}),
        (PLATES, {"film": FilmSetting(width_mm=200.0)}),
    ],
    ids=["a step of the grid", "name", "order", "one film less", "mesh", "mesh of an ink", "mirrored", "film's size"],
)
def test_whatever_a_film_shows_otherwise_changes_the_code(plates, settings):
    assert code_of(plates, **settings) != code_of()


def test_every_sign_comes_as_often_as_another():
    """Twenty thousand codes: a count off by five standard deviations would be no chance (binomial distribution)."""
    sheet = Sheet(90.0, 60.0, 4.0, 20.0, 20.0)
    codes = "".join(set_code((), (str(nth),), sheet) for nth in range(20_000))
    share = 1 / len(SIGNS)
    spread = np.sqrt(len(codes) * share * (1 - share))
    assert all(abs(codes.count(sign) - len(codes) * share) < 5 * spread for sign in SIGNS)
    assert not set("0O1I5S8B") & set(SIGNS)


def test_signs_are_drawn_apart():
    """By their strokes: each has a place farther than a line of lettering, and a third, from any of another. Of 8 and
    B, 1 and I, 5 and S, 2 and Z that does not hold."""
    drawn = {
        sign: shapely.MultiLineString([stroke.tolist() for stroke in strokes(sign, 0.0, 0.0, 2.1)]) for sign in SIGNS
    }
    for one, other in combinations(SIGNS, 2):
        assert shapely.hausdorff_distance(drawn[one], drawn[other], densify=0.1) > LETTER_LINE_MM + 0.1, (one, other)


@pytest.mark.parametrize("size", [(20, 12), (20, 2), (90, 60), (280, 320)])
def test_it_stands_on_films_of_every_size_whole_and_once(size):
    plates = [replace(plate, area=shapely.box(0, 0, 1, 1)) for plate in PLATES]
    sheet = lay_out_sheet(Design(*map(float, size), ()), plates, Settings())
    said = lay_out_labels(sheet, labels_of(plates, Settings(), "a long name of a design.svg", sheet)).of_set.rows
    assert CODE.findall(" ".join(said)) == [f"set {sheet.set_code}"]


def test_the_papers_tell_the_code_of_the_films(job, files):
    code = job.sheet.set_code
    assert json.loads(files["stacking-report.json"])["film"]["set_code"] == code
    told = CODE.findall(files["stacking-report.html"].decode())
    assert set(told) == {f"set {code}"} and len(told) == 3  # page 1, the press sheet, the first step
    assert CODE.search(next(run_steps(job)).text).group() == f"set {code}"


def test_a_film_of_another_making_makes_the_folder_unsafe(tmp_path, small_art, capsys):
    (tmp_path / "art.svg").write_bytes(small_art)
    for choke in ("0.3", "0.4"):
        main(["separate", str(tmp_path / "art.svg"), "--choke", choke, "--out", str(tmp_path / choke), "--quiet"])
    white = (tmp_path / "0.4" / "02-white.svg").read_bytes()
    (tmp_path / "0.3" / "02-white.svg").write_bytes(white)
    capsys.readouterr()
    assert main(["check", str(tmp_path / "0.3")]) == 1
    told = capsys.readouterr().out
    code = json.loads((tmp_path / "0.3" / "stacking-report.json").read_text())["film"]["set_code"]
    assert re.search(rf"unsafe: white at .* says another set than {code}", told)


def test_a_report_without_a_code_is_of_films_without_one(tmp_path, small_art, capsys):
    """As folders were written before there were codes."""
    (tmp_path / "art.svg").write_bytes(small_art)
    folder = tmp_path / "plates"
    main(["separate", str(tmp_path / "art.svg"), "--out", str(folder), "--quiet"])
    report = json.loads((folder / "stacking-report.json").read_text())
    del report["film"]["set_code"]
    (folder / "stacking-report.json").write_text(json.dumps(report))
    capsys.readouterr()
    assert main(["check", str(folder)]) == 0
    assert "SAFE" in capsys.readouterr().out
