"""stacking-report.json: strict, complete, and trusted in nothing when read back."""

import copy
import hashlib
import json
import math

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from vectorsep.errors import FolderError
from vectorsep.films import Manifest, read_manifest
from vectorsep.pipeline import separate
from vectorsep.settings import Settings, TrapSetting

NAME = "stacking-report.json"


@pytest.fixture(scope="session")
def report(files):
    return json.loads(files[NAME], parse_constant=pytest.fail)


def test_it_holds_what_was_promised(report, job, files):
    assert report["safe"] is job.check.safe is True
    assert report["design"] == {"file": job.job_name, "width_mm": 90.0, "height_mm": 60.0}
    for order, (plate, film) in enumerate(zip(report["plates"], job.films, strict=True), start=1):
        assert (plate["order"], plate["file"], plate["role"]) == (order, film.file, film.plate.role)
        assert plate["area_mm2"] == pytest.approx(film.plate.area.area, abs=1e-4)
        assert plate["sha256"] == hashlib.sha256(files[film.file]).hexdigest()
        assert (plate["clearance_mm"] is None) == (film.plate.role == "blocker")
    assert set(report["files"]) == set(files) - {NAME}
    for remark in report["findings"] + report["notices"]:
        assert set(remark) == {"code", "severity", "plate", "message", "at_mm"}


def test_clearances_are_never_overstated(report, job):
    for plate, clearance in zip(report["plates"][1:], job.check.clearances[1:], strict=True):
        assert clearance.distance_mm - 1e-4 < plate["clearance_mm"] <= clearance.distance_mm


def test_reading_back_gives_what_a_check_needs(job, files):
    manifest = read_manifest(files[NAME])
    assert manifest.sheet == job.sheet
    assert [entry.file for entry in manifest.plates] == [film.file for film in job.films]
    assert all(entry.plate.area.is_empty for entry in manifest.plates)
    for name in ("registration_mm", "choke_mm", "min_choke_mm", "clearance_mm", "merge_black", "blocker"):
        assert getattr(manifest.settings, name) == getattr(job.settings, name)
    assert manifest.job_name == job.job_name
    assert manifest.settings.inks == job.settings.inks
    assert manifest.settings.garment == job.settings.garment
    assert set(manifest.files) == set(files) - {NAME}


def test_ink_of_a_print_as_large_as_a_platen_is_read_back_as_it_measures():
    """A block of 400 x 500 mm; its blocker is spread by 0.4 mm and round at the corners."""
    art = b"""<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="500mm" viewBox="0 0 400 500">
    <path d="M0 0h400v500H0z" fill="#c81e28"/></svg>"""
    blocker, white, red = (entry.ink for entry in read_manifest(separate(art, Settings(), "block.svg")[1][NAME]).plates)
    assert blocker.area_mm2 == pytest.approx(400.8 * 500.8 - (4 - math.pi) * 0.4**2, abs=0.1)
    assert blocker.bounds_mm == pytest.approx((-0.4, -0.4, 400.4, 500.4), abs=0.01)
    assert white.area_mm2 == pytest.approx(399.4 * 499.4, abs=0.5)
    assert red.area_mm2 == pytest.approx(400 * 500, abs=0.5)
    assert all(ink.centroid_mm == pytest.approx((200, 250), abs=0.01) for ink in (blocker, white, red))


def altered(report, path, value):
    changed = copy.deepcopy(report)
    inner = changed
    for step in path[:-1]:
        inner = inner[step]
    inner[path[-1]] = value
    return json.dumps(changed).encode()


def test_traps_are_read_back(report):
    pair = {"ink": "red", "into": "blue", "width_mm": 0.1}
    manifest = read_manifest(altered(report, ("settings", "traps"), [pair]))
    assert manifest.settings.traps == (TrapSetting("red", "blue", 0.1),)
    with pytest.raises(FolderError, match=r"settings\.traps\[0\]\.width_mm"):
        read_manifest(altered(report, ("settings", "traps"), [pair | {"width_mm": "little"}]))


