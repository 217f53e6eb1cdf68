"""Each key of the job file by itself: the setting that it reaches, its range, the kind of value that it takes."""

import functools
import re
import tomllib
from pathlib import Path

import pytest

from vectorsep.errors import SettingsError
from vectorsep.job import KEYS, read_job
from vectorsep.mesh import Mesh
from vectorsep.press_settings import GarmentSetting
from vectorsep.settings import Settings

GREY = '[blocker]\ncolour = "grey"\n'
REACHES = {  # key: what is written, the setting, its value
    "garment.name": ('"crew top"', "garment_name", "crew top"),
    "garment.hex": ('"#123456"', "garment_hex", "#123456"),
    "garment.knock_out": ("true", "knock_out_garment", True),
    "garment.fibre": ('"cotton"', "garment.fibre", "cotton"),
    "garment.dyeing": ('"undyed"', "garment.dyeing", "undyed"),
    "garment.grade": ("3.5", "garment.grade", 3.5),
    "press.registration": ("0.31", "registration_mm", 0.31),
    "press.turn": ("1.5", "turn_deg", 1.5),
    "press.heads": ("9", "press.heads", 9),
    "press.cooldown": ("false", "press.cooldown", False),
    "press.flash_colours": ("false", "press.flash_colours", False),
    "press.last_flash": ("false", "press.last_flash", False),
    "press.run": ("72", "press.run", 72),
    "press.platen_width": ("301", "press.platen_width_mm", 301),
    "press.platen_height": ("302", "press.platen_height_mm", 302),
    "press.transfer": ("0.7", "press.transfer", 0.7),
    "press.spoilage": ("0.2", "press.spoilage", 0.2),
    "blocker.colour": ('"grey"', "blocker", "grey"),
    "blocker.carbon": ("true", "carbon", True),
    "blocker.spread": ("0.61", "spread_mm", 0.61),
    "blocker.min_gap": ("0.62", "min_gap_mm", 0.62),
    "blocker.fill_gaps": ("false", "fill_gaps", False),
    "blocker.mesh": ("92", "blocker_mesh_per_inch", 92),
    "blocker.merge_black": ("true", "merge_black", True),
    "blocker.design_black": ('"coal"', "design_black", "coal"),
    "white.choke": ("0.63", "choke_mm", 0.63),
    "white.min_choke": ("0.64", "min_choke_mm", 0.64),
    "white.min_line": ("0.65", "min_line_mm", 0.65),
    "white.under_colours": (f"false\n{GREY}", "white_under_colours", False),
    "white.highlight": ("true", "highlight_white", True),
    "white.mesh": ("93", "white_mesh_per_inch", 93),
    "colour.clearance": ("0.66", "clearance_mm", 0.66),
    "colour.trap": ("0.67", "trap_mm", 0.67),
    "colour.order": ('["teal"]', "print_order", ("teal",)),
    "colour.merge_inks": ("2.5", "merge_inks", 2.5),
    "colour.mesh": ("94", "colour_mesh_per_inch", 94),
    "art.close_gaps": ("0.11", "close_gaps_mm", 0.11),
    "art.clean_below_mm2": ("0.12", "clean_below_mm2", 0.12),
    "art.width": ("201", "art.width_mm", 201),
    "art.height": ("202", "art.height_mm", 202),
    "art.skip_unprintable": ("true", "art.skip_unprintable", True),
    "art.flatten_opacity": ("true", "art.flatten_opacity", True),
    "art.tints_on": ('"#FFFFFF"', "art.tints_on", "#ffffff"),
    "detail.multiple": ("1.5", "detail_multiple", 1.5),
    "detail.line": ("0.21", "detail_line_mm", 0.21),
    "detail.blocker_line": ("0.24", "detail_blocker_line_mm", 0.24),
    "detail.white_line": ("0.25", "detail_white_line_mm", 0.25),
    "detail.colour_line": ("0.26", "detail_colour_line_mm", 0.26),
    "detail.gap": ("0.22", "detail_gap_mm", 0.22),
    "detail.blocker_gap": ("0.27", "detail_blocker_gap_mm", 0.27),
    "detail.white_gap": ("0.28", "detail_white_gap_mm", 0.28),
    "detail.colour_gap": ("0.29", "detail_colour_gap_mm", 0.29),
    "detail.island_mm2": ("0.23", "detail_island_mm2", 0.23),
    "film.width": ("401", "film.width_mm", 401),
    "film.height": ("402", "film.height_mm", 402),
    "film.margin": ("41", "film.margin_mm", 41),
    "film.mirror": ("true", "film.mirror", True),
}


def settings_of(key, written):
    section, name = key.split(".")
    return Settings(**read_job(f"[{section}]\n{name} = {written}\n"))


def value_of(settings, path):
    return functools.reduce(getattr, path.split("."), settings)


def test_every_key_is_tried():
    assert set(REACHES) == {str(key) for key in KEYS}


@pytest.mark.parametrize("key", REACHES)
def test_a_key_reaches_its_setting_and_none_that_another_key_fills(key):
    written, path, value = REACHES[key]
    settings, usual = settings_of(key, written), Settings()
    assert value_of(settings, path) == value
    others = {path_ for key_, (_, path_, _) in REACHES.items() if key_ != key}
    others -= {"clearance_mm", "trap_mm", "min_choke_mm"} if key == "press.registration" else set()
    others -= {"blocker"} if GREY in written else set()
    assert {path_ for path_ in others if value_of(settings, path_) != value_of(usual, path_)} == set()


