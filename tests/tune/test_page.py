"""The page in a real browser: what it draws is what was made, and what it says of it is so."""

import multiprocessing
import re
import time
from dataclasses import replace
from functools import partial

import pytest
from disc import YELLOW_BY_BLACK
from serving import serving
from sight import SHOWN, drawn, per_mm, text, window

from vectorsep.api import read_design
from vectorsep.errors import SettingsError
from vectorsep.films.proof import shown_on_blocker
from vectorsep.job import read_job
from vectorsep.tune import LightTable


def test_what_is_drawn_are_the_plates_that_were_made(page, table):
    asked = page.run("state.looked.window")
    look = table.look({"window": ",".join(f"{mm:.4f}" for mm in asked)})
    assert [plate["path"] for plate in look["plates"]] == [drawn(page, plate["name"]) for plate in look["plates"]]
    shown = page.run("[...document.querySelectorAll('#plates bdi')].map((name) => name.textContent)")
    assert shown == [plate["name"] for plate in look["plates"]] == ["blocker black", "white", "red"]


def test_every_ink_is_seen_where_it_is_printed(page):
    page.run("document.getElementById('edges').click()")
    picture = page.picture()
    dark = shown_on_blocker("#c81e28", "#1c1c1e", "black")  # where the white is choked
    for x_mm, colour in ((52, "#202024"), (50.2, "#1c1c1e"), (49.85, dark), (49.6, "#c81e28"), (47, "#c81e28")):
        assert seen(page, picture, x_mm) == colour
    page.run("document.querySelectorAll('#plates input')[2].click()")  # without red: white, choked by 0.3 mm
    picture = page.picture()
    assert [seen(page, picture, x_mm) for x_mm in (49.8, 49.6)] == ["#1c1c1e", "#ffffff"]


def seen(page, picture, x_mm):
    """The colour of the page at a place on the disc's middle line."""
    left, top, *_ = window(page)
    box = page.run("(({left, top}) => [left, top])(document.getElementById('view').getBoundingClientRect())")
    across, down = (round(edge + mm * per_mm(page)) for edge, mm in zip(box, (x_mm - left, 30 - top), strict=True))
    return "#" + "".join(f"{channel:02x}" for channel in picture[down, across])


def test_a_moved_distance_moves_its_plate_and_writes_the_job(page):
    blocker, white = drawn(page, "blocker black"), drawn(page, "white")
    page.set("input[type=range][data-key='white.choke']", "0.38")
    page.wait_for(SHOWN + " && state.looked.distances['white.choke'] === 0.38")
    assert drawn(page, "white") != white
    assert drawn(page, "blocker black") == blocker
    assert page.run("document.getElementById('white.choke').value") == "0.38"
    assert page.run("document.getElementById('job').textContent") == '[white]\nchoke = "0.38mm"'
    page.run("document.getElementById('reset').click()")
    page.wait_for(SHOWN + " && state.looked.distances['white.choke'] === 0.3")
    assert drawn(page, "white") == white
    assert page.run("document.getElementById('job').textContent") == "Nothing moved."


def test_gaps_are_filled_by_a_switch_which_the_job_file_takes(page):
    page.set("[id='blocker.fill_gaps']", "false")
    page.wait_for(SHOWN + " && state.looked.moved.includes('fill_gaps')")
    assert page.run("document.getElementById('job').textContent") == "[blocker]\nfill_gaps = false"
    page.run("document.getElementById('reset').click()")
    page.wait_for(SHOWN + " && !state.looked.moved.includes('fill_gaps')")
    assert page.run("document.getElementById('blocker.fill_gaps').value") == ""


def test_the_lines_are_told_to_go_into_a_section_that_is_there(page):
    """Written below as they stand, they begin the section a second time, which is no TOML."""
    page.set("input[type=range][data-key='white.choke']", "0.38")
    page.wait_for(SHOWN + " && state.looked.distances['white.choke'] === 0.38")
    lines = page.run("document.getElementById('job').textContent")
    assert read_job(lines)["choke_mm"] == 0.38
    with pytest.raises(SettingsError, match="write each section, and each key in it, once"):
        read_job(f"[white]\nmesh = 110\n\n{lines}\n")
    beside = page.run("document.querySelector('#job + p').textContent")
    assert beside.startswith("A section stands in a job file once")


