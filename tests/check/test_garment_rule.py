"""The garment rule on a folder that is checked later, against what `separate` says of the same stack."""

import json
import re

import pytest

import vectorsep
from vectorsep.cli import main
from vectorsep.press_settings import GarmentSetting

REPORT = "stacking-report.json"
BARE = '[blocker]\ncolour = "grey"\n[white]\nunder_colours = false\n'
TESTED = f'{BARE}[garment]\nfibre = "polyester"\ndyeing = "solid"\ngrade = {{grade}}\n'
BROKEN = "calls for blocker with white, but this stack has no white under its colours"


@pytest.fixture
def told(tmp_path, small_art, capsys):
    """Separates with a job, changes the report, checks; gives exit code and unsafe lines of both commands.

    The art has white in it, so there is a plate of white even where none lies under the colours.
    """
    art, job, out = tmp_path / "art.svg", tmp_path / "job.toml", tmp_path / "plates"
    art.write_bytes(small_art)

    def run(job_text, change=lambda settings: None):
        job.write_text(job_text)
        results = [(main(["separate", str(art), "--job", str(job), "--out", str(out)]), unsafe_lines(capsys))]
        assert (out / "02-white.svg").exists()
        report = json.loads((out / REPORT).read_text())
        change(report["settings"])
        (out / REPORT).write_text(json.dumps(report))
        return (*results, (main(["check", str(out)]), unsafe_lines(capsys)))

    return run


def unsafe_lines(capsys):
    printed = capsys.readouterr().out
    assert len(re.findall(r"^(NOT )?SAFE ", printed, re.MULTILINE)) == 1
    return [line for line in printed.splitlines() if line.startswith(("unsafe", "NOT SAFE"))]


def test_a_stack_too_weak_for_its_garment_is_never_called_safe(told):
    (code, separated), (later, checked) = told(BARE)
    assert (code, later) == (1, 1)
    assert separated == checked
    assert BROKEN in checked[0] and "risk of bleeding is high" in checked[0]
    assert checked[1].startswith("NOT SAFE")


def test_a_garment_tested_well_needs_no_more(told):
    assert told(TESTED.format(grade=5)) == ((0, []), (0, []))


def test_the_grade_counts_as_it_is_published(told):
    """3.5 is a moderate risk ("How to test polyester garments for dye migration"), which bare grey does not meet."""
    _, (later, checked) = told(TESTED.format(grade=3.5))
    assert later == 1
    assert "risk of bleeding is moderate" in checked[0]


@pytest.mark.parametrize("change", [lambda s: s.pop("garment"), lambda s: s["garment"].update(grade=None)])
def test_what_the_report_no_longer_says_of_the_garment_counts_as_the_worst(told, change):
    (code, _), (later, checked) = told(TESTED.format(grade=5), change)
    assert (code, later) == (0, 1)
    assert any("this stack has no white" in line for line in checked)


def test_a_film_of_white_that_is_gone_is_told_twice_over(tmp_path, small_art, capsys):
    (tmp_path / "art.svg").write_bytes(small_art)
    assert main(["separate", str(tmp_path / "art.svg"), "--out", str(tmp_path / "plates"), "--quiet"]) == 0
    (tmp_path / "plates" / "02-white.svg").unlink()
    assert main(["check", str(tmp_path / "plates")]) == 1
    assert BROKEN in "".join(unsafe_lines(capsys))


def test_from_python_too(small_art):
    settings = vectorsep.Settings(blocker="grey", white_under_colours=False)
    plates = vectorsep.make_plates(vectorsep.read_design(small_art, settings), settings)
    codes = [finding.code for finding in vectorsep.check_stack(plates, settings)]
    assert codes == ["gap-opens", "stack-too-weak"]  # nothing runs below the edges of its white square
    known = vectorsep.Settings(blocker="grey", white_under_colours=False, garment=GarmentSetting("cotton"))
    assert [finding.code for finding in vectorsep.check_stack(plates, known)] == ["gap-opens"]


def test_white_cut_to_a_spot_on_its_film_is_never_called_safe(finished_folder, capsys):
    film = finished_folder / "02-white.svg"
    drawn = film.read_text()
    ink = re.search(r'<g[^>]*id="ink"[^>]*>', drawn)
    end = drawn.index("</g>", ink.end())
    film.write_text(drawn[: ink.end()] + '<path d="M20 20h1v1h-1z"/>' + drawn[end:])
    assert main(["check", str(finished_folder)]) == 1
    told = "".join(unsafe_lines(capsys))
    assert "of this ink away from its edges, have no white beneath" in told
