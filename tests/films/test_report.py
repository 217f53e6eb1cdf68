"""The report page: what it says, that it is self-contained, and that no name in it can run or hide."""

import dataclasses
import re
import unicodedata

import lxml.html
import pytest
import tinycss2
from shapely import box

from vectorsep.films import write_report
from vectorsep.films.closeup import receding_closeups, remark_closeups
from vectorsep.model import Design, Film, Finding, InkArea, Notice, Plate
from vectorsep.paper.wording import css_text, short_lines, shortened, shown_name, told_cm3, told_mm, wrapped
from vectorsep.pipeline import separate
from vectorsep.press import plan_press
from vectorsep.press_settings import GarmentSetting, PressSetting
from vectorsep.settings import Settings, TrapSetting
from vectorsep.units import format_mm

LOADING = {"src", "srcset", "href", "xlink:href", "data", "action", "poster", "background", "cite"}


@pytest.fixture(scope="session")
def html(files):
    return files["stacking-report.html"].decode()


@pytest.fixture(scope="session")
def page(html):
    return lxml.html.document_fromstring(html)


def text_of(element):
    return re.sub(r"\s+", " ", element.text_content())


def replaced(job, **parts):
    return lxml.html.document_fromstring(write_report(dataclasses.replace(job, **parts)).decode())


def test_no_plate_that_prints_reads_as_one_without_area():
    dot = '<circle cx="5" cy="5" r="{}" fill="#e02020"/>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="10mm" viewBox="0 0 30 10">{dot}</svg>'
    told = {}
    for radius_mm in (1.2, 1.3):  # 4.5 and 5.3 mm²
        _, files = separate(svg.format(radius_mm).encode(), Settings(), "dot.svg")
        page = lxml.html.document_fromstring(files["stacking-report.html"].decode())
        rows = page.xpath("//table[.//th[contains(., 'Area')]]/tbody/tr")
        captions = page.xpath("//div[contains(@class, 'plates')]//figcaption")
        told[radius_mm] = [row.xpath("td")[2].text for row in rows][-1], text_of(captions[-1]).split(", ")[-1].strip()
    assert told == {1.2: ("under 0.1", "under 0.1 cm²"), 1.3: ("0.1", "0.1 cm²")}


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
    assert '<script>alert("x")</script> ../é' in shown
    assert job.job_name in shown
    hiding = replaced(job, job_name="harbour \u202e\u0001gvs.svg")
    assert "harbour \ufffd\ufffdgvs.svg" in {text_of(name) for name in hiding.iter("bdi")}
    assert not any(unicodedata.category(c) in {"Cf", "Co", "Cs"} for c in text_of(hiding))


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
    rows = [[text_of(cell).strip() for cell in row] for row in page.iter("tr")]
    for film, clearance in zip(job.films, job.check.clearances, strict=True):
        row = next(row for row in rows if any(film.file in cell for cell in row))
        if clearance.distance_mm is not None:
            assert told_mm(clearance.distance_mm) in row
            assert "yes" in row
        else:
            assert row[-1] == "–", "the blocker's edge is what the others are measured to"


def test_every_plate_is_drawn_once_and_used(page, job):
    drawn = [element.get("id") for element in page.iter("path") if (element.get("id") or "").startswith("plate-")]
    assert drawn == [f"plate-{order}" for order in range(1, len(job.films) + 1)]
    used = {element.get("href") for element in page.iter("use")}
    assert used == {f"#{name}" for name in drawn}


@pytest.mark.parametrize(("wide", "high"), [(30, 20), (12, 80)])
def test_pictures_of_plates_show_all_ink_and_fit_the_paper(wide, high):
    """Art to the edges of its page: the blocker stands out by 0.4 mm. Two pictures of plates stand side by side on A4,
    which holds 180 mm between margins; none is higher than half of its 297 mm."""
    art = f"""<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}">
    <path d="M0 0h{wide}v{high}H0z" fill="#c81e28"/></svg>"""
    page = lxml.html.document_fromstring(separate(art.encode(), Settings(), "whole.svg")[1]["stacking-report.html"])
    pictures = [svg for svg in page.iter("svg") if svg.find("use") is not None]
    assert len(pictures) == 1 + 3
    for svg in pictures:
        left, top, across, down = map(float, svg.get("viewbox").split())
        assert max(left, top) <= -0.4 and left + across >= wide + 0.4 and top + down >= high + 0.4
        assert (left + across / 2, top + down / 2) == (pytest.approx(wide / 2), pytest.approx(high / 2))
        width_mm = float(re.fullmatch(r"width:([\d.]+)mm", svg.get("style"))[1])
        assert 2 * width_mm <= 180 and width_mm * down / across <= 297 / 2
    assert f"{wide + 0.8:.1f} × {high + 0.8:.1f} mm" in text_of(page), "of all ink, the rim with it"