HOSTILE = [
    (("plates", 1, "file"), "../../outside.svg"),
    (("plates", 1, "file"), "/etc/passwd"),
    (("plates", 1, "file"), "a\\b.svg"),
    (("plates", 1, "file"), ".."),
    (("plates", 1, "file"), 7),
    (("plates", 1, "file"), "01-blocker.svg"),
    (("plates", 1, "role"), "boss"),
    (("plates", 1, "ink"), "blocker black"),
    (("plates", 1, "hex"), "red"),
    (("plates", 1, "ink"), None),
    (("plates",), {}),
    (("film", "margin_x_mm"), float("inf")),
    (("film", "margin_x_mm"), float("nan")),
    (("film", "design_width_mm"), -1),
    (("film", "ink_margin_mm"), 1000),
    (("film", "mirrored"), 1),
    (("settings", "registration_mm"), "0.25"),
    (("settings", "registration_mm"), 1e300),
    (("settings", "merge_black"), "yes"),
    (("design",), "art.svg"),
    (("design", "file"), 7),
    (("design", "file"), "half of \ud83d.svg"),
    (("plates", 1, "ink"), "\udcff"),
    (("settings",), []),
    (("settings", "inks"), "red"),
    (("settings", "inks", 0), None),
    (("settings", "inks", 0, "hex"), "red"),
    (("settings", "inks", 0, "mesh_per_inch"), "fine"),
    (("settings", "garment"), []),
    (("settings", "garment", "fibre"), "wool"),
    (("settings", "garment", "dyeing"), 3),
    (("settings", "garment", "grade"), 4.2),
    (("files",), {"../x": ""}),
    (("settings_sums",), []),
    (("settings_sums", "inks"), "0"),
    (("plates", 1, "film_ink"), 7),
    (("plates", 1, "film_ink", "area_mm2"), -1),
    (("plates", 1, "film_ink", "bounds_mm"), [0, 0, 1]),
    (("plates", 1, "film_ink", "bounds_mm", 2), float("inf")),
    (("plates", 1, "film_ink", "centroid_mm", 0), 1e9),
    (("plates", 1, "film_ink", "covered"), {}),
    (("plates", 1, "film_ink", "covered"), ["0 1", "0"]),
    (("plates", 1, "film_ink", "covered"), ["0 " * 200] * 60),
    (("plates", 1, "film_ink", "covered", 3), "0.5 -1"),
    (("plates", 1, "film_ink", "covered", 3), 0.5),
    *((("plates", 1, "film_ink", "covered"), [cell]) for cell in ("2", "nan", "-0.1", "1e9", "", "0x1", "1_0", "٣")),
]


@pytest.mark.parametrize(("path", "value"), HOSTILE, ids=lambda part: str(part)[:40])
def test_hostile_values_are_refused_with_their_place(report, path, value):
    with pytest.raises(FolderError) as caught:
        read_manifest(altered(report, path, value))
    assert NAME in str(caught.value)


@pytest.mark.parametrize("name", ["design", "plates", "film", "settings", "files"])
def test_missing_sections_are_named(report, name):
    shorter = {key: value for key, value in report.items() if key != name}
    with pytest.raises(FolderError, match=f"{name}: is missing"):
        read_manifest(json.dumps(shorter).encode())


BROKEN = [b"", b"{", b"\xff\xfe", b"[]", b"1e999", b"[" * 100_000, b'{"plates": ' + b"9" * 5000 + b"}"]


@pytest.mark.parametrize("data", BROKEN)
def test_broken_files_are_refused(data):
    with pytest.raises(FolderError):
        read_manifest(data)


JUNK = st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=8), st.just([]), st.just({}))


@given(data=st.data())
@hypothesis_settings(max_examples=150, deadline=None)
def test_any_single_change_is_read_or_refused(report, data):
    """No value anywhere in the report may end in a traceback."""
    path, inner = [], report
    while isinstance(inner, dict | list) and inner and (not path or data.draw(st.booleans())):
        step = data.draw(st.sampled_from(sorted(inner) if isinstance(inner, dict) else range(len(inner))))
        path.append(step)
        inner = inner[step]
    try:
        assert isinstance(read_manifest(altered(report, path, data.draw(JUNK))), Manifest)
    except FolderError as error:
        assert str(error)