def test_an_emptied_field_is_as_in_the_job_again(page):
    for value, becomes in (("0.7", 0.7), ("", 0.4)):
        page.set("[id='blocker.spread']", value)
        page.wait_for(f"{SHOWN} && state.looked.distances['blocker.spread'] === {becomes}")
    assert page.run("Object.keys(state.moved).length") == 0


def hold_answers(page):
    """From now on each answer waits until `gate` is called."""
    page.run("const answered = fetch; fetch = async (question) => { const answer = await answered(question); "
             "await new Promise((go) => { gate = go; }); return answer; }")  # fmt: skip


def test_no_answer_moves_a_slider_back_that_was_moved_on(page):
    hold_answers(page)
    page.set("input[type=range][data-key='white.choke']", "0.5")
    page.wait_for("window.gate")
    page.set("input[type=range][data-key='white.choke']", "0.6")
    page.run("(() => { const go = gate; gate = null; go(); })()")
    page.wait_for("state.looked.distances['white.choke'] === 0.5")
    assert page.run("document.querySelector('input[type=range][data-key=\"white.choke\"]').value") == "0.6"
    assert page.run("isShown()") is False
    page.wait_for("window.gate")
    page.run("gate()")
    page.wait_for(SHOWN + " && isShown()")
    assert page.run("state.looked.distances['white.choke']") == 0.6


def test_a_look_that_fails_does_not_stop_the_next(page):
    page.run("const draws = drawPlates; drawPlates = () => { drawPlates = draws; throw new Error('once'); }")
    page.set("[id='white.choke']", "0.5")
    page.wait_for("!looks.asking")
    page.set("[id='white.choke']", "0.6")
    page.wait_for(SHOWN + " && state.looked.distances['white.choke'] === 0.6")


def test_a_window_that_comes_back_while_another_is_looked_at_is_seen_again(page):
    page.run("const answered = fetch; fetch = async (...what) => { await new Promise((go) => { gate = go; }); "
             "return answered(...what); }")  # fmt: skip
    page.run("lookAt(30, 10)")
    page.wait_for("window.gate")
    page.run("lookAt(50, 30); fetch = answered; gate()")
    page.wait_for(SHOWN)
    assert page.run("isShown()")


def test_what_is_seen_is_called_old_when_new_plates_take_long(page):
    page.run("const answered = fetch; fetch = async (question) => { await new Promise((go) => { gate = go; }); "
             "return answered(question); }")  # fmt: skip
    page.set("[id='white.choke']", "0.5")
    assert not page.run("view.classList.contains('stale')")
    page.wait_for("view.classList.contains('stale')")
    assert text(page, "told") == "Making the plates…"
    page.run("gate()")
    page.wait_for(SHOWN + " && !view.classList.contains('stale')")


def test_a_slider_reaches_what_the_job_has(browser, table):
    with serving(replace(table, values={"spread_mm": 4.0})) as server:
        browser.open(server.address)
        slider = "document.querySelector('input[type=range][data-key=\"blocker.spread\"]')"
        assert browser.run(f"[{slider}.value, {slider}.max]") == ["4", "4"]


def test_lines_for_the_job_file_are_only_what_can_be_had(page):
    assert page.run("document.getElementById('copy').disabled")
    page.set("[id='white.choke']", "5e-1")
    page.wait_for(SHOWN + " && state.looked.distances['white.choke'] === 0.5")
    assert text(page, "job") == '[white]\nchoke = "0.5mm"'
    assert not page.run("document.getElementById('copy').disabled")
    page.set("[id='blocker.spread']", "50")
    page.wait_for("document.body.dataset.state === 'problem'")
    assert text(page, "job") == "None until the plates can be made."
    assert page.run("document.getElementById('copy').disabled")