def test_references_inside_the_page_are_not_dangling(page):
    ids = {element.get("id") for element in page.iter() if isinstance(element.tag, str)} - {None}
    wanted = set(re.findall(r"url\(#([^)]*)\)", lxml.html.tostring(page).decode()))
    assert wanted <= ids


def test_it_asks_for_a_weeks_hold_and_leaves_room_to_write(page):
    text = text_of(page)
    assert "After 7 days: no stain" in text
    assert len(page.find_class("blank")) >= 3 * len(page.find_class("plates")[0].findall("figure"))


def test_cures_that_lie_where_dyes_bleed_are_said_to(page):
    """The figures are compared as they are printed: what begins at 127 °C is reached by a cure at 160 °C, by no gel."""
    cautions = text_of(page.find_class("cautions")[0])
    onset, last = (int(c) for c in re.search(r"bleeding disagree: (\d+) to (\d+) °C", cautions).groups())
    cure = int(re.search(r"standard plastisol (\d+) °C", cautions)[1])
    gel = int(re.search(r"gels \(82 to (\d+) °C", text_of(page.find_class("press-sheet")[0]))[1])
    assert gel < onset < cure < last
    assert (
        "Standard plastisol's cure lies within the range of bleeding" in cautions and "inks of a lower cure" in cautions
    )


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


def test_the_nearest_distance_is_told_once_and_for_all(page, job):
    """Header, table and section: the same digits at the same place, none above what was measured."""
    tightest = min((c for c in job.check.clearances if c.distance_mm is not None), key=lambda c: c.distance_mm)
    told, (x, y) = told_mm(tightest.distance_mm), tightest.at_mm
    place = f"x {x:.2f}, y {y:.2f} mm"
    assert 0 <= tightest.distance_mm - float(told) < 0.001
    verdict = text_of(page.find_class("verdict")[0])
    assert f"{told} mm at {place}" in verdict
    assert any(told in text_of(row) and f"{x:.2f}, {y:.2f}" in text_of(row) for row in page.iter("tr"))
    section = page.xpath("//*[@aria-label='Section through the tightest edge']")[0]
    assert f"{told} mm" in [text.text for text in section.iter("text")]
    assert place in text_of(section.getparent())


def test_all_that_is_left_out_stands_before_the_first_section(job):
    notices = tuple(Notice("left-out", f"left out: <image> at line {n}", "warning") for n in range(30))
    page = replaced(job, design=dataclasses.replace(job.design, notices=notices))
    (listed,) = page.find_class("left-out")
    assert [text_of(item).strip() for item in listed.iter("li")] == [notice.message for notice in notices]
    assert text_of(listed.getnext()).startswith("1The print")
    assert text_of(page).count("left out: <image>") == len(notices), "and nowhere twice"


def test_all_parts_that_one_line_says_are_left_out_are_counted(job):
    notices = (Notice("left-out", "left out: <rect> at line 1 (3 of them)", "warning", places=3),)
    page = replaced(job, design=dataclasses.replace(job.design, notices=notices))
    assert "3 parts of the art are not on any plate" in text_of(page)


def test_without_anything_left_out_there_is_no_such_list(page):
    assert not page.find_class("left-out")


def test_the_press_sheet_follows_the_clearances(page):
    heads = [text_of(head) for head in page.iter("h2")]
    assert heads[1:3] == ["2Clearances", "3Press sheet"]
    assert [head[0] for head in heads] == [str(n) for n in range(1, len(heads) + 1)]


