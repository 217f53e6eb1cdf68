"""The test chart, measured on its plates as a press crew would measure the print."""

import dataclasses
import itertools
import math
import re
import subprocess

import lxml.etree
import lxml.html
import numpy as np
import pytest
import shapely
from pypdf import PdfReader
from shapely import LineString, affinity, box

from vectorsep.artwork import read_artwork
from vectorsep.chart import make_chart
from vectorsep.chart.films import RECORD, SHEET
from vectorsep.chart.layers import PEN_MM, centred, lettering, short_mm
from vectorsep.chart.layout import (
    COLOUR_HEX,
    COLUMN_MM,
    HEIGHT_MM,
    LEFT_MM,
    TOP_MM,
    UPRIGHT_MM,
    WIDTH_MM,
    chart_parts,
    chart_stack,
)
from vectorsep.chart.steps import (
    LABEL_MM,
    PATCH_MM,
    PATCH_PITCH_MM,
    STEPS_MM,
    WEDGE_LINE_MM,
    WEDGE_PITCH_MM,
    WIDTHS_MM,
    choke_steps,
    spread_steps,
    wedge,
)
from vectorsep.chart.vernier import (
    LENGTH_MM,
    LINES,
    NUMBER_MM,
    PAIRS,
    PITCH_MM,
    RANGE_MM,
    STEP_MM,
    TEETH_BASE_MM,
    TOOTH_MM,
    upright,
    vernier,
)
from vectorsep.cli import main
from vectorsep.commands import COMMANDS
from vectorsep.press_settings import FilmSetting
from vectorsep.settings import InkSetting, ReadOptions, Settings

FIXED = {"blocker to white": "blocker", "blocker to colour": "blocker", "white to colour": "white"}


def middles(area, y, axis=0):
    """Middles of the pieces that a straight line at a height cuts out of an area, in order."""
    line = LineString([(-5, y), (LENGTH_MM + 5, y)]) if axis == 0 else LineString([(y, -5), (y, LENGTH_MM + 5)])
    pieces = shapely.get_parts(area.intersection(line))
    return sorted((piece.bounds[axis] + piece.bounds[axis + 2]) / 2 for piece in pieces if piece.length)


def read_vernier(fixed, fine):
    """The reading: the number of the line, from the middle, at which the two scales meet best, in mm."""
    offsets = np.abs(np.array(fine) - np.array(fixed))
    return (int(np.argmin(offsets)) - LINES) * STEP_MM


@pytest.mark.parametrize("pair", PAIRS)
@pytest.mark.parametrize("shift", [round(i * STEP_MM, 2) for i in range(-LINES, LINES + 1)])
def test_verniers_read_every_shift_to_a_twentieth_of_a_millimetre(pair, shift):
    part = vernier(pair)
    first, second = getattr(part, FIXED[pair]), getattr(part, pair.split()[-1])
    moved = affinity.translate(second, shift, 0.0)
    fixed = middles(first, TEETH_BASE_MM - 1.0)
    fine = middles(moved, TEETH_BASE_MM + 2.0)
    assert len(fixed) == len(fine) == 2 * LINES + 1
    assert read_vernier(fixed, fine) == pytest.approx(shift, abs=1e-9)


@pytest.mark.parametrize("shift", [-0.35, 0.0, 0.2])
def test_upright_verniers_read_a_shift_along_the_print_upward_as_plus(shift):
    part = upright(vernier("blocker to white"))
    moved = affinity.translate(part.white, 0.0, -shift)
    fixed = middles(part.blocker, TEETH_BASE_MM - 1.0, axis=1)[::-1]
    fine = middles(moved, TEETH_BASE_MM + 2.0, axis=1)[::-1]
    assert read_vernier([-y for y in fixed], [-y for y in fine]) == pytest.approx(shift, abs=1e-9)