def test_lines_for_the_job_file_are_never_of_what_was_moved_before(page):
    lines = "[byId('job').textContent, byId('copy').disabled]"
    page.set("[id='white.choke']", "0.5")
    page.wait_for(SHOWN + " && state.looked.distances['white.choke'] === 0.5")
    page.run("const answered = fetch; fetch = async (question) => { await new Promise((go) => { gate = go; }); "
             "return answered(question); }; gate = null; 0")  # fmt: skip
    page.run("lookAt(30, 10)")
    page.wait_for("view.classList.contains('stale')")
    assert page.run(lines) == ['[white]\nchoke = "0.5mm"', False]  # of another window, and the same distances
    page.set("[id='white.choke']", "0.6")
    assert page.run(lines) == ["None until the plates are made.", True]
    page.set("[id='white.choke']", "0.5")
    page.run("fetch = answered; gate()")
    page.wait_for(SHOWN + " && isShown()")
    page.run("fetch = async (question) => { await new Promise((go) => { gate = go; }); return answered(question); }; 0")
    page.set("[id='blocker.spread']", "0.6")
    page.wait_for("view.classList.contains('stale')")
    assert page.run(lines) == ["None until the plates are made.", True]
    page.run("fetch = answered; gate()")
    page.wait_for(SHOWN + " && isShown()")
    assert page.run(lines) == ['[white]\nchoke = "0.5mm"\n\n[blocker]\nspread = "0.6mm"', False]


def test_an_answer_on_what_was_moved_before_writes_no_lines(page):
    hold_answers(page)
    page.set("[id='white.choke']", "0.5")
    page.wait_for("window.gate")
    page.set("[id='blocker.spread']", "0.6")
    page.run("(() => { const go = gate; gate = null; go(); })()")
    page.wait_for("state.looked.distances['white.choke'] === 0.5")
    assert "spread" not in text(page, "job")
    page.wait_for("window.gate")
    page.run("gate()")
    page.wait_for(SHOWN + " && isShown()")
    assert text(page, "job").endswith('spread = "0.6mm"')


def test_a_clipboard_that_is_closed_leaves_the_lines_marked(page):
    page.set("[id='white.choke']", "0.5")
    page.wait_for(SHOWN + " && state.looked.distances['white.choke'] === 0.5")
    page.run("navigator.clipboard.writeText = () => Promise.reject(new DOMException('no', 'NotAllowedError'))")
    page.run("document.getElementById('copy').click()")
    page.wait_for("document.getElementById('copy').textContent.startsWith('Marked')")
    assert page.run("getSelection().toString()").strip() == '[white]\nchoke = "0.5mm"'


def test_what_cannot_be_is_told_and_the_picture_says_that_it_is_old(page):
    page.set("[id='blocker.spread']", "50")
    page.wait_for("document.body.dataset.state === 'problem'")
    assert text(page, "told") == "50 mm is out of range: give 0 to 10 mm @ blocker.spread"
    assert page.run("document.getElementById('view').classList.contains('stale')")
    page.set("[id='blocker.spread']", "0.5")
    page.wait_for(SHOWN)
    assert not page.run("document.getElementById('view').classList.contains('stale')")


def test_out_of_register_moves_what_lies_above_the_blocker_and_asks_for_nothing(page):
    page.run("fetch = () => { throw new Error('no new plates are needed'); }")
    page.set("#by", "0.25")
    page.set("#towards", "90")
    shifts = page.run("[...document.querySelectorAll('#view [data-plate]')].map("
                      "(group) => [group.dataset.plate, group.getAttribute('transform')])")  # fmt: skip
    assert dict(shifts) == {
        "blocker black": "", "white": "translate(0.0000 0.2500)", "red": "translate(0.0000 0.2500)"
    }  # fmt: skip
    page.set("#slipping", "white")
    assert page.run("document.querySelector('[data-plate=\"red\"]').getAttribute('transform')") == ""
    assert page.run("document.getElementById('direction').textContent") == "down"


