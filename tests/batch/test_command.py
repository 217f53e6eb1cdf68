"""`vectorsep batch` as a shell sees it."""

import contextlib
import json
import os
import signal
import subprocess
import sys
import time

import pytest

from vectorsep.batch import summary
from vectorsep.batch.designs import settings_beside
from vectorsep.cli import main
from vectorsep.commands import batch as commands_batch
from vectorsep.errors import FolderError, SettingsError


def batch(*arguments):
    return main(["batch", *map(str, arguments)])


def test_all_safe_is_0_and_a_second_time_keeps_all(draw, tmp_path, out, capsys):
    draw("a.svg")
    draw("b.svg")
    assert batch(tmp_path / "art", "--out", out, "--processes", 2) == 0
    assert "2 designs: 2 safe, 0 not safe, 0 failed (0 done before" in capsys.readouterr().out
    assert (out / "a" / "stacking-report.html").is_file()
    assert (out / "batch-summary.html").is_file()
    assert batch(tmp_path / "art", "--out", out, "--processes", 1) == 0
    assert "(2 done before" in capsys.readouterr().out


def test_some_unsafe_is_1_and_some_failed_is_2(draw, tmp_path, out, capsys):
    design = draw("a.svg")
    draw("b.svg")
    design.source.with_suffix(".toml").write_text("[blocker]\nspread = 0.1\n[colour]\nclearance = 0.1\n")
    assert batch(tmp_path / "art", "--out", out, "--processes", 1) == 1
    assert "a.svg: NOT SAFE" in capsys.readouterr().out
    draw("c.svg", body="<text>x</text>")
    assert batch(tmp_path / "art", "--out", out, "--processes", 1) == 2
    assert "c.svg: failed" in capsys.readouterr().out


@pytest.mark.parametrize(("named", "why"), [("nowhere", "no such folder; give"), ("*.png", "no SVG files there; give")])
def test_a_folder_that_is_not_there_is_told_apart_from_an_empty_one(draw, tmp_path, out, capsys, named, why):
    draw("a.svg")
    assert batch(tmp_path / "art" / named, "--out", out) == 2
    assert f"{named}: {why} a folder of designs" in capsys.readouterr().err


def test_replace_keeps_what_its_help_says(draw, tmp_path, out, capsys):
    """Plates that lack a file are made anew; those that were changed by hand are not, whatever is asked for."""
    draw("a.svg")
    assert batch(tmp_path / "art", "--out", out, "--processes", 1) == 0
    (out / "a" / "films.pdf").unlink()
    assert batch(tmp_path / "art", "--out", out, "--processes", 1) == 2
    assert batch(tmp_path / "art", "--out", out, "--processes", 1, "--replace") == 0
    film = out / "a" / "01-blocker.svg"
    film.write_bytes(film.read_bytes() + b"<!-- mine -->")
    assert batch(tmp_path / "art", "--out", out, "--processes", 1, "--replace") == 2
    assert film.read_bytes().endswith(b"<!-- mine -->")
    capsys.readouterr()
    with pytest.raises(SystemExit):
        batch("--help")
    told = " ".join(capsys.readouterr().out.split())
    assert "that lack a file since, and a summary that was changed; plates that were changed" in told
    assert "by hand are kept" in told


def test_quiet_still_tells_what_is_not_safe_and_what_failed(draw, tmp_path, out, capsys):
    draw("a.svg").source.with_suffix(".toml").write_text("[blocker]\nspread = 0.1\n[colour]\nclearance = 0.1\n")
    draw("b.svg", body="<text>x</text>")
    draw("c.svg")
    assert batch(tmp_path / "art", "--out", out, "--processes", 1, "--quiet") == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert [line.split(":")[0] for line in told.err.splitlines() if ".svg" in line] == ["a.svg", "b.svg"]
    assert "a.svg: NOT SAFE" in told.err