def test_where_the_limits_of_detail_come_from_is_said_once_and_only_where_it_matters(job):
    said = "two threads and one opening of its mesh"
    thin = tuple(Finding("thin-line", "warning", "white", f"thin {n}", (1.0, n)) for n in range(3))
    for findings, times in ((thin, 1), ((), 0)):
        page = replaced(job, check=dataclasses.replace(job.check, findings=findings))
        assert text_of(page).count(said) == times


def test_names_on_heads_are_whole_where_two_lines_hold_them(page, job):
    heads = page.xpath("//*[starts-with(@aria-label, 'Heads in order')]")
    words = " ".join(text.text for row in heads for text in row.iter("text"))
    assert all(plate.ink in words for plate in job.stack.plates if "blocker" in plate.ink)


def test_distances_are_rounded_down():
    assert [told_mm(length) for length in (0.25, 1.1739, 0.0, 12.0)] == ["0.250", "1.173", "0.000", "12.000"]


def test_long_names_break_before_they_are_cut():
    assert short_lines("lantern gold", 13) == ["lantern gold"]
    assert short_lines("blocker black", 10) == ["blocker", "black"]
    lines = short_lines("a very long name of an ink indeed", 10)
    assert len(lines) == 2
    assert lines[0].startswith("a very") and lines[-1].endswith("indeed") and "…" in "".join(lines)
    assert max(map(len, lines)) <= 10


@pytest.mark.parametrize("letters", range(12))
def test_a_shortened_text_keeps_both_ends_and_says_so(letters):
    cut = shortened("light bluish green", letters)
    assert len(cut) <= letters
    if letters > 3:
        head, tail = cut.split("…")
        assert head and tail and "light bluish green".startswith(head) and "light bluish green".endswith(tail)
    assert shortened("teal", 4) == "teal"


def test_a_shortened_text_cuts_no_number():
    for letters in range(1, 20):
        numbers = re.findall(r"[0-9.]*[0-9]", shortened("page 35.0 × 21.0 mm", letters))
        assert set(numbers) <= {"35.0", "21.0"}, letters
    assert shortened("badge 20240117 b.svg", 12) == "badge…b.svg"


def test_lines_break_within_a_word_only_where_they_must_and_never_within_a_number():
    assert wrapped("dark greyish bluish green", 11) == ["dark", "greyish", "bluish", "green"]
    assert wrapped("badge-20240117.svg", 10) == ["badge-", "20240117.s", "vg"]
    assert wrapped("123456789", 4) == ["1234", "5678", "9"]
    assert wrapped("", 4) == []


def first_page(page):
    return text_of(page.find_class("title")[0])


def test_the_first_page_counts_the_warnings_by_kind_beside_the_verdict(job):
    thin = tuple(Finding("thin-line", "warning", plate, "thin", (1.0, 1.0), places=4) for plate in ("white", "red"))
    note = Finding("film-edited", "note", None, "edited")
    recedes = Notice("art-recedes", "1.25 mm², 0.5 % of red, stay unprinted", "warning", "red", (1.0, 1.0))
    page = replaced(
        job,
        check=dataclasses.replace(job.check, findings=(*thin, note)),
        design=dataclasses.replace(job.design, notices=()),
        stack=dataclasses.replace(job.stack, notices=(recedes,)),
    )
    said = first_page(page)
    assert "9 warnings, 2 kinds" in said
    assert "8 places on 2 plates: lines thinner than their mesh holds" in said
    assert said.index(recedes.message) < said.index("8 places"), "art that is not printed comes first"
    assert "edited" not in said
    assert "not of how well it prints: see the warnings" in said


def test_what_recedes_of_several_inks_is_told_by_each_with_one_reason(job):
    why = ", stay unprinted at the drawn edge: beside gaps"
    told = [
        Notice("art-recedes", f"{mm2} mm² of {ink}{why}", "warning", ink, ending=why)
        for mm2, ink in ((7, "red"), (2, "tan"))
    ]
    said = first_page(replaced(job, stack=dataclasses.replace(job.stack, notices=tuple(told))))
    assert f"7 mm² of red; 2 mm² of tan{why}" in said
    apart = [told[0], dataclasses.replace(told[1], message="none of tan prints", ending="")]
    said = first_page(replaced(job, stack=dataclasses.replace(job.stack, notices=tuple(apart))))
    assert told[0].message in said and "none of tan prints" in said


