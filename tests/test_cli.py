"""The command line: exit codes, one clear line for each error, nothing printed where nothing was asked."""

import argparse
import errno
import json
import os
import re
import subprocess
import sys
import tomllib
from importlib.metadata import version
from pathlib import Path

import pytest
import shapely

import vectorsep
import vectorsep.__main__
from vectorsep.cli import main
from vectorsep.commands import COMMANDS
from vectorsep.units import parse_length_mm


@pytest.fixture
def art(tmp_path, small_art):
    path = tmp_path / "small.svg"
    path.write_bytes(small_art)
    return path


def test_separate_then_check(art, tmp_path, capsys):
    out = tmp_path / "plates"
    assert main(["separate", str(art), "--out", str(out)]) == 0
    printed = capsys.readouterr().out
    assert "SAFE at a registration tolerance of 0.25 mm" in printed
    assert sorted(path.name for path in out.glob("0*.svg")) == [
        "01-blocker.svg", "02-white.svg", "03-red.svg", "04-deep-blue.svg"
    ]  # fmt: skip
    assert main(["check", str(out)]) == 0
    assert main(["check", str(out), "--registration", "0.9mm"]) == 1
    assert "NOT SAFE at a registration tolerance of 0.9 mm" in capsys.readouterr().out


def test_quiet_is_quiet_and_piped_output_has_no_progress_bar(art, tmp_path, capsys):
    assert main(["separate", str(art), "--out", str(tmp_path / "a"), "--quiet"]) == 0
    quiet = capsys.readouterr()
    assert (quiet.out, quiet.err) == ("", "")
    main(["separate", str(art), "--out", str(tmp_path / "b")])
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(
    ("flags", "why"),
    [
        (["--blocker", "grey", "--merge-black"], "grey blocker cannot print the design's black"),
        (["--blocker", "grey", "--merge-black"], "or --no-merge-black"),
        (["--spread", "40mm"], "blocker.spread"),
        (["--spread", "-0.3mm"], "-0.3 mm is out of range: give 0 to 10 mm @ blocker.spread"),
        (["--choke", "-.5"], "-0.5 mm is out of range: give 0 to 10 mm @ white.choke"),
        (["--merge-inks", "-1"], "colour.merge_inks"),
        (["--merge-inks", "90"], "colour.merge_inks"),
    ],
)
def test_settings_that_cannot_work_end_with_2_and_write_nothing(art, tmp_path, capsys, flags, why):
    assert main(["separate", str(art), "--out", str(tmp_path / "out"), *flags]) == 2
    error = capsys.readouterr().err
    assert why in error
    assert error.startswith("vectorsep: ")
    assert "Traceback" not in error
    assert not (tmp_path / "out").exists()


def test_art_that_cannot_print_ends_with_2_and_its_place(tmp_path, capsys):
    bad = tmp_path / "bad.svg"
    bad.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm">\n<defs><linearGradient id="g">'
        '<stop offset="0" stop-color="red"/><stop offset="1" stop-color="blue"/></linearGradient></defs>\n'
        '<rect id="sky" width="5" height="5" fill="url(#g)"/>\n</svg>'
    )
    assert main(["separate", str(bad), "--out", str(tmp_path / "out")]) == 2
    error = capsys.readouterr().err
    assert "rect" in error
    assert "sky" in error
    assert "line 3" in error
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("command", ["separate", "advise"])
def test_a_file_name_that_is_not_utf_8_ends_with_2(art, tmp_path, capsys, command):
    nameless = tmp_path / os.fsdecode(b"caf\xe9.svg")
    nameless.write_bytes(art.read_bytes())
    place = ["--out", str(tmp_path / "out")] if command == "separate" else ["--chart", str(tmp_path / "chart.svg")]
    assert main([command, str(nameless), *place]) == 2
    assert "not UTF-8; rename the file" in capsys.readouterr().err


