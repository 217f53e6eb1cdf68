"""What is told of films that were edited: how far their ink was moved, how much of it came or went."""

import json
import re
import shutil

import pytest
from shapely import MultiPolygon, Point, affinity, box, union_all

from vectorsep.check.edits import edit_findings
from vectorsep.cli import main
from vectorsep.geometry.measure import ink_measure
from vectorsep.model import InkMeasure, Plate

INK = union_all([box(10, 10, 40, 30), box(50, 12, 60, 22)])
SPECK = box(20, 15, 20.5, 16)
ART = """<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect x="5" y="5" width="30" height="30" fill="#e02020"/><rect x="45" y="10" width="9" height="20" fill="#1040c0"/>
</svg>"""
RED, BLUE = "03-red.svg", "04-blue.svg"

# case: the ink now, its severity, its message
EDITS = {
    "as it was": (INK, "note", "edited, but its ink measures as it was made"),
    "rounded": (affinity.translate(INK, 0.002, -0.002), "note", "edited, but its ink measures as it was made"),
    "a little right": (
        affinity.translate(INK, 0.2),
        "warning",
        "its ink sits 0.2 mm to the right of where it was made",
    ),
    "up": (affinity.translate(INK, 0, -0.1), "warning", "its ink sits 0.1 mm above where it was made"),
    "far left and down": (
        affinity.translate(INK, -0.9, 0.3),
        "unsafe",
        "its ink sits 0.9 mm to the left of and 0.3 mm below where it was made; more than the 0.25 mm that the press "
        "may be off: move it back, or separate again",
    ),
    "a hole": (INK - SPECK, "warning", "0.5 mm² less ink than was made"),
    "a speck inside the bounds": (INK | box(45, 25, 45.5, 26), "warning", "0.5 mm² more ink than was made"),
    "a speck outside the bounds": (
        INK | box(70, 25, 70.5, 26),
        "warning",
        "0.5 mm² more ink than was made; parts of it end 10.5 mm or more from where they were made",
    ),
    "moved with a hole": (
        affinity.translate(INK - SPECK, 0.9),
        "unsafe",
        "its ink sits 0.9 mm to the right of where it was made; 0.5 mm² less ink than was made; more than the 0.25 mm "
        "that the press may be off: move it back, or separate again",
    ),
    "one piece moved": (
        union_all([box(10, 10, 40, 30), box(51, 12, 61, 22)]),
        "warning",
        "the middle of its ink lies 0.14 mm to the right of where it was made; parts of it end 1 mm or more from where "
        "they were made; 10 mm² came at 61.0, 17.0 mm, 10 mm² went at 50.6, 17.0 mm",
    ),
    "moved, but for one piece": (
        union_all([box(11, 10, 41, 30), box(50, 12, 60, 22)]),
        "unsafe",
        "the middle of its ink lies 0.86 mm to the right of where it was made; parts of it end 1 mm or more from where "
        "they were made; 20 mm² came at 40.2, 20.0 mm, 20 mm² went at 11.0, 20.0 mm; more than the 0.25 mm that the "
        "press may be off: put it as it was, or separate again",
    ),
    "a piece moved within the bounds": (
        union_all([box(10, 10, 40, 30), box(50, 15, 60, 25)]),
        "warning",
        "30 mm² came at 55.0, 23.5 mm, 30 mm² went at 55.0, 13.5 mm",
    ),
    "scaled about its centre": (
        affinity.scale(INK, 1.02, 1.02),
        "warning",
        "28.3 mm² more ink than was made; parts of it end 0.5 mm or more from where they were made; 24.2 mm² came at "
        "19.5, 20.0 mm, 6.84 mm² came at 59.7, 16.2 mm, 2.8 mm² went at 50.6, 17.2 mm",
    ),
    "all gone but half": (
        box(10, 10, 25, 30),
        "warning",
        "400 mm² less ink than was made; parts of it end 35 mm or more from where they were made; 300 mm² went at "
        "32.5, 20.0 mm, 100 mm² went at 55.0, 17.0 mm",
    ),
}


def found(area, made):
    return [
        (finding.severity, finding.message)
        for finding in edit_findings(Plate("colour", "red", "#e02020", area), made, 0.25)
    ]


