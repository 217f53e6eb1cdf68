"""The page in a real browser: what it draws is what was made, and moving, zooming and measuring are true to scale."""

import json
import re

import pytest
from disc import RADIUS_MM

SHOWN = "document.body.dataset.state === 'shown' && !asking"
MIDDLE = (640, 350)
"""A point (pixels) well inside the view."""


@pytest.fixture
def page(browser, served):
    browser.open(served.address)
    assert browser.run(SHOWN)
    return browser


def window(page):
    return page.run("state.window")


def per_mm(page):
    """Pixels a millimetre."""
    left, _, right, _ = window(page)
    return page.run("document.getElementById('view').clientWidth") / (right - left)


def drawn(page, name):
    """The path data of a plate on the page."""
    return page.run(f"document.querySelector('#view [data-plate={json.dumps(name)}] path')?.getAttribute('d')")


def told(page):
    return page.run("document.getElementById('told').textContent")


def test_what_is_drawn_are_the_plates_that_were_made(page, table):
    asked = page.run("state.looked.window")
    look = table.look({"window": ",".join(f"{mm:.4f}" for mm in asked)})
    assert [plate["path"] for plate in look["plates"]] == [drawn(page, plate["name"]) for plate in look["plates"]]
    shown = page.run("[...document.querySelectorAll('#plates bdi')].map((name) => name.textContent)")
    assert shown == [plate["name"] for plate in look["plates"]] == ["blocker black", "white", "red"]


def test_every_ink_is_seen_where_it_is_printed(page):
    page.run("document.getElementById('edges').click()")
    picture = page.picture()
    for x_mm, colour in ((52, "#202024"), (50.2, "#1c1c1e"), (49.85, "#c81e28"), (47, "#c81e28")):
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


def test_the_first_look_holds_the_window_that_was_asked_for(page):
    left, top, right, bottom = window(page)
    assert (left <= 45, top <= 25, right >= 55, bottom >= 35) == (True,) * 4
    assert per_mm(page) == pytest.approx(page.run("document.getElementById('view').clientHeight") / (bottom - top))


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


def test_an_emptied_field_is_as_in_the_job_again(page):
    for value, becomes in (("0.7", 0.7), ("", 0.4)):
        page.set("[id='blocker.spread']", value)
        page.wait_for(f"{SHOWN} && state.looked.distances['blocker.spread'] === {becomes}")
    assert page.run("Object.keys(state.moved).length") == 0


def test_what_cannot_be_is_told_and_the_picture_says_that_it_is_old(page):
    page.set("[id='blocker.spread']", "50")
    page.wait_for("document.body.dataset.state === 'problem'")
    assert told(page) == "50 mm is out of range: give 0 to 10 mm @ blocker.spread"
    assert page.run("document.getElementById('view').classList.contains('stale')")
    page.set("[id='blocker.spread']", "0.5")
    page.wait_for(SHOWN)
    assert not page.run("document.getElementById('view').classList.contains('stale')")


def test_dragging_moves_the_design_with_the_pointer(page):
    left, top, *_ = window(page)
    scale = per_mm(page)
    page.drag(MIDDLE, (MIDDLE[0] - 120, MIDDLE[1] + 75))
    page.wait_for(SHOWN)
    assert window(page)[:2] == pytest.approx([left + 120 / scale, top - 75 / scale], abs=1 / scale)
    seen, made = window(page), page.run("state.looked.window")
    assert made[0] <= seen[0] < seen[2] <= made[2]


def test_the_wheel_keeps_what_is_under_the_pointer(page):
    at = (500, 200)
    place = f"pointAt({{clientX: {at[0]}, clientY: {at[1]}}})"
    before, scale = page.run(place), per_mm(page)
    page.wheel(at, -100)
    page.wait_for(f"view.clientWidth / (state.window[2] - state.window[0]) > {1.1 * scale}")
    assert page.run(place) == pytest.approx(before, abs=0.001)


def test_shift_and_drag_measure(page):
    scale, seen = per_mm(page), window(page)
    page.drag((500, 300), (500 + 90, 300 + 120), shift=True)
    length = float(re.fullmatch(r"([\d.]+) mm", page.run("document.getElementById('cursor').textContent"))[1])
    assert length == pytest.approx(150 / scale, abs=1 / scale)
    assert window(page) == seen


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


def test_a_place_from_a_warning_is_looked_at(page):
    page.set("#at", "30.00, 10.00 mm".removesuffix(" mm"))
    page.run("document.querySelector('#place button').click()")
    page.wait_for(SHOWN)
    left, top, right, bottom = window(page)
    assert ((left + right) / 2, (top + bottom) / 2) == pytest.approx((30, 10))
    assert drawn(page, "blocker black")


def test_plates_can_be_hidden_one_by_one(page):
    page.run("document.querySelectorAll('#plates input')[2].click()")
    hidden = page.run("[...document.querySelectorAll('#view .off')].map((group) => group.dataset.plate)")
    assert set(hidden) == {"red"}


def test_the_address_brings_back_what_was_looked_at(browser, served):
    browser.open(f"{served.address}#window=48,28,52,32&white.choke=0.45")
    assert browser.run("state.looked.distances['white.choke']") == 0.45
    left, _, right, _ = window(browser)
    assert (left + right) / 2 == pytest.approx(50)
    assert right - left < RADIUS_MM
    browser.open(f"{served.address}#window=oops")
    assert browser.run(SHOWN)


def test_a_program_that_was_ended_is_told(page, served):
    served.shutdown()
    served.server_close()
    page.run("fetch = () => Promise.reject(new TypeError('Failed to fetch'))")  # connections that are open live on
    page.set("[id='white.choke']", "0.2")
    page.wait_for("document.body.dataset.state === 'problem'")
    assert "no longer running" in told(page)


def test_nothing_is_called_safe_before_it_is_checked_nor_after_it_is_moved(page):
    assert verdict(page) == "Not checked."
    assert "SAFE" not in page.run("document.body.innerText")
    page.run("document.getElementById('check').click()")
    page.wait_for("!document.getElementById('verdict').textContent.includes('\u2026')")
    assert verdict(page) == "SAFE at a registration tolerance of 0.25 mm, 3 screens"
    page.set("[id='white.choke']", "0.2")
    assert verdict(page) == "Not checked."
    assert page.run("document.querySelectorAll('#remarks li').length") == 0


def test_a_check_lists_what_is_wrong_and_shows_its_place(page):
    page.set("[id='colour.clearance']", "0.05")
    page.set("[id='blocker.spread']", "0.1")
    page.run("document.getElementById('check').click()")
    page.wait_for("document.getElementById('verdict').classList.contains('unsafe')")
    assert verdict(page).startswith("NOT SAFE at a registration tolerance of 0.25 mm")
    page.run("zoom(8, middle())")
    button = "document.querySelector('#remarks button')"
    x, y = map(float, re.fullmatch(r"at ([\d.]+), ([\d.]+) mm", page.run(f"{button}.textContent")).groups())
    page.run(f"{button}.click()")
    left, top, right, bottom = window(page)
    assert ((left + right) / 2, (top + bottom) / 2) == pytest.approx((x, y), abs=0.01)
    assert right - left == pytest.approx(20)


def test_a_check_of_what_cannot_be_is_no_check(page):
    page.set("[id='blocker.spread']", "50")
    page.run("document.getElementById('check').click()")
    page.wait_for("document.querySelectorAll('#remarks li').length")
    assert verdict(page) == "Not checked."


def verdict(page):
    return page.run("document.getElementById('verdict').textContent")