@pytest.mark.parametrize(
    ("slipping", "by_mm", "seen_at"),
    [
        ("yellow", 0.0, {49.6: "yellow", 50.15: "dark", 50.4: "black"}),
        ("yellow", 0.2, {49.6: "yellow", 50.15: "dark", 50.4: "dark"}),
        ("white", 0.6, {50.15: "yellow", 50.28: "white", 50.4: "black"}),
        ("", 0.6, {50.15: "yellow", 50.4: "dark"}),
    ],
)
def test_colour_shows_on_black_as_far_as_white_lies_beneath_it(browser, slipping, by_mm, seen_at):
    values = {"merge_black": True, "garment_hex": "#202024", "min_choke_mm": 0.0}  # so that there is a trap
    table = LightTable(
        "b.svg", YELLOW_BY_BLACK.encode(), read_design(YELLOW_BY_BLACK), values, (48.0, 28.0, 52.0, 32.0)
    )
    with serving(table) as server:
        browser.open(server.address)
        browser.run("document.getElementById('edges').click()")
        browser.set("#slipping", slipping)
        browser.set("#by", str(by_mm))
        picture = browser.picture()
    dark = shown_on_blocker("#f2c230", "#1c1c1e", "black")
    hexes = {"yellow": "#f2c230", "dark": dark, "black": "#1c1c1e", "white": "#ffffff"}
    assert {x_mm: seen(browser, picture, x_mm) for x_mm in seen_at} == {x: hexes[name] for x, name in seen_at.items()}


def test_plates_can_be_hidden_one_by_one(page):
    page.run("document.querySelectorAll('#plates input')[2].click()")
    hidden = page.run("[...document.querySelectorAll('#view .off')].map((group) => group.dataset.plate)")
    assert set(hidden) == {"red"}


def test_a_new_look_leaves_the_keyboard_where_it_is(page):
    page.run("document.querySelectorAll('#plates input')[1].focus()")
    page.run("document.activeElement.dataset.mine = 'yes'")
    page.run("lookAt(40, 30)")
    page.wait_for(SHOWN + " && state.looked.window[0] < 36")
    assert page.run("document.activeElement.dataset.mine") == "yes"


def test_a_plate_stays_out_of_register_while_it_is_out_of_sight(page):
    page.set("#by", "0.25")
    page.set("#slipping", "white")
    page.run("lookAt(150, 30)")
    page.wait_for(SHOWN + " && !state.looked.plates.length")
    assert page.run("document.getElementById('slipping').value") == "white"
    page.run("lookAt(50, 30)")
    page.wait_for(SHOWN + " && state.looked.plates.length")
    assert page.run("document.getElementById('slipping').value") == "white"
    assert page.run("document.querySelector('[data-plate=\"white\"]').getAttribute('transform')") != ""
    assert page.run("document.querySelector('[data-plate=\"red\"]').getAttribute('transform')") == ""


def test_a_program_that_was_ended_is_told(page, served):
    served.shutdown()
    served.server_close()
    page.run("fetch = () => Promise.reject(new TypeError('Failed to fetch'))")  # connections that are open live on
    page.set("[id='white.choke']", "0.2")
    page.wait_for("document.body.dataset.state === 'problem'")
    assert "no longer running" in text(page, "told")


def test_nothing_is_called_safe_before_it_is_checked_nor_after_it_is_moved(page):
    assert text(page, "verdict") == "Not checked."
    assert "SAFE" not in page.run("document.body.innerText")
    page.run("document.getElementById('check').click()")
    page.wait_for("!document.getElementById('verdict').textContent.includes('\u2026')")
    assert text(page, "verdict") == "SAFE at a registration tolerance of 0.25 mm, 3 screens"
    page.set("[id='white.choke']", "0.2")
    assert text(page, "verdict") == "Not checked."
    assert page.run("document.querySelectorAll('#remarks li').length") == 0