def test_every_notice_ends_in_the_ending_that_it_has_in_common(job):
    """Of art whose edges recede beside a gap, in two inks: the first page says the reason once, the list in full."""
    art = b"""<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30">
    <path d="M5 10H20V20H5Z" fill="#e03030"/><path d="M20.7 10H30V20H20.7Z" fill="#20a040"/></svg>"""
    made, _ = separate(art, Settings(), "two.svg")
    notices = [notice for notice in made.stack.notices if notice.code == "art-recedes"]
    assert len(notices) == 2 and len({notice.ending for notice in notices}) == 1
    assert all(notice.message.endswith(notice.ending) and len(notice.ending) > 20 for notice in notices)
    page = lxml.html.document_fromstring(write_report(made).decode())
    assert first_page(page).count(notices[0].ending.removeprefix(", ")) == 1
    assert all(text_of(page).count(notice.message) >= 1 for notice in notices)


def test_the_first_page_names_the_screens_in_order_and_what_is_still_to_be_done(page, job):
    said = first_page(page)
    places = [said.index(f"{order} {film.plate.ink} ") for order, film in enumerate(job.films, start=1)]
    assert places == sorted(places)
    assert (
        "1 blocker black 86 (34) · 2 white 110 (43) · " in said
    )  # 34 and 43 by the centimetre, as catalogues pair them
    assert "Test print on the very garment" in said


def test_the_first_page_tells_choke_clearance_and_traps_the_jobs_own_too(page, job):
    told = (job.settings.choke_mm, job.settings.clearance_mm, job.settings.trap_mm)
    assert "White choke; clearance; trap" + "; ".join(map(format_mm, told)) in first_page(page)
    assert "Traps by the job's own table" not in first_page(page)
    pairs = (TrapSetting("gold", "navy", 0.15), TrapSetting("red", "gold", 0.0))
    listed = replaced(job, settings=dataclasses.replace(job.settings, traps=pairs))
    assert "gold into navy 0.15 mm · red into gold none" in first_page(listed)


def test_a_register_that_spoils_nothing_is_told_with_the_turn_that_was_tried(job):
    quiet = dataclasses.replace(job.check, register=())
    said = "by the tolerance of 0.25 mm{} puts ink on cloth"
    assert said.format("") in text_of(replaced(job, check=quiet))
    turned = dataclasses.replace(job.settings, turn_deg=0.3)
    assert said.format(", or turned by 0.3° either way,") in text_of(replaced(job, check=quiet, settings=turned))


def test_art_that_recedes_is_drawn_first_with_its_lost_part_hatched():
    """A square of 10 mm of which the plate leaves out a strip of 0.2 by 10 mm at its left."""
    ink = InkArea("red", "#ff0000", box(0, 0, 10, 10))
    film = Film("03-red.svg", Plate("colour", "red", "#ff0000", box(0.2, 0, 10, 10)), b"")
    notice = Notice("art-recedes", "2.00 mm² stay unprinted", "warning", "red", (0.1, 5.0))
    (picture,) = receding_closeups(Design(10.0, 10.0, (ink,)), (film,), (notice,))
    drawn = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", picture.spoilt)]
    assert set(drawn) == {0.0, 0.2, 3.5, 6.5}, "the strip's own edges, and those of the picture"
    assert picture.at_mm == notice.at_mm
    assert notice.message in picture.caption
    assert remark_closeups((notice,)) == (), "and not a second time"


def test_a_dark_ink_is_told_from_the_blocker_close_up():
    """Black lettering on a black blocker: a black edge on it would not be seen, and a white one is the blocker's."""
    art = b"""<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30">
    <path d="M5 10H35" stroke="#000" stroke-width=".3"/><path d="M5 20H35" stroke="#fc0" stroke-width=".3"/></svg>"""
    job, files = separate(art, Settings(), "lines.svg")
    page = lxml.html.document_fromstring(files["stacking-report.html"].decode())
    spot = page.find_class("closeups")[-1].find(".//svg")
    edges = [use.get("stroke") for use in spot.iter("use")]
    assert [film.plate.ink for film in job.films] == ["blocker black", "yellow", "black"]
    assert edges == ["#fff", "#111", "#999"]


