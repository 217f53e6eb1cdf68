"""The summary as a spreadsheet and a browser read it: Python's own csv reader and lxml's HTML parser."""

import codecs
import csv
import dataclasses
import io

import lxml.html
import pytest

from vectorsep.batch import Result, Row, summary, write_summary
from vectorsep.batch.records import write_making_folder
from vectorsep.batch.result import result_of
from vectorsep.batch.summary import COLUMNS, summary_csv, summary_page
from vectorsep.errors import FolderError
from vectorsep.films import write_report
from vectorsep.model import Finding
from vectorsep.pipeline import separate
from vectorsep.press_settings import PressSetting
from vectorsep.settings import Settings

NASTY = "=cmd|'calc'!A1 \"<script>alert(1)</script>\",&amp;.svg"
ROWS = (
    Row("a.svg", "a", Result("safe", 5, 0.25009, 0, 1)),
    Row("x/b #1.svg", "x--b #1", Result("unsafe", 4, None, 2, 0), kept=True),
    Row(NASTY, "nasty", Result("failed", message="<text> at line 1: no\n  second line")),
)


def table():
    return list(csv.DictReader(io.StringIO(summary_csv(ROWS).decode("utf-8-sig"), newline="")))


def test_the_table_is_known_for_unicode():
    assert summary_csv(ROWS).startswith(codecs.BOM_UTF8)


def test_the_table_reads_back():
    safe, unsafe, failed = table()
    assert tuple(safe) == COLUMNS
    assert [safe[name] for name in COLUMNS] == ["a.svg", "safe", "5", "0.250", "0", "1", "no", "a", ""]
    assert [unsafe[name] for name in COLUMNS] == ["x/b #1.svg", "unsafe", "4", "", "2", "0", "yes", "x--b #1", ""]
    assert (failed["verdict"], failed["screens"], failed["folder"]) == ("failed", "", "")
    assert failed["message"] == "<text> at line 1: no\n  second line"


@pytest.mark.parametrize("start", "=+-@\t\r")
def test_no_name_runs_as_a_formula(start):
    row = Row(f"{start}1+1.svg", "f", Result("safe"))
    (read,) = csv.DictReader(io.StringIO(summary_csv([row]).decode("utf-8-sig"), newline=""))
    assert read["design"] == f"'{start}1+1.svg"


def test_no_name_turns_the_page_around():
    """Unicode Standard Annex 9: an override lasts to the end of its paragraph, an isolate's direction stays in it."""
    row = Row("a\u202egvs.b.svg", "a", Result("failed", message="no"))
    page = lxml.html.document_fromstring(summary_page([row, row]).decode())
    assert {name.text_content() for name in page.xpath("//bdi")} == {"a\ufffdgvs.b.svg"}
    assert "\u202e" not in page.text_content()


def test_the_page_shows_names_as_text_and_loads_nothing():
    page = lxml.html.document_fromstring(summary_page(ROWS).decode())
    body = [[cell.text_content().strip() for cell in row] for row in page.xpath("//tbody/tr")]
    assert [row[:2] for row in body] == [["a.svg", "safe"], ["x/b #1.svg", "NOT SAFE"], [NASTY, "failed"]]
    assert body[0][2:6] == ["5", "0.250", "0", "1"]
    reports = page.xpath("//tbody//a/@href")
    assert reports == ["a/stacking-report.html", "x--b%20%231/stacking-report.html"]
    assert not page.xpath("//script|//link|//img|//@src|//@onclick")
    assert "3 designs: 1 safe, 1 not safe, 1 failed" in page.text_content()


def test_a_design_that_raises_a_question_is_told_with_it():
    asked = Result("safe", 5, 0.25, 0, 1, "<rect> at line 2 fills the page\nthe art prints 610 x 470 mm")
    page = lxml.html.document_fromstring(summary_page([Row("a.svg", "a", asked)]).decode())
    (told,) = page.xpath("//tbody[tr/td/a='a.svg']/tr/td[@class='message']")
    assert told.text == asked.message
    assert int(told.get("colspan")) == len(page.xpath("//thead//th")), "told in the page's whole width"
    (read,) = csv.DictReader(io.StringIO(summary_csv([Row("a.svg", "a", asked)]).decode("utf-8-sig"), newline=""))
    assert (read["verdict"], read["message"]) == ("safe", asked.message)


def test_what_is_to_be_mended_is_named_first_and_leads_to_its_row():
    page = lxml.html.document_fromstring(summary_page(ROWS).decode())
    links = page.xpath("//p[starts-with(., 'To be mended')]/a")
    assert [link.text_content() for link in links] == ["x/b #1.svg", NASTY]
    for link in links:
        (place,) = page.xpath("//*[@id=$id]", id=link.get("href").removeprefix("#"))
        assert place.xpath("string(tr[1]/td[1])").strip() == link.text_content()
    assert not lxml.html.document_fromstring(summary_page(ROWS[:1]).decode()).xpath("//p[contains(., 'mended')]")