def test_missing_files_end_with_2(art, tmp_path, capsys):
    assert main(["separate", str(tmp_path / "no.svg"), "--out", str(tmp_path / "out")]) == 2
    assert main(["separate", str(art), "--out", str(tmp_path / "out"), "--job", str(tmp_path / "no.toml")]) == 2
    assert main(["check", str(tmp_path / "nowhere")]) == 2
    assert main(["check", str(tmp_path)]) == 2
    assert capsys.readouterr().err.count("vectorsep: ") == 4


def test_an_existing_folder_is_kept_unless_replaced(art, tmp_path, capsys):
    out = tmp_path / "plates"
    assert main(["separate", str(art), "--out", str(out)]) == 0
    assert main(["separate", str(art), "--out", str(out)]) == 2
    assert "--replace" in capsys.readouterr().err
    assert main(["separate", str(art), "--out", str(out), "--replace", "--spread", "0.5mm"]) == 0


def test_a_folder_that_is_kept_is_told_of_before_the_work(tmp_path, finished_folder, capsys):
    """Art that cannot be read would be told of first if it were read."""
    (tmp_path / "none.svg").write_text("no drawing")
    assert main(["separate", str(tmp_path / "none.svg"), "--out", str(finished_folder)]) == 2
    assert "--replace" in capsys.readouterr().err


STOPPED_BY = {
    "refused": (PermissionError(errno.EACCES, "Permission denied", "/some/place"), 2, "/some/place: permission denied"),
    "interrupted": (KeyboardInterrupt(), 130, "stopped"),
}


@pytest.mark.parametrize("module", ["shapely", "lxml", "vectorsep_takes_none"])
def test_an_interrupt_while_modules_load_ends_with_130_and_no_traceback(tmp_path, module):
    """A module that is interrupted as it is loaded stands before the real one; of the last name there is none."""
    (tmp_path / f"{module}.py").write_text("raise KeyboardInterrupt")
    path = os.pathsep.join([str(tmp_path), str(Path(vectorsep.__file__).parents[1])])
    command = [sys.executable, "-m", "vectorsep", "--version"]
    done = subprocess.run(
        command, env=os.environ | {"PYTHONPATH": path}, capture_output=True, text=True, check=False, timeout=60
    )
    ended = (done.returncode, done.stderr)
    assert ended == ((0, "") if module == "vectorsep_takes_none" else (130, "vectorsep: stopped\n"))


def test_the_installed_program_is_the_one_that_takes_early_interrupts():
    project = tomllib.loads((Path(vectorsep.__file__).parents[1] / "pyproject.toml").read_text())["project"]
    assert project["scripts"] == {"vectorsep": "vectorsep.__main__:main"}


@pytest.mark.parametrize(("error", "code", "told"), STOPPED_BY.values(), ids=STOPPED_BY)
def test_what_stops_a_command_from_outside_is_told_in_a_line(art, tmp_path, capsys, monkeypatch, error, code, told):
    def stopped(*_args):
        raise error

    monkeypatch.setattr("vectorsep.pipeline.separate_inks", stopped)
    assert vectorsep.__main__.main(["separate", str(art), "--out", str(tmp_path / "out")]) == code
    assert capsys.readouterr().err.splitlines()[-1] == f"vectorsep: {told}"


def test_unsafe_plates_are_written_and_end_with_1(art, tmp_path, capsys):
    out = tmp_path / "plates"
    assert main(["separate", str(art), "--out", str(out), "--spread", "0.1", "--clearance", "0.05"]) == 1
    assert "NOT SAFE" in capsys.readouterr().out
    assert (out / "stacking-report.json").exists()


def test_unsafe_plates_are_told_of_where_nothing_else_is(art, tmp_path, capsys):
    distances = ["--spread", "0.1", "--clearance", "0.05", "--quiet"]
    assert main(["separate", str(art), "--out", str(tmp_path / "plates"), *distances]) == 1
    told = capsys.readouterr()
    assert (told.out, told.err) == ("", "NOT SAFE at a registration tolerance of 0.25 mm\n")