@pytest.mark.parametrize(("area", "severity", "message"), EDITS.values(), ids=EDITS)
def test_an_edit_is_told_by_its_size(area, severity, message):
    assert found(area, ink_measure(INK)) == [(severity, message)]


FAR = {"xoff": 700, "yoff": 900}
MOVED_AND_TRIMMED = union_all([box(11, 10, 41, 30), box(50, 12, 60, 22)]) - box(11, 10, 13, 12)


@pytest.mark.parametrize("area", [*(area for area, _, _ in EDITS.values()), MOVED_AND_TRIMMED])
def test_an_edit_is_told_alike_wherever_on_the_page(area):
    """What a little ink that went can account for goes by the size of the ink, not by how far out on the page it is."""
    here = found(area, ink_measure(INK))
    there = found(affinity.translate(area, **FAR), ink_measure(affinity.translate(INK, **FAR)))
    assert [severity for severity, _ in there] == [severity for severity, _ in here]
    assert area is not MOVED_AND_TRIMMED or here[0][0] == "unsafe"


def test_a_speck_is_told_however_much_outline_may_have_been_rounded_elsewhere():
    """Lines of 1,800 mm of outline, which rounding by 0.01 mm could change by far more than the speck's 0.16 mm²."""
    lines = union_all([box(x, 0, x + 0.5, 30) for x in range(0, 60, 2)])
    speck = box(31.0, 15.0, 31.4, 15.4)
    now = Plate("colour", "red", "#e02020", lines | speck)
    (finding,) = edit_findings(now, ink_measure(lines), 0.25)
    assert (finding.severity, finding.message) == ("warning", "0.16 mm² more ink than was made")
    assert Point(finding.at_mm).distance(speck) < 60 / 24  # a cell of the report


def test_a_film_that_was_moved_is_shown_where_most_of_its_ink_came_or_went():
    """Of two pieces the larger was moved by 2 mm: a strip of 2 x 20 mm came beside it, and one went."""
    now = Plate("colour", "red", "#e02020", union_all([box(12, 10, 42, 30), box(50, 12, 60, 22)]))
    (finding,) = edit_findings(now, ink_measure(INK), 0.25)
    assert finding.code == "film-moved"
    strips = (box(40, 10, 42, 30), box(10, 10, 12, 30))
    assert min(Point(finding.at_mm).distance(strip) for strip in strips) < 50 / 24  # a cell of the report


@pytest.mark.parametrize("larger", [False, True])
def test_ink_that_only_came_or_went_is_no_move_however_much(larger):
    """Nine tenths of the ink at one end: what is left has its centroid 9 mm from that of all."""
    piece = box(0, 0, 1, 1)
    whole = union_all([piece, box(10, 0, 11, 9)])
    now, before = (whole, piece) if larger else (piece, whole)
    (finding,) = edit_findings(Plate("colour", "red", "#e02020", now), ink_measure(before), 0.25)
    assert (finding.code, finding.severity) == ("film-edited", "warning")
    assert finding.message.startswith(f"9 mm² {'more' if larger else 'less'} ink than was made")


def test_a_film_whose_report_says_nothing_of_its_ink_is_warned_of():
    ((severity, message),) = found(INK, None)
    assert severity == "warning" and "compare it yourself" in message


def test_a_film_without_ink_is_told_of_elsewhere():
    assert ink_measure(MultiPolygon()) is None
    assert found(MultiPolygon(), ink_measure(INK)) == []


@pytest.mark.parametrize("covered", [(), ((1.0, 1.0), (1.0, 1.0))])
@pytest.mark.parametrize("bounds", [(0.0, 0.0, 0.0, 0.0), (10.0, 10.0, 10.0, 30.0), (10.0, 10.0, 40.0, 10.0)])
def test_a_report_that_says_nothing_was_there_ends_in_no_error(bounds, covered):
    """Somebody may have written it by hand: of bounds without width or height no cells are known."""
    ((severity, _),) = found(INK, InkMeasure(0.0, bounds, (0.0, 0.0), covered))
    assert severity == "warning"


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    """Blocker so far past the art that plates can be moved by more than the press may be off, and stay clear."""
    root = tmp_path_factory.mktemp("job")
    (root / "art.svg").write_text(ART)
    assert main(["separate", str(root / "art.svg"), "--out", str(root / "plates"), "--spread", "2mm", "--quiet"]) == 0
    return root / "plates"