def test_a_shift_between_two_steps_reads_as_one_of_them():
    part = vernier("blocker to white")
    fine = middles(affinity.translate(part.white, 0.13, 0.0), TEETH_BASE_MM + 2.0)
    assert abs(read_vernier(middles(part.blocker, TEETH_BASE_MM - 1.0), fine) - 0.13) <= STEP_MM / 2 + 1e-9
    assert pytest.approx(0.5) == RANGE_MM


@pytest.mark.parametrize("role", ["blocker", "white", "colour"])
def test_wedges_hold_lines_and_gaps_of_the_stated_widths(role):
    area = getattr(wedge(role), role)
    for top, solid in ((LABEL_MM + WEDGE_LINE_MM / 2, True), (LABEL_MM + 1.5 * WEDGE_LINE_MM, False)):
        line = LineString([(0, top), (80, top)])
        cut = area.intersection(line) if solid else shapely.envelope(area.intersection(line)).difference(area)
        widths = [piece.length for piece in shapely.get_parts(cut) if piece.length]
        assert widths == pytest.approx(list(WIDTHS_MM), abs=1e-9)


def patches(part):
    """Each step's blocker, white and colour patch, lettering cut away."""
    for i in range(len(STEPS_MM)):
        window = box(i * PATCH_PITCH_MM, LABEL_MM - 1.2, (i + 1) * PATCH_PITCH_MM, 40)
        yield [area.intersection(window) for area in (part.blocker, part.white, part.colour)]


def test_spread_steps_reach_past_the_colour_by_what_they_say():
    for step, (blocker, white, colour) in zip(STEPS_MM, patches(spread_steps()), strict=True):
        assert colour.area == pytest.approx(PATCH_MM**2)
        assert blocker.area == pytest.approx((PATCH_MM + 2 * step) ** 2)
        assert white.boundary.distance(colour.boundary) == pytest.approx(0.3)


def test_choke_steps_stay_inside_the_colour_by_what_they_say():
    for step, (blocker, white, colour) in zip(STEPS_MM, patches(choke_steps()), strict=True):
        assert white.area == pytest.approx((PATCH_MM - 2 * step) ** 2)
        assert colour.boundary.distance(white.boundary) == pytest.approx(step, abs=1e-9)
        assert blocker.area == pytest.approx((PATCH_MM + 2.0) ** 2)


NUMBERS = {-10: "-.5", -5: "-.25", 0: "0", 5: "+.25", 10: "+.5"}
"""Over each line of a vernier how far it tells the plates apart, in mm: 0.05 mm a line, by hand."""


@pytest.mark.parametrize("pair", PAIRS)
def test_verniers_are_numbered_in_millimetres(pair):
    part = vernier(pair)
    numbers = getattr(part, FIXED[pair]).intersection(box(-5, -5, LENGTH_MM + 5, TEETH_BASE_MM - TOOTH_MM - 0.3))
    written = [centred(text, LENGTH_MM / 2 + line * PITCH_MM, 0.0, NUMBER_MM) for line, text in NUMBERS.items()]
    assert numbers.symmetric_difference(shapely.union_all(written)).area == pytest.approx(0, abs=1e-6)
    assert all(one.distance(other) > PEN_MM for one, other in itertools.pairwise(written)), "they run together in print"
    if pair == "white to colour":
        assert part.blocker.buffer(-0.3).contains(numbers), "white numbers show on the blocker only"


def test_widths_are_written_in_millimetres_over_each_line():
    written = [short_mm(width) for width in WIDTHS_MM]
    assert written == [".1", ".15", ".2", ".25", ".3", ".4", ".5", ".6", ".8", "1"]
    part = wedge("white")  # its lines are on another plate than its numbers
    numbers = part.blocker.intersection(box(0, -2, 90, LABEL_MM - 2.6))
    for i, text in enumerate(written):
        window = box(WEDGE_PITCH_MM * i + 1.0, -2, WEDGE_PITCH_MM * (i + 1) + 1.0, LABEL_MM - 2.6)
        number = numbers.intersection(window).bounds
        line = part.white.intersection(box(window.bounds[0], LABEL_MM, window.bounds[2], LABEL_MM + WEDGE_LINE_MM - 1))
        assert line.bounds[2] - line.bounds[0] == pytest.approx(WIDTHS_MM[i]) == pytest.approx(float(text))
        assert (number[0] + number[2]) / 2 == pytest.approx((line.bounds[0] + line.bounds[2]) / 2, abs=0.8)


