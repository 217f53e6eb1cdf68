"""The job file: every key reaches its setting, every mistake is told at once with its place."""

import dataclasses
import math
from pathlib import Path

import pytest

from vectorsep.errors import FolderError, SettingsError
from vectorsep.files import read_job_file
from vectorsep.job import GROUPS, KEYS, LISTS, read_job
from vectorsep.settings import InkSetting, ReadOptions, Settings, TrapSetting

FULL = """
[garment]
name = "training top"
hex = "#1A2B3C"
[press]
registration = "0.3mm"
[blocker]
colour = "black"
spread = "0.02in"
merge_black = true
[white]
choke = "1pt"
[colour]
trap = 0.2
[art]
width = "28cm"
[[inks]]
hex = "#C81E28"
name = "Signal red"
mesh = 180
[[traps]]
ink = "Signal red"
into = "navy"
width = "0.1mm"
"""


def test_a_job_file_fills_the_settings():
    settings = Settings(**read_job(FULL))
    assert settings.garment_hex == "#1a2b3c"
    assert settings.registration_mm == settings.clearance_mm == settings.min_choke_mm == 0.3
    assert settings.spread_mm == pytest.approx(0.508)
    assert settings.choke_mm == pytest.approx(25.4 / 72)
    assert settings.art == ReadOptions(width_mm=280.0)
    assert settings.inks == (InkSetting("#c81e28", "Signal red", 180),)
    assert settings.traps == (TrapSetting("Signal red", "navy", 0.1),)


def test_every_key_names_a_field_that_exists():
    for key in KEYS:
        group, _, name = key.field.rpartition(".")
        assert name in {field.name for field in dataclasses.fields(GROUPS[group] if group else Settings)}, key


def test_the_readme_lists_every_key_and_no_other():
    readme = (Path(__file__).parents[1] / "README.md").read_text()
    rows = [line for line in readme.splitlines() if line.startswith("| `[")]
    single = [f"| `[{key.section}]` | `{key.name}` | {key.meaning} |" for key in KEYS]
    of_lists = [
        f"| `[[{name}]]` | `{key.name}` | {key.meaning} |" for name, (keys, _, _) in LISTS.items() for key in keys
    ]
    assert rows == single + of_lists


def test_fonts_are_loaded_from_beside_the_job_file(tmp_path):
    (tmp_path / "face.ttf").write_bytes(b"font data")
    job = tmp_path / "job.toml"
    job.write_text('[art]\nwidth = 90\n[[fonts]]\nfamily = "Quay Sans"\nfile = "face.ttf"\n')
    art = Settings(**read_job_file(job)).art
    assert (art.width_mm, art.fonts) == (90.0, {"Quay Sans": b"font data"})
    job.write_text('[[fonts]]\nfamily = "Quay Sans"\nfile = "missing.ttf"\n')
    with pytest.raises(FolderError, match=r"missing\.ttf"):
        read_job_file(job)


def test_all_bad_keys_are_told_at_once():
    bad = (
        '[blocker]\nspred = 1\nspread = "wide"\n[presss]\nx = 1\n[white]\nchoke = "0.3 parsec"\n[[inks]]\nname = "a"\n'
    )
    with pytest.raises(SettingsError) as caught:
        read_job(bad)
    places = [problem.rsplit(" @ ")[-1] for problem in caught.value.problems]
    assert places == ["blocker.spred", "blocker.spread", "presss", "white.choke", "inks[0]"]


def test_values_out_of_range_are_told_beside_those_that_cannot_be_read():
    with pytest.raises(SettingsError) as caught:
        read_job(
            '[blocker]\nspred = 1\nspread = 40\n[white]\nchoke = "wide"\n[film]\nwidth = -1\n[garment]\nhex = "red"\n'
        )
    places = [problem.rsplit(" @ ")[-1] for problem in caught.value.problems]
    assert places == ["blocker.spred", "white.choke", "blocker.spread", "garment.hex", "film.width"]


def test_one_bad_registration_is_one_problem_and_what_follows_it_is_told_only_when_written():
    for registration_mm in (40, -1, math.inf, math.nan):
        with pytest.raises(SettingsError) as caught:
            Settings(registration_mm=registration_mm)
        assert [problem.rsplit(" @ ")[-1] for problem in caught.value.problems] == ["press.registration"]
    with pytest.raises(SettingsError) as caught:
        Settings(registration_mm=40, trap_mm=30, min_choke_mm=-1)
    places = {problem.rsplit(" @ ")[-1] for problem in caught.value.problems}
    assert places == {"press.registration", "colour.trap", "white.min_choke"}


def test_all_bad_values_are_told_at_once():
    with pytest.raises(SettingsError) as caught:
        Settings(spread_mm=-1, choke_mm=40, garment_hex="red", merge_black=True, blocker="grey")
    assert {problem.rsplit(" @ ")[-1] for problem in caught.value.problems} == {
        "blocker.spread",
        "white.choke",
        "garment.hex",
        "blocker.merge_black",
    }