DISTANCES = ("press.registration", "blocker.spread", "blocker.min_gap", "white.choke", "white.min_choke")
DISTANCES += ("white.min_line", "colour.clearance", "colour.trap", "detail.line", "detail.gap")
DISTANCES += tuple(f"detail.{role}_{what}" for role in ("blocker", "white", "colour") for what in ("line", "gap"))
RANGES = {  # as the program tells them: the least that is taken, one below it, the most, one above it
    **dict.fromkeys(DISTANCES, (0, -0.001, 10, 10.001)),
    "press.turn": (0, -0.01, 5, 5.01),
    "detail.multiple": (0.01, 0, 10, 10.01),
    "detail.island_mm2": (0, -0.01, 4, 4.01),
    "art.clean_below_mm2": (0, -0.01, 4, 4.01),
    "art.close_gaps": (0, -0.01, 0.5, 0.51),
    "colour.merge_inks": (0, -0.1, 20, 20.1),
    "art.width": (0.1, 0, 2000, 2001),
    "art.height": (0.1, 0, 2000, 2001),
    "film.width": (200, 0, 2500, 2501),
    "film.height": (200, 0, 2500, 2501),
    "film.margin": (0.1, 0, 2500, 2501),
    "press.platen_width": (0.1, 0, 2000, 2001),
    "press.platen_height": (0.1, 0, 2000, 2001),
    "press.heads": (1, 0, 30, 31),
    "press.run": (1, 0, 1_000_000, 1_000_001),
    "press.transfer": (0.01, 0, 1, 1.01),
    "press.spoilage": (0, -0.01, 1, 1.01),
    "blocker.mesh": (20, 19, 110, 111),
    "white.mesh": (20, 19, 600, 601),
    "colour.mesh": (20, 19, 600, 601),
    "garment.grade": (1, 0.5, 5, 5.5),
}


@pytest.mark.parametrize("key", RANGES)
def test_a_number_is_taken_up_to_its_limits_and_refused_beyond(key):
    least, below, most, above = RANGES[key]
    for within in (least, most):
        assert value_of(settings_of(key, within), REACHES[key][1]) == within
    for beyond in (below, above):
        with pytest.raises(SettingsError, match=rf"@ {re.escape(key)}$"):
            settings_of(key, beyond)


@pytest.mark.parametrize("width_mm", [-0.001, 10.001])
def test_the_width_of_a_pair_has_the_same_limits(width_mm):
    pair = '[[traps]]\nink = "gold"\ninto = "navy"\nwidth = '
    for within in (0, 10):
        assert Settings(**read_job(f"{pair}{within}")).traps[0].width_mm == within
    with pytest.raises(SettingsError, match=r"@ traps\[0\]\.width$"):
        Settings(**read_job(f"{pair}{width_mm}"))


@pytest.mark.parametrize("key", REACHES)
def test_a_value_of_another_kind_is_refused_at_its_place(key):
    value = REACHES[key][2]
    numbers = ('"many"', "true", "nan") if isinstance(value, float) else ("7.5", '"many"', "true")
    lengths = ('"wide"', "true", "nan", "inf")
    is_length = REACHES[key][1].endswith("_mm")
    wrong = lengths if is_length else ("1", '"yes"') if isinstance(value, bool) else numbers
    for written in ("7", "true") if isinstance(value, str | tuple) else wrong:
        with pytest.raises(SettingsError, match=rf"@ {re.escape(key)}$"):
            settings_of(key, written)


@pytest.mark.parametrize("entry", ["inks]]\nhex = 5", 'traps]]\nink = "a"\ninto = "b"\nwidth = "wide"'])
def test_an_entry_whose_needed_value_cannot_be_read_is_told_by_that_alone(entry):
    with pytest.raises(SettingsError) as caught:
        read_job(f"[[{entry}\n")
    (problem,) = caught.value.problems
    assert problem.endswith(("@ inks[0].hex", "@ traps[0].width"))


def test_usual_distances_are_those_that_the_readme_tells():
    readme = (Path(__file__).parents[1] / "README.md").read_text()
    example = tomllib.loads(re.search(r"```toml\n(.*?)```", readme, re.DOTALL)[1])
    for key in ("press.registration", "blocker.spread", "blocker.mesh", "white.choke", "white.mesh", "colour.mesh"):
        section, name = key.split(".")
        told = settings_of(key, repr(example[section][name]))
        assert value_of(told, REACHES[key][1]) == value_of(Settings(), REACHES[key][1])


def test_usual_finest_lines_and_gaps_are_those_of_the_usual_meshes():
    """43 threads of 80 micrometres and 34 of 100 per cm, which catalogues call 110 and 86 per inch (see test_mesh):
    two threads and an opening, to the nearest tenth of a millimetre. What is not said of a garment is not known."""
    usual = Settings()
    assert (usual.white_mesh_per_inch, usual.blocker_mesh_per_inch) == (110, 86)
    assert usual.min_line_mm == round(Mesh(43, 80).finest_detail_mm, 1)
    assert usual.min_gap_mm == round(Mesh(34, 100).finest_detail_mm, 1)
    assert usual.garment == GarmentSetting("unknown", "unknown", None)
    assert not (usual.merge_black or usual.highlight_white or usual.knock_out_garment or usual.knows_garment)
    assert not (usual.art.skip_unprintable or usual.art.flatten_opacity or usual.film.mirror)
    assert usual.carbon and usual.white_under_colours and usual.fill_gaps is None
    assert (usual.merge_inks, usual.close_gaps_mm, usual.clean_below_mm2) == (0, 0, 0)