def test_the_unit_stands_on_the_chart():
    blocker = chart_stack(Settings()).plates[0].area
    for text, x_mm, y_mm in (("blocker to white, mm", 8.0, 6.0), ("blocker 86/inch, mm", COLUMN_MM + 6.0, 6.0)):
        assert blocker.buffer(1e-3).contains(lettering(text, x_mm, y_mm))


def test_parts_stay_on_the_page_and_off_each_other():
    plates = {plate.role: plate.area for plate in chart_stack(Settings()).plates}
    page = box(0, 0, WIDTH_MM, HEIGHT_MM)
    assert all(page.contains(area) for area in plates.values())
    assert all(area.is_valid for area in plates.values())
    alone = sum(part.blocker.area for part in (vernier(pair) for pair in PAIRS for _ in range(2)))
    assert plates["blocker"].area > alone


@pytest.mark.parametrize("paper_mm", [(297.0, 210.0), (279.4, 215.9)], ids=["A4", "Letter"])
def test_films_fit_the_paper_of_a_desk_printer_at_full_size(paper_mm):
    """A4: ISO 216. Letter: ANSI/ASME Y14.1, size A. 10 mm of every edge are the printer's."""
    for settings in (Settings(), Settings(spread_mm=1.0)):
        (film,) = {film.get("viewBox") for film in map(lxml.etree.fromstring, svgs(make_chart(settings)))}
        assert all(size <= paper - 20.0 for size, paper in zip(map(float, film.split()[2:]), paper_mm, strict=True))


def svgs(files):
    return [data for name, data in files.items() if name.endswith(".svg")]


def test_the_sheet_says_first_that_two_printings_are_needed():
    page = lxml.html.document_fromstring(make_chart(Settings())[SHEET].decode())
    first = page.xpath("//h2[1]/following-sibling::p[1]")[0].text_content()
    assert "Two printings are needed" in first
    assert "light cloth for the scales" in first
    assert "the garment for the bleed patches" in first


def test_the_sheet_praises_the_paper_only_where_the_films_fit_it():
    fits = "fit A4 and Letter"
    assert fits in make_chart(Settings())[SHEET].decode()
    assert fits not in make_chart(Settings(film=FilmSetting(width_mm=300.0)))[SHEET].decode()


def test_parts_lie_clear_of_each_other():
    """Nothing of one part is printed over another: every part's extent is alone in its place."""
    parts = chart_parts(Settings())
    extents = [shapely.union_all([part.blocker, part.white, part.colour]).envelope for part in parts]
    for (i, one), (j, other) in itertools.combinations(enumerate(extents), 2):
        assert one.distance(other) > 0.5, (i, j)


def test_the_films_are_those_of_any_job_and_read_back():
    files = make_chart(Settings(film=FilmSetting(mirror=True)))
    assert {
        "01-blocker.svg",
        "02-white.svg",
        "03-test-colour.svg",
        "films.pdf",
        "separations.pdf",
        SHEET,
        RECORD,
    } == set(files)
    for name, plate in zip(sorted(files)[:3], chart_stack(Settings()).plates, strict=True):
        inside = [shape.area for shape in read_artwork(files[name], ReadOptions()).shapes]
        assert shapely.union_all(inside).area > plate.area.area * 0.999


def test_the_sheet_names_every_key_and_runs_nothing():
    page = lxml.html.document_fromstring(make_chart(Settings())[SHEET].decode())
    text = page.text_content()
    for key in ("[press] registration", "[blocker] spread", "[white] choke", "[blocker] min_gap", "[white] min_line"):
        assert key in text
    keys = [[code.text for code in row.iter("code")] for row in page.iter("tr")]
    assert ["blocker_line", "white_line", "[white] min_line", "colour_line"] in keys
    assert ["blocker_gap", "[blocker] min_gap", "white_gap", "colour_gap"] in keys
    assert "blocker black, 86 threads/inch" in text
    assert not list(page.iter("script", "img", "link", "iframe"))