def test_a_check_lists_what_is_wrong_and_shows_its_place(page):
    page.set("[id='colour.clearance']", "0.05")
    page.set("[id='blocker.spread']", "0.1")
    page.run("document.getElementById('check').click()")
    page.wait_for("document.getElementById('verdict').classList.contains('unsafe')")
    assert text(page, "verdict").startswith("NOT SAFE at a registration tolerance of 0.25 mm")
    page.run("zoom(8, middle())")
    button = "document.querySelector('#remarks button')"
    x, y = map(float, re.fullmatch(r"at ([\d.]+), ([\d.]+) mm", page.run(f"{button}.textContent")).groups())
    page.run(f"{button}.click()")
    left, top, right, bottom = window(page)
    assert ((left + right) / 2, (top + bottom) / 2) == pytest.approx((x, y), abs=0.01)
    assert right - left == pytest.approx(20)


def test_the_same_distances_are_not_checked_twice_at_once(page):
    page.run(
        "asked = []; const fetched = fetch; fetch = (...what) => { asked.push(what[0]); return fetched(...what); }; 0"
    )
    for checks, clicks in ((1, 5), (2, 1)):
        page.run(f"for (let i = 0; i < {clicks}; i++) document.getElementById('check').click()")
        page.wait_for("!document.getElementById('verdict').textContent.includes('\u2026')")
        assert page.run("asked.filter((what) => what.startsWith('check')).length") == checks


@pytest.fixture
def endless_check(monkeypatch):
    monkeypatch.setattr(LightTable, "check", lambda *_: partial(time.sleep, 600))


@pytest.mark.parametrize(
    "called_off_by",
    [
        "byId('call-off').click()",
        "setDistance('white.choke', '0.2')",
        "location.hash = 'white.choke=0.2'",
        "location.reload()",
    ],
)
def test_a_check_that_is_called_off_ends_and_tells_nothing(page, endless_check, called_off_by):
    assert page.run("byId('call-off').hidden")
    page.run("document.getElementById('check').click()")
    page.wait_for("byId('lasts').textContent === '1 s'")
    assert len(multiprocessing.active_children()) == 1
    assert not page.run("byId('call-off').hidden")
    page.run(called_off_by)
    patience = time.monotonic() + 20
    while multiprocessing.active_children():
        assert time.monotonic() < patience
        time.sleep(0.01)
    page.wait_for(SHOWN)
    assert text(page, "verdict") == "Not checked."
    assert page.run("byId('call-off').hidden && byId('lasts').hidden")


def test_distances_can_be_moved_and_seen_while_others_are_checked(page, endless_check):
    page.run("document.getElementById('check').click()")
    page.run("lookAt(30, 10)")
    page.wait_for(SHOWN + " && isShown()")
    assert text(page, "verdict") == "Making and checking the films…"
    page.set("[id='white.choke']", "0.2")
    page.wait_for(SHOWN + " && state.looked.distances['white.choke'] === 0.2")
    assert text(page, "verdict") == "Not checked."


def test_the_verdict_on_distances_that_were_moved_meanwhile_is_not_told(page):
    page.run(
        "const answered = fetch; fetch = async (what, how) => { const isCheck = what.startsWith('check');"
        "const answer = await answered(what, isCheck ? {} : how); if (isCheck) checked = true; return answer; }; 0"
    )
    page.run("document.getElementById('check').click()")
    page.set("[id='white.choke']", "0.2")
    page.wait_for(SHOWN + " && window.checked")
    assert text(page, "verdict") == "Not checked."


def test_a_check_of_what_cannot_be_is_no_check(page):
    page.set("[id='blocker.spread']", "50")
    page.run("document.getElementById('check').click()")
    page.wait_for("document.querySelectorAll('#remarks li').length")
    assert text(page, "verdict") == "Not checked."


def test_all_that_is_pressed_is_large_enough(page):
    """24 by 24 pixels (WCAG 2.2, 2.5.8); a box that is ticked is pressed by its label too."""
    small = page.run(
        """[...document.querySelectorAll("button, input, select")].filter(field => field.offsetParent)
        .map(field => field.type === "checkbox" ? field.closest("label") : field)
        .filter(field => field.getBoundingClientRect().width < 24 || field.getBoundingClientRect().height < 24)
        .map(field => field.outerHTML)"""
    )
    assert small == []
