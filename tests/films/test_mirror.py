"""Mirrored films from the command line: turned in the folder, and checked as what they print."""

import json

from vectorsep.cli import main


def test_mirrored_films_are_as_safe_as_plain_ones(tmp_path, small_art):
    design = tmp_path / "small.svg"
    design.write_bytes(small_art)
    reports = []
    for name, flags in (("plain", []), ("mirrored", ["--mirror"])):
        out = tmp_path / name
        assert main(["separate", str(design), "--out", str(out), "--quiet", *flags]) == 0
        assert main(["check", str(out), "--quiet"]) == 0
        reports.append(json.loads((out / "stacking-report.json").read_text()))
        assert (b"matrix(-1 0 0 1" in (out / "01-blocker.svg").read_bytes()) == bool(flags)
    plain, mirrored = reports
    assert mirrored["film"]["mirrored"]
    assert not plain["film"]["mirrored"]
    for one, other in zip(plain["plates"], mirrored["plates"], strict=True):
        assert one["clearance_mm"] == other["clearance_mm"]
        assert one["area_mm2"] == other["area_mm2"]


def test_a_set_with_one_film_not_mirrored_does_not_pass(tmp_path, small_art):
    """The plain white among mirrored films lies off its place."""
    design = tmp_path / "small.svg"
    design.write_bytes(small_art)
    plain, mirrored = tmp_path / "plain", tmp_path / "mirrored"
    assert main(["separate", str(design), "--out", str(plain), "--quiet"]) == 0
    assert main(["separate", str(design), "--out", str(mirrored), "--quiet", "--mirror"]) == 0
    (mirrored / "02-white.svg").write_bytes((plain / "02-white.svg").read_bytes())
    assert main(["check", str(mirrored), "--quiet"]) == 1