@pytest.mark.parametrize("quiet", [[], ["--quiet"]], ids=["", "quiet"])
def test_a_summary_that_cannot_be_written_hides_nothing_unsafe(draw, tmp_path, out, capsys, monkeypatch, quiet):
    """As where a spreadsheet holds the table open: the plates are written all the same."""
    draw("a.svg").source.with_suffix(".toml").write_text("[blocker]\nspread = 0.1\n[colour]\nclearance = 0.1\n")

    def held(path, content):
        raise FolderError(f"{path}: permission denied; nothing was written")

    monkeypatch.setattr(summary, "write_making_folder", held)
    assert batch(tmp_path / "art", "--out", out, "--processes", 1, *quiet) == 2
    told = capsys.readouterr()
    assert (told.err if quiet else told.out).startswith("a.svg: NOT SAFE, see ")
    assert "permission denied" in told.err
    assert (out / "a" / "stacking-report.html").is_file()


@pytest.mark.skipif(os.name == "nt", reason="no such names there")
def test_no_name_of_a_file_writes_lines_of_its_own_on_the_terminal(draw, tmp_path, out, capsys):
    draw("a\nb: NOT SAFE\x1b[2J.svg", body="<text>x</text>")
    assert batch(tmp_path / "art", "--out", out, "--processes", 1) == 2
    first = capsys.readouterr().out.splitlines()[0]
    assert first.startswith("a\\nb: NOT SAFE\\x1b[2J.svg: failed: ")


def test_bad_settings_are_told_with_the_name_of_the_designs_own_job(draw, tmp_path, out, capsys):
    draw("a.svg").source.with_suffix(".toml").write_text("[press]\nregister = 1\n[white]\nchoke = 'wide'\n")
    assert batch(tmp_path / "art", "--out", out, "--processes", 1) == 2
    told = capsys.readouterr().out.removeprefix("a.svg: failed: ").splitlines()
    assert [line.startswith("a.toml: ") for line in told] == [True, True, False]
    with pytest.raises(SettingsError, match=r"^a\.toml: .*\na\.toml: "):
        settings_beside(tmp_path / "art" / "a.svg")


def test_the_common_job_serves_designs_without_one_and_options_stand_above_both(draw, tmp_path, out):
    own, _ = draw("own.svg"), draw("other.svg")
    common = tmp_path / "common.toml"
    common.write_text("[blocker]\nspread = 0.5\n[white]\nchoke = 0.45\n")
    own.source.with_suffix(".toml").write_text("[blocker]\nspread = 0.6\n")
    batch(tmp_path / "art", "--out", out, "--job", common, "--choke", "0.35mm", "--processes", 1, "--quiet")

    def settings(name):
        values = json.loads((out / name / "stacking-report.json").read_text())["settings"]
        return values["spread_mm"], values["choke_mm"]

    assert settings("own") == (0.6, 0.35)
    assert settings("other") == (0.5, 0.35)


def test_bad_input_is_told_once_and_writes_nothing(draw, tmp_path, out, capsys):
    draw("a.svg")
    assert batch(tmp_path / "nowhere", "--out", out) == 2
    assert batch(tmp_path / "art", "--out", out, "--choke", "77mm") == 2
    assert capsys.readouterr().err.count("white.choke") == 1
    assert not out.exists()


@pytest.mark.parametrize("count", ["0", "-1", "two"])
def test_a_number_of_processes_is_one_or_more(tmp_path, out, count, capsys):
    with pytest.raises(SystemExit) as stopped:
        batch(tmp_path, "--out", out, "--processes", count)
    assert stopped.value.code == 2
    assert "--processes" in capsys.readouterr().err