def test_what_recedes_of_a_second_white_is_held_against_the_plate_that_prints_it():
    """By its own name, `lighter white`, no plate was found, and all of it was hatched as lost."""
    art = b"""<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30">
    <path d="M2 2H12V6H2Z" fill="#f5f5f5"/><path d="M5 10H20V20H5Z M20.7 10H30V20H20.7Z" fill="#fff"/></svg>"""
    made, _ = separate(art, Settings(), "whites.svg")
    notices = [notice for notice in made.stack.notices if notice.code in ("art-recedes", "prints-as-white")]
    assert len(notices) == 2
    assert {notice.plate for notice in notices} == {"white"}
    (recedes,) = [notice for notice in notices if notice.code == "art-recedes"]
    assert "of lighter white #ffffff, stay" in recedes.message
    (picture,) = receding_closeups(made.design, made.films, notices)
    lost = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", picture.spoilt)]
    assert 19 < min(lost[::2]) < max(lost[::2]) < 22, "only beside the gap at 20 to 20.7 mm"


def test_the_press_sheet_is_one_page_with_all_that_a_press_needs(page, job):
    (sheet,) = page.find_class("press-sheet")
    rows = [text_of(row) for row in sheet.find_class("order")[0].iter("tr")][1:]
    assert len(rows) == len(job.films)
    for row, film in zip(rows, job.films, strict=True):
        assert film.file in row
        assert "yes" in row
    wet = dataclasses.replace(job.settings, press=PressSetting(flash_colours=False))
    wet_page = replaced(job, settings=wet, press=plan_press(job.stack, wet))
    flashed = [text_of(row) for row in wet_page.find_class("order")[0].iter("tr")][1:]
    assert ["yes" in row for row in flashed] == [film.plate.role != "colour" for film in job.films]
    assert "wet on wet, light to dark." in text_of(wet_page.find_class("press-sheet")[0])
    ordered = dataclasses.replace(wet, print_order=(job.films[-1].plate.hex,))
    assert "wet on wet, in the job's own order." in text_of(
        replaced(job, settings=ordered, press=plan_press(job.stack, ordered))
    )
    assert "highlight" not in text_of(wet_page)


@pytest.mark.parametrize(
    ("heads", "said", "flashed"),
    [
        (None, "flashed once before the highlight white", True),
        (7, "prints on wet colours: the press has no head for a flash", False),
    ],
)
def test_the_press_sheet_tells_what_a_highlight_white_over_wet_colours_needs(small_art, heads, said, flashed):
    """Blocker, white, two colours and the highlight: wet on wet without cool-downs 7 heads, with a flash 8."""
    press = PressSetting(flash_colours=False, cooldown=False, heads=heads)
    job, _ = separate(small_art, Settings(highlight_white=True, press=press), "small.svg")
    page = lxml.html.document_fromstring(write_report(job).decode())
    sheet = page.find_class("press-sheet")[0]
    assert said in text_of(sheet)
    assert "common practice, no source" in text_of(sheet) and "published trade articles" in text_of(sheet)
    rows = [text_of(row) for row in sheet.find_class("order")[0].iter("tr")][1:]
    assert ["yes" in row for row in rows] == [True, True, False, flashed, False]
    assert ("wet-highlight" in text_of(page)) == (not flashed)


def test_a_garment_that_the_job_does_not_tell_is_not_made_up(job):
    unknown = replaced(job, settings=dataclasses.replace(job.settings, garment_hex=Settings().garment_hex))
    assert "a garment not named, its colour not given" in text_of(unknown)
    assert "on a dark cloth, for the job does not give the garment's colour" in text_of(unknown)
    told = dataclasses.replace(job.settings, garment_name="red shirt")
    known = replaced(job, settings=told)
    assert "red shirt" in text_of(known)
    assert ("not given" in text_of(known), "does not give" in text_of(known)) == (False, False)


def test_the_press_sheet_tells_how_large_the_print_is(page):
    """By hand: from the ring at 9, 7 mm to 80, 53 mm, and the blocker's 0.4 mm around it."""
    assert "measures 71.8 × 46.8 mm, width × height" in text_of(page.find_class("press-sheet")[0])