def test_a_design_that_is_not_safe_says_why_and_where(small_art):
    job, _ = separate(small_art, Settings(spread_mm=0.1, clearance_mm=0.1), "a.svg")
    lines = result_of(job).message.splitlines()
    assert len(lines) == sum(finding.severity == "unsafe" for finding in job.check.findings) > 0
    for finding, line in zip(job.check.findings, lines, strict=False):
        assert line == f"{finding.plate} at {finding.at_mm[0]:.2f}, {finding.at_mm[1]:.2f} mm: {finding.message}"


def test_more_screens_than_the_press_has_heads_are_told_in_the_summary(small_art):
    job, _ = separate(small_art, Settings(press=PressSetting(heads=2)), "a.svg")
    assert (result_of(job).verdict, "the press has 2" in result_of(job).message) == ("safe", True)


def test_only_what_speaks_of_the_whole_print_comes_into_the_summary(small_art, small_job):
    assert result_of(small_job[0]).message == ""
    backdrop = small_art.replace(b"<rect", b'<rect width="60" height="40" fill="#fd2"/><rect', 1)
    job, _ = separate(backdrop, Settings(), "a.svg")
    (message,) = result_of(job).message.splitlines()
    assert "fills the page from side to side" in message


def test_as_many_warnings_are_counted_as_on_the_reports_first_page(small_job):
    findings = tuple(Finding("thin-line", "warning", "white", "thin", (1.0, 1.0), places=n) for n in (1, 4))
    job = dataclasses.replace(small_job[0], check=dataclasses.replace(small_job[0].check, findings=findings))
    warnings = result_of(job).warnings
    assert warnings >= 5
    assert f"{warnings} warnings" in write_report(job).decode()


def test_both_are_written_again_over_the_last_ones(tmp_path):
    write_summary(ROWS[:1], tmp_path)
    write_summary(ROWS, tmp_path)
    assert {path.name for path in tmp_path.iterdir()} == {"batch-summary.csv", "batch-summary.html", "batch-records"}
    assert (tmp_path / "batch-summary.csv").read_bytes() == summary_csv(ROWS)


@pytest.mark.parametrize("name", ["batch-summary.csv", "batch-summary.html"])
@pytest.mark.parametrize("ours", [False, True], ids=["a stranger's", "a note on ours"])
def test_a_summary_that_is_not_as_it_was_written_is_kept_unless_replaced(tmp_path, name, ours):
    if ours:
        write_summary(ROWS, tmp_path)
    with (tmp_path / name).open("ab") as file:
        file.write(b"sold 40 of these")
    before = (tmp_path / name).read_bytes()
    with pytest.raises(FolderError, match=f"{name}: exists already; .*--replace"):
        write_summary(ROWS, tmp_path)
    assert (tmp_path / name).read_bytes() == before
    write_summary(ROWS, tmp_path, replace=True)
    assert b"sold" not in (tmp_path / name).read_bytes()
    write_summary(ROWS, tmp_path)


@pytest.mark.parametrize("stopped_after", range(3))
def test_a_summary_stopped_between_its_files_goes_on(tmp_path, monkeypatch, stopped_after):
    write_summary(ROWS[:1], tmp_path)
    written = []

    def stopping(path, content):
        if len(written) == stopped_after:
            raise KeyboardInterrupt
        written.append(path)
        write_making_folder(path, content)

    with monkeypatch.context() as stopped, pytest.raises(KeyboardInterrupt):
        stopped.setattr(summary, "write_making_folder", stopping)
        write_summary(ROWS, tmp_path)
    write_summary(ROWS, tmp_path)
    assert (tmp_path / "batch-summary.csv").read_bytes() == summary_csv(ROWS)


@pytest.mark.parametrize("spoilt", [b"", b"7", b"[[]]", b"\xff", b"[" * 100_000])
def test_sums_that_cannot_be_understood_own_nothing(tmp_path, spoilt):
    write_summary(ROWS, tmp_path)
    (tmp_path / "batch-records" / "batch-summary.json").write_bytes(spoilt)
    with pytest.raises(FolderError, match="exists already"):
        write_summary(ROWS, tmp_path)


def test_one_design_is_no_plural():
    assert "1 design:" in lxml.html.document_fromstring(summary_page(ROWS[:1]).decode()).text_content()


def test_a_failure_tells_its_reason_across_the_columns_of_numbers():
    page = lxml.html.document_fromstring(summary_page(ROWS).decode())
    widths = [sum(int(cell.get("colspan", 1)) for cell in row) for row in page.xpath("//tr")]
    assert set(widths) == {len(page.xpath("//th"))} == {sum(int(c.get("span", 1)) for c in page.xpath("//col"))}
    (reason,) = page.find_class("message")
    assert reason.text_content() == ROWS[2].result.message
