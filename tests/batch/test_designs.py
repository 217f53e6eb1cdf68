"""Which files are designs, and that no two of them share a folder."""

import gzip

import pytest

from vectorsep.batch import BatchDesign, find_designs, separate_batch, settings_beside, write_summary
from vectorsep.batch.designs import RESERVED, folder_names
from vectorsep.errors import FolderError, SettingsError


def labels(pattern, out):
    return [design.label for design in find_designs(str(pattern), out)]


def test_a_folder_gives_its_own_svg_files_only(draw, tmp_path, out):
    for name in ("b.svg", "A.SVG", ".hidden.svg", "deeper/c.svg"):
        draw(name)
    (tmp_path / "art" / "notes.txt").write_text("no design")
    assert labels(tmp_path / "art", out) == ["A.SVG", "b.svg"]


def test_a_gzipped_design_is_one(draw, tmp_path, out):
    plain = draw("a.svg")
    (tmp_path / "art" / "b.SVGZ").write_bytes(gzip.compress(plain.source.read_bytes()))
    assert labels(tmp_path / "art", out) == ["a.svg", "b.SVGZ"]
    rows = separate_batch(find_designs(str(tmp_path / "art"), out), out)
    assert [(row.folder, row.result.verdict) for row in rows] == [("a", "safe"), ("b", "safe")]


def test_a_link_that_leads_nowhere_or_in_circles_is_a_failed_design(draw, tmp_path, out):
    draw("a.svg")
    (tmp_path / "art" / "lost.svg").symlink_to(tmp_path / "gone" / "lost.svg")
    (tmp_path / "art" / "ring.svg").symlink_to("ring.svg")
    (tmp_path / "art" / "folder.svg").mkdir()
    designs = find_designs(str(tmp_path / "art"), out)
    assert [design.label for design in designs] == ["a.svg", "lost.svg", "ring.svg"]
    rows = separate_batch(designs, out)
    assert [row.result.verdict for row in rows] == ["safe", "failed", "failed"]
    assert f"leads nowhere, to {tmp_path / 'gone' / 'lost.svg'}; mend" in rows[1].result.message
    write_summary(rows, out)
    table = (out / "batch-summary.csv").read_text("utf-8-sig")
    assert "lost.svg,failed" in table and "ring.svg,failed" in table


def test_a_pattern_goes_deeper_and_labels_start_at_its_first_wildcard(draw, tmp_path, out):
    draw("x/a.svg")
    assert labels(tmp_path / "art" / "**" / "*.svg", out) == ["x/a.svg"]
    draw("y/a.svg")
    draw(".hidden/a.svg")
    assert labels(tmp_path / "art" / "**" / "*.svg", out) == ["x/a.svg", "y/a.svg"]
    assert labels(tmp_path / "art" / "x" / "a.svg", out) == ["a.svg"]


def test_films_are_no_designs(draw, tmp_path):
    design = draw("a.svg")
    inside, elsewhere = tmp_path / "art" / "plates", tmp_path / "art" / "earlier"
    separate_batch([design], inside)
    separate_batch([design], elsewhere)
    assert len(list(elsewhere.glob("a/*.svg"))) >= 3
    assert labels(tmp_path / "art" / "**" / "*.svg", inside) == ["a.svg"]


@pytest.mark.parametrize("pattern", ["nowhere", "nowhere/*.svg", "art/**.svg"])
def test_a_pattern_that_meets_nothing_says_what_to_give(tmp_path, pattern, out, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(FolderError, match=r"such as 'art/\*\*/\*\.svg'"):
        find_designs(pattern, out)


def test_designs_that_are_all_skipped_as_output_are_told_so(draw, tmp_path):
    draw("a.svg")
    with pytest.raises(FolderError, match="below --out; give"):
        find_designs(str(tmp_path / "art"), tmp_path / "art")


def test_no_two_designs_share_a_folder(tmp_path):
    names = [
        "a.svg",
        "A.svg",
        "a.SVG",
        "a.b.svg",
        "x/a.svg",
        "x--a.svg",
        "y/a.svg",
        *(f"{name}.svg" for name in RESERVED),
    ]
    designs = [BatchDesign(tmp_path / name, name) for name in names]
    folders = list(folder_names(designs).values())
    assert folders[:7] == ["a", "A-2", "a-3", "a.b", "x--a", "x--a-2", "y--a"]
    assert len({folder.casefold() for folder in (*folders, *RESERVED)}) == len(names) + len(RESERVED)


def test_a_design_takes_the_job_file_beside_it(draw):
    design = draw("a.svg")
    assert settings_beside(design.source).spread_mm == 0.4
    design.source.with_suffix(".toml").write_text('[blocker]\nspread = "0.6mm"\n')
    assert settings_beside(design.source).spread_mm == 0.6
    design.source.with_suffix(".toml").write_text("[blocker]\nspraed = 1\n")
    with pytest.raises(SettingsError, match=r"blocker\.spraed"):
        settings_beside(design.source)


def test_a_job_file_whose_link_leads_nowhere_fails_its_design(draw, out):
    """The usual settings instead would go unnoticed."""
    design = draw("a.svg")
    design.source.with_suffix(".toml").symlink_to("gone.toml")
    (row,) = separate_batch([design], out)
    assert row.result.verdict == "failed"
    assert "a.toml: a link that leads nowhere" in row.result.message


@pytest.mark.parametrize("label", ["b" * 249, f"{'d' * 200}/{'e' * 200}", "火" * 80 + "/" + "灰" * 80])
def test_names_too_long_for_a_disk_are_cut_and_told_apart(draw, out, label):
    drawn = [draw(f"{label}{end}.svg") for end in ("", "2")]
    rows = separate_batch(drawn, out)
    assert [row.result.verdict for row in rows] == ["safe", "safe"], rows
    short, other = (row.folder for row in rows)
    assert other == f"{short}-2"
    assert label.replace("/", "--").startswith(short) and len(short.encode()) > 230
    assert all(row.kept for row in separate_batch(drawn, out))


def test_a_name_too_long_for_a_job_beside_it_fails_no_other_design(draw, out):
    drawn = [draw(f"{'b' * 251}.svg"), draw("c.svg")]
    failed, safe = separate_batch(drawn, out)
    assert (failed.result.verdict, safe.result.verdict) == ("failed", "safe")
    assert "file name too long; shorten the design's name" in failed.result.message