def test_no_progress_bar_off_a_terminal(draw, tmp_path, out):
    draw("a.svg")
    command = [sys.executable, "-m", "vectorsep", "batch", tmp_path / "art", "--out", out, "--processes", "1"]
    done = subprocess.run(command, capture_output=True, text=True, check=False, env=os.environ)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_summary_left_by_a_stopped_batch_is_told_to_be_older(draw, tmp_path, out, capsys, monkeypatch):
    """It would call designs safe that this run has already made anew, and found unsafe."""

    def stop(*args, **kwargs):
        raise KeyboardInterrupt

    design, told = draw("a.svg"), []
    with monkeypatch.context() as stopped:
        stopped.setattr(commands_batch, "separate_batch", stop)
        assert batch(tmp_path / "art", "--out", out, "--processes", 1) == 130
        told.append(capsys.readouterr().err)
    assert batch(tmp_path / "art", "--out", out, "--processes", 1) == 0
    design.source.with_suffix(".toml").write_text("[blocker]\nspread = 0.1\n[colour]\nclearance = 0.1\n")
    real = commands_batch.separate_batch

    def stopped_after_one(designs, *args, **kwargs):
        real([design], *args, **kwargs)
        raise KeyboardInterrupt

    monkeypatch.setattr(commands_batch, "separate_batch", stopped_after_one)
    capsys.readouterr()
    assert batch(tmp_path / "art", "--out", out, "--processes", 1) == 130
    told.append(capsys.readouterr().err)
    assert "Not safe at" in (out / "a" / "stacking-report.html").read_text()
    assert "1 safe, 0 not safe" in (out / "batch-summary.html").read_text()
    assert ["batch-summary.html is of an earlier run" in line for line in told] == [False, True]


STARTED_S, ENDED_S = 60, 120
"""Waited so long at most; what hangs, hangs for ever."""


@pytest.fixture
def slow_batch(tmp_path, out, interruptible):
    """A batch at work in a process group of its own, with a first design done and slow ones under way."""
    (tmp_path / "art").mkdir()
    (tmp_path / "art" / "a.svg").write_bytes(b'<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><path '
                                             b'd="M4,4h20v20z"/></svg>')  # fmt: skip
    dots = "".join(f'<circle cx="{2 * i}" cy="{2 * j}" r=".7"/>' for i in range(90) for j in range(90))
    for name in "bcde":
        page = 'width="180mm" height="180mm" viewBox="0 0 180 180"'
        (tmp_path / "art" / f"{name}.svg").write_text(f'<svg xmlns="http://www.w3.org/2000/svg" {page}>{dots}</svg>')
    command = [sys.executable, "-m", "vectorsep", "batch", tmp_path / "art", "--out", out, "--processes", "2"]
    process = subprocess.Popen(command, start_new_session=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    until = time.monotonic() + STARTED_S
    while not (out / "a").exists() and time.monotonic() < until:
        time.sleep(0.05)
    assert (out / "a").exists()
    yield process
    with contextlib.suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    process.communicate()


def group_ends(group):
    """Whether all processes of a group come to an end."""
    until = time.monotonic() + ENDED_S
    while time.monotonic() < until:
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.1)
    return False


@pytest.mark.skipif(not hasattr(os, "killpg"), reason="there are no process groups here")
@pytest.mark.parametrize("times", [1, 2])
def test_an_interrupt_ends_a_batch_and_its_processes_at_once(slow_batch, out, times):
    for _ in range(times):
        os.killpg(slow_batch.pid, signal.SIGINT)  # as a terminal does: to all of them
        time.sleep(0.2)
    told, _ = slow_batch.communicate(timeout=ENDED_S)
    assert b"stopped; what is done is kept" in told
    assert group_ends(slow_batch.pid)
    assert sorted(path.name for path in out.iterdir()) == ["a", "batch-records"]


@pytest.mark.skipif(not hasattr(os, "killpg"), reason="there are no process groups here")
def test_no_process_outlives_a_batch_that_is_killed(slow_batch):
    slow_batch.kill()
    slow_batch.communicate(timeout=ENDED_S)
    assert group_ends(slow_batch.pid)
