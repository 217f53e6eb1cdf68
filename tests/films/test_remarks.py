"""Which remarks are shown: alike on the terminal and in the report, none lost from the count."""

import dataclasses
import re

import lxml.html
import pytest

from vectorsep.commands.telling import tell_separation
from vectorsep.films import write_report
from vectorsep.model import Finding, Notice
from vectorsep.paper.remarks import MOST_ALIKE, listed
from vectorsep.pipeline import separate
from vectorsep.settings import Settings


def thin(count, plate="white", severity="warning"):
    return [Finding("thin-line", severity, plate, f"line {n}", (1.0, n)) for n in range(count)]


@pytest.mark.parametrize(("count", "shown", "more"), [(1, 1, 0), (3, 3, 0), (4, 4, 0), (5, 3, 2), (60, 3, 57)])
def test_the_first_few_of_a_kind_are_shown_and_none_is_left_out_alone(count, shown, more):
    told = listed(thin(count))
    assert MOST_ALIKE == 3
    assert [remark.message for remark, _ in told] == [f"line {n}" for n in range(shown)]
    assert [others for _, others in told] == [0] * (shown - 1) + [more]


def test_every_plate_and_every_kind_counts_for_itself_however_they_are_mixed():
    mixed = [finding for pair in zip(thin(5), thin(5, "red"), strict=True) for finding in pair]
    told = listed([*mixed, Notice("no-white", "bare", "warning", "white")])
    assert [(remark.code, remark.plate, more) for remark, more in told] == [
        *[("thin-line", "white", 0)] * 2, ("thin-line", "white", 2),
        *[("thin-line", "red", 0)] * 2, ("thin-line", "red", 2),
        ("no-white", "white", 0),
    ]  # fmt: skip


def test_the_gravest_come_first_and_what_is_unsafe_or_left_out_is_never_shortened():
    left_out = [Notice("left-out", f"<image> {n}", "warning") for n in range(9)]
    told = listed([Notice("rim", "rim"), *left_out, *thin(9, severity="unsafe")])
    assert [remark.severity for remark, _ in told] == ["unsafe"] * 9 + ["warning"] * 9 + ["note"]
    assert not any(more for _, more in told)


def test_a_finding_that_counts_places_stands_for_all_of_them():
    rest = Finding("thin-line", "warning", "white", "55 more like it", (1.0, 9.0), places=55)
    assert listed([*thin(5), rest])[-1].more == 2 + 55
    assert [more for _, more in listed([*thin(5), rest], most=None)] == [0] * 6


def test_what_is_said_of_no_plate_is_not_said_to_be_on_one():
    specks = [Notice("speck-cleaned", f"speck {n}") for n in range(9)]
    assert listed(specks)[-1].others == "and 6 more of this kind"
    assert listed(thin(9))[-1].others == "and 6 more of this kind on this plate"


def test_terminal_and_report_show_the_same(job, tmp_path, capsys):
    rest = Finding("thin-line", "warning", "white", "1 more like it, here", (1.0, 9.0))
    spoilt = dataclasses.replace(job, check=dataclasses.replace(job.check, findings=(*thin(5), rest)))
    tell_separation(spoilt, tmp_path)
    printed = capsys.readouterr().out
    page = lxml.html.document_fromstring(write_report(spoilt).decode())
    page = page.xpath("//table[thead/tr/th='Kind']")[0]
    (row,) = [row for row in page.iter("tr") if "more of this kind" in row.text_content()]
    said = re.findall(r"and 3 more of this kind on this plate: see stacking-report\.json", printed)
    assert len(said) == 1
    assert said[0] in row.text_content()
    for n in range(6):
        in_table = any(cell.text_content() == f"line {n}" for cell in page.iter("bdi"))
        assert (f"line {n}\n" in printed) == in_table == (n < 3)


def test_two_kinds_of_remark_write_the_size_of_one_line_alike():
    """A line of 40 by 0.15 mm is too thin for its mesh and for any white: both say so, with the same figures."""
    art = b"""<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="30mm" viewBox="0 0 60 30">
    <path d="M10 10H50" stroke="#c81e28" stroke-width=".15"/><path d="M10 18h30v8h-30z" fill="#14285a"/></svg>"""
    job, _ = separate(art, Settings(), "line.svg")
    told = {remark.code: remark.message for remark in (*job.check.findings, *job.stack.notices)}
    sizes = {
        code: re.search(r"(\S+ mm) long.* (\S+ mm) wide", told[code]).groups() for code in ("no-white", "thin-line")
    }
    assert sizes["no-white"] == sizes["thin-line"] == ("40 mm", "0.15 mm")


def test_shares_are_written_one_way_all_over_the_report():
    art = b"""<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="30mm" viewBox="0 0 60 30">
    <path d="M10 10h4v4h-4zM14.7 10h4v4h-4z" fill="#c81e28"/></svg>"""
    _, files = separate(art, Settings(clearance_mm=0.4), "pair.svg")
    page = lxml.html.fromstring(files["stacking-report.html"])
    for style in page.xpath("//style"):
        style.drop_tree()
    assert re.findall(r"[\d.]+ %", page.text_content()) and not re.findall(r"\d%", page.text_content())