def sheet_text():
    """The sheet's words, with a blank between cells."""
    page = lxml.html.document_fromstring(make_chart(Settings())[SHEET].decode())
    return " ".join(" ".join(page.body.itertext()).split())


def read_outward(fixed, fine):
    """The reading by the sheet's rule: where no line meets its like, the farther from the 0 of the two nearest."""
    apart = np.array(fine) - np.array(fixed)
    lines = np.arange(-LINES, LINES + 1)[np.argsort(np.abs(apart))[:2]]
    meets = np.abs(apart).min() < 1e-6
    return STEP_MM * (lines[0] if meets else max(lines, key=abs))


@pytest.mark.parametrize("shift", [(0.2, -0.15), (0.2, 0.2), (0.13, 0.22), (-0.31, 0.07), (0.0, -0.25)])
def test_the_distance_by_the_sheet_is_never_less_than_the_press_is_off(shift):
    """A press whose white lies off both ways: readings as on the print, then the sheet's words, with Pythagoras."""
    plates = {plate.role: plate.area for plate in chart_stack(Settings()).plates}
    white = affinity.translate(plates["white"], *shift)
    lying = [TOP_MM + 6.0 + TEETH_BASE_MM + dy for dy in (-1.0, 2.0)]
    standing = [UPRIGHT_MM + TEETH_BASE_MM + dx for dx in (-1.0, 2.0)]
    end = TOP_MM + 6.0
    across = read_outward(
        middles(plates["blocker"].intersection(box(LEFT_MM, 0, LEFT_MM + LENGTH_MM, 40)), lying[0]),
        middles(white.intersection(box(LEFT_MM, 0, LEFT_MM + LENGTH_MM, 40)), lying[1]),
    )
    column = box(UPRIGHT_MM, end, UPRIGHT_MM + 20, end + LENGTH_MM)
    along = read_outward(
        middles(plates["blocker"].intersection(column), standing[0], axis=1),
        middles(white.intersection(column), standing[1], axis=1),
    )
    told = re.search(
        r"([\d.]+) mm across and ([\d.]+) mm along make ([\d.]+) mm \(the square root of the sum of their squares",
        sheet_text(),
    )
    assert math.hypot(float(told[1]), float(told[2])) == pytest.approx(float(told[3]))
    assert "largest distance of all pieces and pairs [press] registration" in sheet_text()
    assert "take of the two nearest the one farther from the 0" in sheet_text()
    off_mm = math.hypot(*shift)
    assert off_mm - 1e-9 <= math.hypot(across, along) <= off_mm + 1.5 * STEP_MM


@pytest.mark.parametrize("off_mm", [0.25, 0.65])
def test_a_press_so_far_off_that_no_step_holds_is_told_what_to_do(off_mm):
    """White that slips farther than the widest choke shows beside every square, and the row names no choke."""
    hidden = [
        step
        for step, (_, white, colour) in zip(STEPS_MM, patches(choke_steps()), strict=True)
        if affinity.translate(white, off_mm).difference(colour).area < 1e-9
    ]
    assert hidden[:1] == ([0.3] if off_mm == 0.25 else [])
    assert "Where none in a row does, register first." in sheet_text()


def test_an_ink_of_the_job_that_looks_like_the_charts_colour_lends_it_no_mesh():
    """The wedge's own lettering, the film's label and the sheet would each say another mesh."""
    alike = InkSetting(COLOUR_HEX, "red", 230)
    files = make_chart(Settings(inks=(alike,), colour_mesh_per_inch=160))
    assert files == make_chart(Settings(colour_mesh_per_inch=160))


