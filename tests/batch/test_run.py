"""A batch makes what the single job makes, stops for nothing, and neither repeats nor loses work."""

import json
import os
import re
import shutil
import tomllib
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from importlib.metadata import version
from pathlib import Path

import pytest

from vectorsep import Settings, separate
from vectorsep.batch import records, run, separate_batch, write_summary
from vectorsep.batch.records import package_digest, read_record, write_record
from vectorsep.batch.work import Work
from vectorsep.errors import FolderError


@pytest.fixture
def workers():
    with ThreadPoolExecutor(1) as executor:
        yield executor


def content(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def kept(rows):
    return [row.kept for row in rows]


def verdicts(rows):
    return [row.result.verdict for row in rows]


def test_each_folder_holds_what_the_single_job_makes(draw, out, workers):
    designs = [draw("a.svg", 20), draw("b.svg", 10), draw("x/a.svg", 15)]
    rows = separate_batch(designs, out, workers)
    assert [row.label for row in rows] == ["a.svg", "b.svg", "x/a.svg"]
    for design, row in zip(designs, rows, strict=True):
        job, files = separate(design.source.read_bytes(), Settings(), design.source.name)
        assert content(out / row.folder) == files
        assert row.result.screens == len(job.films)
        assert row.result.verdict == "safe"
        assert row.result.clearance_mm == min(c.distance_mm for c in job.check.clearances if c.distance_mm is not None)


def test_a_design_that_fails_stops_no_other_and_writes_nothing(draw, out, workers, tmp_path):
    gone = draw("gone.svg")
    gone.source.unlink()
    unprintable = draw("shaded.svg", body="<text>x</text>")
    bad_job = draw("job.svg")
    bad_job.source.with_suffix(".toml").write_text("[press]\nregistration = 99\n")
    rows = separate_batch([gone, unprintable, bad_job, draw("good.svg")], out, workers)
    assert verdicts(rows) == ["failed", "failed", "failed", "safe"]
    assert "gone.svg" in rows[0].result.message
    assert "<text>" in rows[1].result.message
    assert "press.registration" in rows[2].result.message
    assert {path.name for path in out.iterdir()} == {"good", "batch-records"}


def test_a_file_name_that_is_not_utf_8_fails_alone_and_is_in_the_summary(draw, out, workers, tmp_path):
    nameless = draw(os.fsdecode(b"caf\xe9.svg"))
    below = draw(os.fsdecode(b"caf\xe9/b.svg"))
    rows = separate_batch([nameless, below, draw("good.svg")], out, workers)
    assert verdicts(rows) == ["failed", "failed", "safe"]
    assert all("not UTF-8; rename the file" in row.result.message for row in rows[:2])
    write_summary(rows, out)
    assert r"caf\udce9.svg,failed" in (out / "batch-summary.csv").read_text(encoding="utf-8")
    assert r"caf\udce9.svg" in (out / "batch-summary.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("value", ["1" + "0" * 400, "9" * 5000, "[" * 3000 + "]" * 3000], ids=len)
def test_a_job_file_without_end_fails_alone(draw, out, workers, value):
    design = draw("a.svg")
    design.source.with_suffix(".toml").write_text(f"[blocker]\nspread = {value}\n")
    rows = separate_batch([design, draw("good.svg")], out, workers)
    assert verdicts(rows) == ["failed", "safe"]
    assert "defect" not in rows[0].result.message


@pytest.mark.parametrize("job", ["", "[press]\nregistration = 99\n"])
def test_a_design_that_fails_now_warns_of_the_plates_that_stand_from_before(draw, out, workers, job):
    separate_batch([draw("a.svg"), draw("b.svg")], out, workers)
    before = content(out / "a")
    changed = draw("a.svg", body="" if job else "<text>x</text>")
    changed.source.with_suffix(".toml").write_text(job)
    never_made = draw("c.svg", body="<text>x</text>")
    rows = separate_batch([changed, draw("b.svg"), never_made], out, workers)
    assert verdicts(rows) == ["failed", "safe", "failed"]
    assert "the plates that stand in a are older, not of this art and job" in rows[0].result.message
    assert "older" not in rows[2].result.message
    assert content(out / "a") == before


def test_an_unsafe_design_is_written_and_said_to_be_unsafe(draw, out, workers):
    design = draw("a.svg")
    design.source.with_suffix(".toml").write_text(
        "[press]\nregistration = 0.3\n[colour]\nclearance = 0.1\n[blocker]\nspread = 0.1\n"
    )
    (row,) = separate_batch([design], out, workers)
    assert row.result.verdict == "unsafe"
    assert row.result.unsafe > 0
    assert json.loads((out / "a" / "stacking-report.json").read_text())["safe"] is False


def test_what_is_done_and_unchanged_is_kept(draw, out, workers):
    designs = [draw("a.svg"), draw("b.svg")]
    first = separate_batch(designs, out, workers)
    second = separate_batch(designs, out, workers)
    assert kept(first) == [False, False]
    assert kept(second) == [True, True]
    assert [row.result for row in second] == [row.result for row in first]


def test_a_change_of_art_job_or_program_makes_a_design_anew(draw, out, workers, monkeypatch):
    designs = [draw("a.svg", 20), draw("b.svg", 10)]
    separate_batch(designs, out, workers)
    draw("a.svg", 21)
    assert kept(separate_batch(designs, out, workers)) == [False, True]
    designs[1].source.with_suffix(".toml").write_text("[white]\nchoke = 0.4\n")
    assert kept(separate_batch(designs, out, workers)) == [True, False]
    assert kept(separate_batch(designs, out, workers)) == [True, True]
    monkeypatch.setattr("vectorsep.batch.records._program", lambda: "another")
    assert kept(separate_batch(designs, out, workers)) == [False, False]


def test_a_program_is_another_when_any_file_of_it_is_whatever_version_it_bears(tmp_path):
    """Plates change from commit to commit: designs made before would have been kept as done."""
    package = tmp_path / "package"
    (package / "inner").mkdir(parents=True)
    for name, text in (("a.py", "one"), ("inner/page.j2", "two")):
        (package / name).write_text(text)
    first = package_digest(package)
    (package / "__pycache__").mkdir()
    (package / "__pycache__" / "a.pyc").write_text("compiled")
    assert package_digest(package) == first
    (package / "inner" / "page.j2").write_text("three")
    second = package_digest(package)
    (package / "inner" / "page.j2").rename(package / "inner" / "sheet.j2")
    assert len({first, second, package_digest(package)}) == 3


def run_time_libraries():
    """Those of the package's own requirements that have a part in a folder: all but the progress bar."""
    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text())["project"]
    return {re.match(r"[\w-]+", requirement)[0] for requirement in project["dependencies"]} - {"tqdm"}


@pytest.mark.parametrize("library", sorted(run_time_libraries()))
def test_another_version_of_any_library_makes_a_design_anew(library, monkeypatch):
    """Text is outlined by two of them: designs with lettering would have been kept as done."""
    work = Work(b"<svg/>", Settings(), "a.svg")
    monkeypatch.setattr(records, "_program", records._program.__wrapped__)
    before = records.fingerprint(work)
    assert records.fingerprint(work) == before
    monkeypatch.setattr(records, "version", lambda name: "0.0" if name == library else version(name))
    assert records.fingerprint(work) != before


def test_a_folder_that_went_missing_is_made_anew(draw, out, workers):
    design = draw("a.svg")
    separate_batch([design], out, workers)
    shutil.rmtree(out / "a")
    (row,) = separate_batch([design], out, workers)
    assert (row.kept, row.result.verdict) == (False, "safe")


@pytest.mark.parametrize("change", ["edit", "remove", "add"])
def test_a_folder_that_somebody_changed_is_never_silently_replaced(draw, out, workers, monkeypatch, change):
    design = draw("a.svg")
    separate_batch([design], out, workers)
    film = next((out / "a").glob("*white*.svg"))
    made = film.read_bytes()
    if change == "edit":
        film.write_bytes(made + b"<!-- opened a notch by hand -->")
    elif change == "remove":
        film.unlink()
    else:
        (out / "a" / "notes.txt").write_text("second flash needed")
    before = content(out / "a")
    (row,) = separate_batch([design], out, workers)
    assert row.result.verdict == "failed"
    assert ("--replace" in row.result.message) == (change == "remove"), "told where it helps, and only there"
    assert content(out / "a") == before
    if change != "remove":
        monkeypatch.setattr(workers, "submit", lambda *args: pytest.fail("work whose result could not be written"))
    (row,) = separate_batch([design], out, workers, replace=True)
    if change == "remove":
        assert (row.result.verdict, film.read_bytes()) == ("safe", made)
    else:
        kept = "notes.txt" if change == "add" else film.name
        assert kept in row.result.message, "what somebody else made is not replaced even when told to"
        assert content(out / "a") == before


def test_a_folder_of_another_making_is_left_alone(draw, out, workers):
    (out / "a").mkdir(parents=True)
    (out / "a" / "thesis.txt").write_text("years of work")
    (row,) = separate_batch([draw("a.svg")], out, workers, replace=True)
    assert row.result.verdict == "failed"
    assert content(out / "a") == {"thesis.txt": b"years of work"}


@pytest.mark.parametrize("earlier", [False, True], ids=["new folder", "folder made anew"])
def test_a_batch_stopped_between_record_and_folder_goes_on(draw, out, workers, monkeypatch, earlier):
    design = draw("a.svg", 20)
    if earlier:
        separate_batch([design], out, workers)
        draw("a.svg", 21)

    def stop(*args, **kwargs):
        raise KeyboardInterrupt

    with monkeypatch.context() as stopped, pytest.raises(KeyboardInterrupt):
        stopped.setattr(run, "write_folder", stop)
        separate_batch([design], out, workers)
    (row,) = separate_batch([design], out, workers)
    assert (row.kept, row.result.verdict) == (False, "safe")
    assert kept(separate_batch([design], out, workers)) == [True]


def test_a_disk_that_takes_no_more_is_a_failed_row(draw, out, workers, monkeypatch):
    def full(*args, **kwargs):
        raise FolderError("no space left on device")

    monkeypatch.setattr(run, "write_folder", full)
    rows = separate_batch([draw("a.svg"), draw("b.svg")], out, workers)
    assert verdicts(rows) == ["failed", "failed"]
    assert "no space left" in rows[0].result.message


def test_plates_that_cannot_be_made_anew_are_said_to_be_older(draw, out, workers, monkeypatch):
    """Older films lie on the light table looking like those of today, whatever kept the disk from taking the new."""
    designs = [draw("edited.svg", 20), draw("full.svg", 20), draw("same.svg", 20)]
    separate_batch(designs, out, workers)
    for name in ("edited", "same"):
        (out / name / "notes.txt").write_text("second flash needed")
    designs[:2] = draw("edited.svg", 21), draw("full.svg", 21)

    def full(*args, **kwargs):
        raise FolderError("no space left on device")

    monkeypatch.setattr(run, "write_folder", full)
    rows = separate_batch([*designs, draw("new.svg")], out, workers)
    assert verdicts(rows) == ["failed"] * 4
    said = {row.folder: row.result.message.splitlines()[1:] for row in rows}
    warned = "the plates that stand in {} are older, not of this art and job: make no screens from them"
    assert said == {"edited": [warned.format("edited")], "full": [warned.format("full")], "same": [], "new": []}


@pytest.mark.parametrize("spoil", ["", "[]", "null", '{"fingerprint": 1}', "\xff", '{"result": {"verdict": "fine"}}'])
def test_a_spoilt_record_counts_as_none(draw, out, workers, spoil):
    design = draw("a.svg")
    separate_batch([design], out, workers)
    (out / "batch-records" / "a.json").write_bytes(spoil.encode("latin-1"))
    assert read_record(out, "a") is None
    (row,) = separate_batch([design], out, workers)
    assert "not made by this batch" in row.result.message


def test_a_record_reads_back_as_written_unless_its_values_are_of_another_kind(draw, out, workers):
    separate_batch([draw("a.svg")], out, workers)
    record = read_record(out, "a")
    write_record(out, "b", record)
    assert read_record(out, "b") == record
    for wrong in (replace(record.result, screens="three"), replace(record.result, verdict="fine")):
        write_record(out, "b", replace(record, result=wrong))
        assert read_record(out, "b") is None


def test_rows_are_told_as_they_come(draw, out, workers):
    told = []
    rows = separate_batch([draw("a.svg"), draw("b.svg")], out, workers, on_row=told.append)
    assert set(told) == set(rows)