@pytest.mark.parametrize("mesh", [1, 19, 601])
def test_a_mesh_that_nobody_stretches_is_refused(mesh):
    inks = (InkSetting("#c81e28", mesh_per_inch=mesh),)
    with pytest.raises(SettingsError) as caught:
        Settings(blocker_mesh_per_inch=mesh, white_mesh_per_inch=mesh, colour_mesh_per_inch=mesh, inks=inks)
    places = {problem.rsplit(" @ ")[-1] for problem in caught.value.problems if "no screen mesh" in problem}
    assert places == {"blocker.mesh", "white.mesh", "colour.mesh", "inks[0].mesh"}


@pytest.mark.parametrize(
    ("values", "why"),
    [
        ({"merge_black": True, "blocker": "grey"}, "grey blocker cannot print the design's black"),
        ({"carbon": False}, "ordinary ink adsorbs no dye"),
        ({"carbon": False, "merge_black": True}, "ordinary ink adsorbs no dye"),
        ({"blocker": "ordinary black"}, "no blocker"),
        ({"white_under_colours": False}, "vanish on a black blocker"),
    ],
)
def test_stacks_that_cannot_work_are_refused_with_the_reason(values, why):
    with pytest.raises(SettingsError, match=why):
        Settings(**values)


@pytest.mark.parametrize("name", ["red\nSAFE", "red\x1b[2J", "re\u202ed", "red\x00"])
def test_names_that_no_film_or_sheet_can_show_are_refused(name):
    with pytest.raises(SettingsError, match=r"inks\[0\]\.name"):
        Settings(inks=(InkSetting("#c81e28", name),))
    with pytest.raises(SettingsError, match=r"garment\.name"):
        Settings(garment_name=name)


@pytest.mark.parametrize("key", ["blocker.spread", "press.turn", "blocker.mesh", "garment.name", "film.mirror"])
@pytest.mark.parametrize("value", ["1" + "0" * 400, "0x" + "f" * 9000, f"[0x{'f' * 9000}]", '{a = "b"}'])
def test_values_without_end_are_told_by_their_place(key, value):
    section, name = key.split(".")
    with pytest.raises(SettingsError, match=rf"@ {section}\.{name}$") as caught:
        read_job(f"[{section}]\n{name} = {value}\n")
    assert len(str(caught.value)) < 150


@pytest.mark.parametrize(
    ("value", "told"),
    [
        ('"teal"', "this is a list"),
        ("3", "this is a list"),
        ("[1]", "1 is not a text"),
        ('[["teal"]]', "a list or a table"),
    ],
)
def test_an_order_that_is_no_list_of_names_is_refused(value, told):
    with pytest.raises(SettingsError, match=rf"^{told}.*@ colour\.order$") as caught:
        read_job(f"[colour]\norder = {value}\n")
    assert len(str(caught.value)) < 150
    assert read_job('[colour]\norder = ["teal", "red"]\n')["print_order"] == ("teal", "red")


@pytest.mark.parametrize("value", ["9" * 5000, "[" * 3000 + "]" * 3000])
def test_what_the_reader_of_toml_cannot_hold_is_no_toml(value):
    with pytest.raises(SettingsError, match=r"job\.toml is no TOML"):
        read_job(f"[blocker]\nspread = {value}\n", place="job.toml")


@pytest.mark.parametrize(
    ("pasted", "cure"),
    [
        ("[blocker]\nmesh = 90\n", "write each section, and each key in it, once"),
        ("spread = 0.5\n", "write each section, and each key in it, once"),
        ("mesh = \n", "mend the file"),
    ],
)
def test_lines_pasted_into_a_job_that_has_them_are_told_with_their_cure(pasted, cure):
    with pytest.raises(SettingsError, match=rf"job\.toml is no TOML: .*; {cure}$"):
        read_job(f"[blocker]\nspread = 0.4\n{pasted}", place="job.toml")


PAIR = TrapSetting("gold", "navy", 0.2)


@pytest.mark.parametrize("second", [PAIR, TrapSetting("gold", "navy", 0.3), TrapSetting("navy", "gold", 0.2)])
def test_a_pair_of_inks_has_one_trap(second):
    other = TrapSetting("gold", "teal", 0.1)
    with pytest.raises(SettingsError, match=r"paired in traps\[0\] already: one entry a pair @ traps\[2\]"):
        Settings(traps=(PAIR, other, second))
    assert len(Settings(traps=(PAIR, other)).traps) == 2


def test_broken_toml_is_told_with_its_line():
    with pytest.raises(SettingsError, match="line 1"):
        read_job("[blocker\n", place="job.toml")


@pytest.mark.parametrize("size", ["0mm", "-5", "16 m", "3000"])
def test_a_platen_of_no_size_is_refused(size):
    with pytest.raises(SettingsError, match=r"@ press\.platen_width"):
        Settings(**read_job(f'[press]\nplaten_width = "{size}"'))


def test_a_job_file_that_is_no_toml_is_told_by_its_name(tmp_path):
    """Of a batch every design may have one."""
    job = tmp_path / "owl.toml"
    job.write_text("[press\nregistration = 0.2\n")
    with pytest.raises(SettingsError, match=r"owl\.toml"):
        read_job_file(job)