@pytest.mark.parametrize(("mirror", "said"), [(False, 0), (True, 1)])
def test_the_sheet_says_that_mirrored_films_print_the_mirror_image(mirror, said):
    text = make_chart(Settings(film=FilmSetting(mirror=mirror)))[SHEET].decode()
    assert text.count("straight on cloth is the mirror image") == said
    assert "to the right of" not in text


@pytest.mark.parametrize("paper", ["A4", "letter"])
def test_the_sheet_prints_on_two_pages(tmp_path, system_tool, paper):
    page = tmp_path / SHEET
    size = f"<style>@page {{ size: {paper} }}</style></head>".encode()
    page.write_bytes(make_chart(Settings())[SHEET].replace(b"</head>", size))
    subprocess.run(
        [system_tool("chromium"), "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
         f"--user-data-dir={tmp_path / 'profile'}", f"--print-to-pdf={tmp_path / 'sheet.pdf'}", page.as_uri()],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    assert len(PdfReader(tmp_path / "sheet.pdf").pages) == 2


def test_the_command_writes_a_folder_once(tmp_path, capsys):
    out = tmp_path / "chart"
    assert main(["chart", "--out", str(out)]) == 0
    assert (out / SHEET).is_file()
    assert "chart-sheet.html" in capsys.readouterr().out
    assert main(["chart", "--out", str(out)]) == 2
    assert "give another --out, or --replace to write it anew" in capsys.readouterr().err
    assert any(command.name == "chart" for command in COMMANDS)


def test_a_chart_is_replaced_on_request_and_carries_the_new_meshes(tmp_path):
    out, job = tmp_path / "chart", tmp_path / "job.toml"
    job.write_text("[white]\nmesh = 125\n")
    assert main(["chart", "--out", str(out), "--quiet"]) == 0
    assert main(["chart", "--out", str(out), "--job", str(job), "--replace", "--quiet"]) == 0
    assert "white, 125 threads/inch" in (out / SHEET).read_text()
    assert sorted(path.name for path in out.iterdir()) == sorted(make_chart(Settings()))


def letter(out):
    (out / "letter.txt").write_text("mine")
    return "letter.txt"


def note_on_a_film(out):
    film = out / "02-white.svg"
    film.write_bytes(film.read_bytes() + b"<!-- mine -->")
    return "02-white.svg was changed by hand"


def no_record(out):
    (out / RECORD).unlink()
    return f"is not a test chart's folder ({RECORD} is missing)"


def spoilt_record(out):
    (out / RECORD).write_text('{"files": {"../letter.txt": "0"}}')
    return f"{RECORD}: files: "


@pytest.mark.parametrize("touch", [letter, note_on_a_film, no_record, spoilt_record])
def test_what_somebody_put_into_the_charts_folder_is_never_replaced(tmp_path, capsys, touch):
    out = tmp_path / "chart"
    assert main(["chart", "--out", str(out), "--quiet"]) == 0
    why = touch(out)
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    assert main(["chart", "--out", str(out), "--replace"]) == 2
    assert why in capsys.readouterr().err
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before


def test_neither_a_chart_nor_plates_are_replaced_by_the_other(tmp_path, capsys, small_art):
    art, chart, plates = tmp_path / "art.svg", tmp_path / "chart", tmp_path / "plates"
    art.write_bytes(small_art)
    assert main(["chart", "--out", str(chart), "--quiet"]) == 0
    assert main(["separate", str(art), "--out", str(plates), "--quiet"]) == 0
    assert main(["separate", str(art), "--out", str(chart), "--replace"]) == 2
    assert "is not a folder of plates" in capsys.readouterr().err
    assert main(["chart", "--out", str(plates), "--replace"]) == 2
    assert "is not a test chart's folder" in capsys.readouterr().err


def test_meshes_of_the_job_stand_on_the_chart():
    coarse = dataclasses.replace(Settings(), white_mesh_per_inch=125)
    assert chart_stack(coarse).plates[0].area != chart_stack(Settings()).plates[0].area
    assert "white, 125 threads/inch" in make_chart(coarse)[SHEET].decode()