def test_a_defect_is_told_as_ours_and_ends_with_3(art, tmp_path, capsys, monkeypatch):
    def broken(*_args):
        raise ZeroDivisionError("spoiled on purpose")

    monkeypatch.setattr("vectorsep.pipeline.separate_inks", broken)
    assert main(["separate", str(art), "--out", str(tmp_path / "out")]) == 3
    error = capsys.readouterr().err
    assert "defect of this program" in error
    assert "Traceback" not in error
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("error", [MemoryError(), shapely.GEOSException("std::bad_alloc")])
def test_memory_that_does_not_suffice_is_no_defect(error, art, tmp_path, capsys, monkeypatch):
    """The engine's name for it is that of the C++ standard library."""

    def greedy(*_args):
        raise error

    monkeypatch.setattr("vectorsep.pipeline.separate_inks", greedy)
    assert main(["separate", str(art), "--out", str(tmp_path / "out")]) == 2
    told = capsys.readouterr().err
    assert "memory of this machine does not suffice" in told and "defect" not in told
    assert not (tmp_path / "out").exists()


def run_into(stdout, *arguments):
    command = [sys.executable, "-m", "vectorsep", *map(str, arguments)]
    buffered = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    done = subprocess.run(command, stdout=stdout, stderr=subprocess.PIPE, text=True, check=False, env=buffered)
    return done.returncode, done.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
def test_output_that_cannot_be_printed_is_told_apart_from_what_was_written(art, tmp_path):
    out = tmp_path / "plates"
    with Path("/dev/full").open("w") as full:
        code, error = run_into(full, "separate", art, "--out", out)
        assert (code, error) == (2, f"vectorsep: could not print: no space left on device; {out} is written\n")
        assert (out / "stacking-report.json").exists()
        code, error = run_into(full, "check", out)
        assert (code, error) == (2, "vectorsep: could not print: no space left on device\n")
        assert run_into(full, "--help") == (2, "vectorsep: could not print: no space left on device\n")


@pytest.mark.parametrize("command", ["separate", "check", "--help"])
def test_a_reader_that_goes_away_is_nothing_to_tell(art, tmp_path, finished_folder, command):
    arguments = {"separate": [art, "--out", tmp_path / "new"], "check": [finished_folder], "--help": []}[command]
    read_end, write_end = os.pipe()
    os.close(read_end)
    with os.fdopen(write_end, "w") as gone:
        assert run_into(gone, command, *arguments) == (141, "")


def test_a_switch_of_the_job_file_is_turned_off_by_the_command_line(art, tmp_path, capsys):
    job = tmp_path / "job.toml"
    job.write_text("[blocker]\nmerge_black = true\n[film]\nmirror = true\n[art]\nskip_unprintable = true\n")
    command = ["separate", str(art), "--job", str(job), "--out", str(tmp_path / "out")]
    assert main(command) == 0
    assert "blocker.merge_black is set, but no ink of the art is black" in capsys.readouterr().out
    assert main([*command, "--no-merge-black", "--no-mirror", "--replace"]) == 0
    assert "merge_black" not in capsys.readouterr().out
    report = json.loads((tmp_path / "out" / "stacking-report.json").read_text())
    assert (report["settings"]["merge_black"], report["film"]["mirrored"]) == (False, False)


def test_the_version_is_that_of_the_package(capsys):
    with pytest.raises(SystemExit) as stopped:
        main(["--version"])
    assert stopped.value.code == 0
    assert capsys.readouterr().out == f"vectorsep {version('vectorsep')}\n"


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.name)
def test_every_argument_is_explained_by_an_example_that_fits(command, capsys):
    parser = argparse.ArgumentParser(command.name, add_help=False)
    command.add_arguments(parser)
    for argument in parser._actions:
        assert argument.help, argument.dest
        examples = re.findall(r"such as ([0-9.a-z]+) or ([0-9.a-z]+)$", argument.help)
        for example in examples[0] if examples else ():
            low, high = (100, 400) if argument.dest in ("width_mm", "height_mm") else (0.1, 1)
            assert low <= parse_length_mm(example) <= high


def test_lengths_without_sense_are_refused_by_their_flag(art, tmp_path, capsys):
    with pytest.raises(SystemExit) as caught:
        main(["separate", str(art), "--out", str(tmp_path / "out"), "--spread", "wide"])
    assert caught.value.code == 2
    assert "--spread" in capsys.readouterr().err