@pytest.mark.parametrize(
    ("garment", "said"),
    [
        (GarmentSetting(), "this stack is just that"),
        (GarmentSetting("polyester", "solid"), "let a bench test of this garment speak for it first"),
        (GarmentSetting("polyester", "solid", 4.5), "the bench test speaks for it"),
    ],
)
def test_what_the_garments_risk_means_for_this_stack_is_said(job, garment, said):
    settings = dataclasses.replace(job.settings, garment=garment)
    text = text_of(replaced(job, settings=settings, press=plan_press(job.stack, settings)))
    assert said in text
    assert ("A saving is possible" in text) == (garment != GarmentSetting())


def test_a_blocker_alone_is_not_called_a_blocker_with_white():
    black = b'<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm"><path d="M9 9h60v60H9z"/></svg>'
    for merged, said in ((True, "counts as that: nothing prints above its blocker"), (False, "is just that")):
        _, files = separate(black, Settings(merge_black=merged), "tank.svg")
        text = text_of(lxml.html.fromstring(files["stacking-report.html"]))
        assert f"This calls for blocker with white, and this stack {said}." in text


def test_a_turn_that_the_job_sets_is_named_above_what_it_does():
    art = b"""<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100">
    <path d="M5 5h95v90H5z" fill="#c81e28"/><path d="M100 5h95v90h-95z" fill="#14285a"/></svg>"""
    for turn_deg in (0.0, 0.3):
        job, files = separate(art, Settings(turn_deg=turn_deg, trap_mm=0.1), "flag.svg")
        text = text_of(lxml.html.fromstring(files["stacking-report.html"]))
        assert any(case.turn_deg for case in job.check.register if case.area_mm2) == bool(turn_deg)
        assert ("off by the tolerance or lies turned by 0.3° either way, the others" in text) == bool(turn_deg)
        assert ("off by the tolerance, the others in place" in text) != bool(turn_deg)


def test_a_stack_without_white_is_not_called_ordinary_inks_without_a_word_of_its_blocker():
    settings = Settings(
        blocker="grey", white_under_colours=False, garment=GarmentSetting("polyester", "low-energy", 4.5)
    )
    art = b'<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm"><circle r="30" fill="#24407a"/></svg>'
    _, files = separate(art, settings, "tank.svg")
    said = text_of(lxml.html.fromstring(files["stacking-report.html"]))
    assert "calls for ordinary inks, and this stack counts as no more than that: its colours have no white" in said
    assert "this stack is just that" not in said


@pytest.mark.parametrize("run", [None, 1, 250])
def test_ink_is_told_to_the_digits_that_are_known_and_a_run_only_where_there_is_one(job, run):
    settings = dataclasses.replace(job.settings, press=PressSetting(run=run))
    page = replaced(job, settings=settings, press=plan_press(job.stack, settings))
    (table,) = [table for table in page.iter("table") if "One print" in text_of(table)]
    assert ("Run of" in text_of(table)) == (run is not None)
    told = [cell.text for cell in table.xpath("tbody/tr/td[position() > 3]")]
    assert len(told) == len(job.films) * (1 if run is None else 2)
    volumes = [value for ink in job.press.screens for value in (ink.print_cm3, (run or 0) * 1.1 * ink.print_cm3)]
    expected = [told_cm3(volume) for volume in volumes if volume]
    assert told == expected


@pytest.mark.parametrize(
    ("volume", "told"),
    [(2.809, "2.8"), (0.035, "0.035"), (683.8, "680"), (9.96, "10"), (0.0019, "0.002"), (0.0004, "under 0.001")],
)
def test_a_volume_of_ink_is_told_to_two_digits_and_never_as_nothing(volume, told):
    assert told_cm3(volume) == told


def test_a_stack_weaker_than_the_garment_asks_for_is_said_to_be(job):
    weak = dataclasses.replace(job.press, has="ordinary inks")
    assert "weaker than the garment asks for" in text_of(replaced(job, press=weak))


def test_a_name_in_the_margin_of_the_pages_cannot_end_its_text(job):
    style = replaced(job, job_name='a"; } </style><b>é').find("head/style").text
    (content,) = re.findall(r'@top-left \{ content: "([^"]*)"', style)
    assert content == css_text('a"; } </style><b>é')
    assert set(content) <= set("abcdefghijklmnopqrstuvwxyz0123456789\\ ")
    (value,) = tinycss2.parse_component_value_list(f'"{content}"')
    assert value.value == 'a"; } </style><b>é'
    assert "counter(page)" in style
