"""The report page: what it says, that it is self-contained, and that no name in it can run or hide."""

import dataclasses
import re
import unicodedata

import lxml.html
import pytest

from vectorsep.films import write_report
from vectorsep.films.manifest import floored
from vectorsep.films.report import shown_name
from vectorsep.model import Finding

LOADING = {"src", "srcset", "href", "xlink:href", "data", "action", "poster", "background", "cite"}


@pytest.fixture(scope="session")
def html(files):
    return files["stacking-report.html"].decode()


@pytest.fixture(scope="session")
def page(html):
    return lxml.html.document_fromstring(html)


def text_of(element):
    return re.sub(r"\s+", " ", element.text_content())


def test_nothing_runs_and_nothing_loads(page):
    for element in page.iter():
        if not isinstance(element.tag, str):
            continue
        assert element.tag not in {
            "script",
            "iframe",
            "object",
            "embed",
            "link",
            "img",
            "base",
            "form",
            "foreignobject",
        }
        for name, value in element.attrib.items():
            assert not name.lower().startswith("on"), (element.tag, name)
            assert name not in LOADING or value.startswith("#"), (name, value)
            assert "javascript:" not in value.lower()
    assert "@import" not in text_of(page)
    assert all(target.startswith("#") for target in re.findall(r"url\(([^)]*)\)", lxml.html.tostring(page).decode()))


def test_hostile_names_are_shown_as_they_are_but_for_what_hides(page, job):
    shown = {text_of(name) for name in page.iter("bdi")}
    assert '<script>alert("x")</script> \ufffd../\ufffdé' in shown
    assert job.job_name in shown
    assert not any(unicodedata.category(c) in {"Cf", "Co", "Cs"} for c in text_of(page))


def test_names_that_could_turn_the_text_round_are_marked():
    assert shown_name("red\u202eder\x00\u200b") == "red\ufffdder\ufffd\ufffd"
    assert shown_name("Räuber 火 №7") == "Räuber 火 №7"


def test_the_verdict_comes_first_and_is_the_checks(job, page):
    verdict = text_of(page.find_class("verdict")[0])
    assert verdict.strip().startswith("Safe at a registration tolerance of 0.25 mm")
    finding = Finding("clearance-short", "unsafe", "white", "too near", (20.0, 30.0))
    spoilt = dataclasses.replace(job, check=dataclasses.replace(job.check, findings=(finding,)))
    bad = lxml.html.document_fromstring(write_report(spoilt).decode())
    assert text_of(bad.find_class("verdict")[0]).strip().startswith("Not safe")
    assert "too near" in text_of(bad)
    assert "x 20.00, y 30.00 mm" in text_of(bad)


def test_every_clearance_stands_in_the_table_rounded_down(page, job):
    rows = [text_of(row) for row in page.iter("tr")]
    for film, clearance in zip(job.films, job.check.clearances, strict=True):
        row = next(row for row in rows if film.file in row)
        if clearance.distance_mm is not None:
            assert f"{floored(clearance.distance_mm):.4f}" in row
            assert "yes" in row
        else:
            assert "is the blocker" in row


def test_every_plate_is_drawn_once_and_used(page, job):
    drawn = [element.get("id") for element in page.iter("path") if (element.get("id") or "").startswith("plate-")]
    assert drawn == [f"plate-{order}" for order in range(1, len(job.films) + 1)]
    used = {element.get("href") for element in page.iter("use")}
    assert used == {f"#{name}" for name in drawn}


def test_references_inside_the_page_are_not_dangling(page):
    ids = {element.get("id") for element in page.iter() if isinstance(element.tag, str)} - {None}
    wanted = set(re.findall(r"url\(#([^)]*)\)", lxml.html.tostring(page).decode()))
    assert wanted <= ids


def test_it_asks_for_a_weeks_hold_and_leaves_room_to_write(page):
    text = text_of(page)
    assert "After 7 days: no stain" in text
    assert len(page.find_class("blank")) >= 3 * len(page.find_class("plates")[0].findall("figure"))


def test_cautions_say_what_is_not_known(page):
    text = text_of(page)
    for words in (
        "geometry, not chemistry",
        "data sheets",
        "127 to 182 °C",
        "was not found in print",
        "5 to 10 air changes",
    ):
        assert words in text


def test_the_same_job_gives_the_same_page(job, html):
    assert write_report(job).decode() == html


def test_a_job_whose_blocker_could_not_be_read_still_reports(job):
    lost = dataclasses.replace(job.check, clearances=(), register=(), findings=(Finding("x", "unsafe", None, "lost"),))
    page = lxml.html.document_fromstring(write_report(dataclasses.replace(job, check=lost)).decode())
    assert "not measured" in text_of(page)
    assert "Not safe" in text_of(page)