@pytest.fixture
def folder(sound, tmp_path):
    """Without the papers, as a printer is told to do who burns edited films."""
    plates = shutil.copytree(sound, tmp_path / "plates")
    for paper in plates.glob("*.pdf"):
        paper.unlink()
    return plates


def edit(folder, file, pattern, replacement):
    text, count = re.subn(pattern, replacement, (folder / file).read_text(), count=1)
    assert count == 1
    (folder / file).write_text(text)


def check(folder, capsys, *options):
    code = main(["check", str(folder), *options])
    told = capsys.readouterr()
    return code, told.out.splitlines(), told.err.splitlines()


MOVED = 'id="ink" transform="translate(0.9 0)"'
VERDICT = "SAFE at a registration tolerance of 0.25 mm"


def test_a_film_moved_by_more_than_the_press_may_be_off_is_not_safe(folder, capsys):
    edit(folder, RED, 'id="ink"', MOVED)
    code, lines, _ = check(folder, capsys)
    assert code == 1
    assert lines[-1] == f"NOT {VERDICT}, with 1 film edited since it was made"
    unsafe = [line for line in lines if line.startswith("unsafe")]
    assert len(unsafe) == 1 and unsafe[0].startswith("unsafe: red: its ink sits 0.9 mm to the right of where it was")


def test_a_set_with_retouched_films_is_not_told_of_as_an_untouched_one(folder, capsys):
    assert check(folder, capsys)[1][-1] == VERDICT
    edit(folder, RED, "</svg>", '<rect x="36" y="20" width="0.5" height="1"/></svg>')
    edit(folder, BLUE, 'id="ink"', 'id="ink" transform="translate(-0.05 0.05)"')
    code, lines, _ = check(folder, capsys)
    assert code == 0
    assert lines[-1] == f"{VERDICT}, with 2 films edited since they were made"
    assert (
        "warning: red at 36.25, 20.62 mm: 0.5 mm² more ink than was made; parts of it end 1.5 mm or more from where "
        "they were made" in lines
    )
    assert "warning: blue: its ink sits 0.05 mm to the left of and 0.05 mm below where it was made" in lines


@pytest.mark.parametrize(("unit_mm", "unit", "code"), [(25.4 / 96, "", 1), (25.4 / 96, "px", 1), (25.4 / 72, "pt", 0)])
def test_a_film_whose_page_is_in_pixels_is_not_safe(folder, capsys, unit_mm, unit, code):
    """Programs that take a pixel for a 72nd of an inch print it larger by a third, its distances with it."""
    for film in sorted(folder.glob("0*.svg")):
        for side in ("width", "height"):
            mm = float(re.search(rf'{side}="([0-9.]+)mm"', film.read_text())[1])
            edit(folder, film.name, rf'{side}="[0-9.]+mm"', f'{side}="{mm / unit_mm:.6f}{unit}"')
    found, lines, _ = check(folder, capsys)
    assert found == code
    told = "how large this film prints depends on who opens it: write the width and height of its page in mm"
    assert (f"unsafe: red: {told}" in lines) == bool(code)


def test_what_was_measured_stands_in_the_report_and_can_be_missing(folder, capsys):
    report = json.loads((folder / "stacking-report.json").read_text())
    red = next(plate["film_ink"] for plate in report["plates"] if plate["file"] == RED)
    assert red["area_mm2"] == pytest.approx(900, abs=0.01)
    assert red["bounds_mm"] == pytest.approx([5, 5, 35, 35], abs=0.005)
    assert red["centroid_mm"] == pytest.approx([20, 20], abs=0.005)
    for plate in report["plates"]:
        del plate["film_ink"]
    (folder / "stacking-report.json").write_text(json.dumps(report))
    edit(folder, RED, 'id="ink"', MOVED)
    assert any("compare it yourself" in line for line in check(folder, capsys)[1])


def test_quiet_hides_no_verdict_but_safe(folder, capsys):
    assert check(folder, capsys, "--quiet") == (0, [], [])
    edit(folder, RED, 'id="ink"', MOVED)
    assert check(folder, capsys, "--quiet") == (1, [], [f"NOT {VERDICT}, with 1 film edited since it was made"])
