"""Moving, zooming and measuring in a real browser are true to scale, by pointer, wheel and keyboard, at any size."""

import re
from itertools import combinations

import pytest
from browser import HEIGHT_PX, WIDTH_PX
from disc import RADIUS_MM
from sight import MIDDLE, SHOWN, drawn, per_mm, text, window


def test_the_first_look_holds_the_window_that_was_asked_for(page):
    left, top, right, bottom = window(page)
    assert (left <= 45, top <= 25, right >= 55, bottom >= 35) == (True,) * 4
    assert per_mm(page) == pytest.approx(page.run("document.getElementById('view').clientHeight") / (bottom - top))


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
    length = float(re.fullmatch(r"([\d.]+) mm measured", text(page, "measured"))[1])
    assert length == pytest.approx(150 / scale, abs=1 / scale)
    assert window(page) == seen


def test_what_was_measured_stays_until_it_is_ended(page):
    page.drag((500, 300), (590, 420), shift=True)
    measured = text(page, "measured")
    page.hover(700, 300)
    page.set("[id='white.choke']", "0.2")
    page.wait_for(SHOWN + " && state.looked.distances['white.choke'] === 0.2")
    assert (text(page, "measured"), page.run("view.querySelectorAll('.ruler').length")) == (measured, 1)
    assert re.match(r"[\d.]+, [\d.]+ mm", text(page, "cursor"))
    page.run("view.focus()")
    page.press("Escape")
    assert (text(page, "measured"), page.run("view.querySelectorAll('.ruler').length")) == ("", 0)


def test_only_the_main_button_drags(page):
    seen = window(page)
    page.drag(MIDDLE, (MIDDLE[0] - 120, MIDDLE[1] + 75), button="right")
    page.hover(MIDDLE[0] + 50, MIDDLE[1])
    assert window(page) == seen


def test_a_drag_that_is_taken_away_ends(page):
    """As by a menu, or another window; the pointer is then let go of where nobody looks."""
    page.run(
        "view.addEventListener('pointermove', (event) => view.releasePointerCapture(event.pointerId), {once: true})"
    )
    page.drag(MIDDLE, (100, 300))
    seen = window(page)
    page.run("view.dispatchEvent(new PointerEvent('pointermove', {clientX: 900, clientY: 90, buttons: 1}))")
    assert window(page) == seen


def test_the_keyboard_moves_and_zooms_and_leaves_the_browser_its_own(page):
    page.run("view.focus()")
    left, top, right, _ = window(page)
    page.press("ArrowRight")
    page.press("ArrowDown")
    assert window(page)[:2] == pytest.approx([left + (right - left) / 10, top + (right - left) / 10])
    across = window(page)[2] - window(page)[0]
    page.press("-", control=True)
    assert window(page)[2] - window(page)[0] == pytest.approx(across)
    page.press("-")
    assert window(page)[2] - window(page)[0] == pytest.approx(1.25 * across)


def test_a_wheel_pushed_to_the_side_changes_nothing(page):
    page.run("view.addEventListener('wheel', () => { turned = true; }, {once: true})")
    seen = window(page)
    page.wheel(MIDDLE, 0, across=100)
    page.wait_for("window.turned")
    assert window(page) == pytest.approx(seen)


def test_a_trackpad_zooms_as_little_as_it_is_moved(page):
    scale = per_mm(page)
    page.wheel(MIDDLE, -10)
    page.wait_for(f"view.clientWidth / (state.window[2] - state.window[0]) > {1.0001 * scale}")
    assert per_mm(page) / scale == pytest.approx(1.25**0.1)


def test_a_window_that_was_high_for_a_while_is_seen_as_before(page):
    seen = window(page)
    for size in ((500, 1200), (WIDTH_PX, 300), (WIDTH_PX, HEIGHT_PX)):
        page.resize(*size)
        wide, high = "(state.window[2] - state.window[0])", "(state.window[3] - state.window[1])"
        page.wait_for(f"innerWidth === {size[0]} && innerHeight === {size[1]} && {SHOWN} && "
                      f"Math.abs(view.clientWidth / view.clientHeight - {wide} / {high}) < 0.001")  # fmt: skip
    assert window(page) == pytest.approx(seen)


WINDOWS = [
    ((1600, 1000), True),
    ((1280, 360), True),
    ((860, 390), True),
    ((720, 500), True),
    ((640, 450), False),
    ((640, 360), False),
    ((360, 640), False),
    ((360, 480), False),
]
"""Sizes (pixels), and whether the panel stands beside the view. Zoomed to 200 %, a page has half of its pixels."""


@pytest.mark.parametrize(("size", "panel"), WINDOWS)
def test_what_is_told_hides_nothing_else(page, size, panel):
    page.resize(*size)
    page.drag((size[0] - 150, 150), (size[0] - 50, 200), shift=True)
    page.hover(size[0] - 100, 160)
    page.run("lookAtPage()")
    page.wait_for(SHOWN + " && isShown() && state.peeked && !peeks.asking")
    boxes = page.run("""['told', 'scale', 'measured', 'cursor', 'caution', 'nearer', 'farther', 'whole', 'measuring',
                         'under-loupe'].map((id) => {
        const {left, top, right, bottom} = document.getElementById(id).getBoundingClientRect();
        return [left, top, right, bottom];
    })""")
    left, top, right, bottom = page.run("(({left, top, right, bottom}) => [left, top, right, bottom])("
                                        "document.querySelector('main').getBoundingClientRect())")  # fmt: skip
    assert (left > 0) is panel
    for box in boxes:
        assert left <= box[0] < box[2] <= right
        assert top <= box[1] < box[3] <= bottom
    for one, other in combinations(boxes, 2):
        assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


def test_one_finger_moves_the_design(page):
    left, top, *_ = window(page)
    scale = per_mm(page)
    page.touch([MIDDLE], [(MIDDLE[0] - 60, MIDDLE[1])], [(MIDDLE[0] - 120, MIDDLE[1] + 75)])
    assert window(page)[:2] == pytest.approx([left + 120 / scale, top - 75 / scale], abs=1 / scale)


def test_two_fingers_keep_what_is_under_each_of_them(page):
    """Moved apart to twice the distance, and to a side."""
    starts, ends = [(500, 300), (600, 300)], [(550, 400), (750, 400)]
    before = [place_at(page, *start) for start in starts]
    scale = per_mm(page)
    page.touch(starts, [(520, 350), (670, 350)], ends)
    assert per_mm(page) == pytest.approx(2 * scale)
    assert [place_at(page, *end) for end in ends] == [pytest.approx(place, abs=0.001) for place in before]


def place_at(page, x, y):
    return page.run(f"pointAt({{clientX: {x}, clientY: {y}}})")


def test_a_finger_that_comes_or_goes_moves_nothing(page):
    left, top, right, bottom = window(page)
    shift = 20 / per_mm(page)
    page.fingers("touchStart", {0: (500, 300)})
    page.fingers("touchMove", {0: (500, 300), 1: (650, 420)})
    page.fingers("touchEnd", {0: (500, 300)})
    page.fingers("touchMove", {1: (630, 420)})
    page.fingers("touchEnd", {})
    assert window(page) == pytest.approx([left + shift, top, right + shift, bottom])


@pytest.mark.parametrize(("first", "last", "limit"), [(2, 220, "NEAREST"), (220, 2, "FARTHEST")])
def test_fingers_go_no_nearer_nor_farther_than_the_wheel(page, first, last, limit):
    for _ in range(3):
        page.touch(*([(640 - apart, 300), (640 + apart, 300)] for apart in (first, last)))
    left, _, right, _ = window(page)
    assert right - left == pytest.approx(page.run(limit))


def test_a_finger_measures_once_it_is_told_to_and_a_second_one_ends_that(page):
    scale, seen = per_mm(page), window(page)
    page.run("byId('measuring').click()")
    page.touch([(500, 300)], [(590, 420)])
    length = float(re.fullmatch(r"([\d.]+) mm measured", text(page, "measured"))[1])
    assert length == pytest.approx(150 / scale, abs=1 / scale)
    assert window(page) == seen
    page.touch([(500, 300)], [(500, 300), (600, 300)], [(500, 300), (700, 300)])
    assert text(page, "measured") == ""
    assert per_mm(page) == pytest.approx(2 * scale)


def test_the_keyboard_measures_from_the_middle_to_the_middle(page):
    page.run("view.focus()")
    left, _, right, _ = window(page)
    for key in "M", "ArrowRight", "ArrowRight", "ArrowDown":
        page.press(key)
    page.press("ArrowRight", shift=True)
    page.press("m")
    measured = float(re.fullmatch(r"([\d.]+) mm measured", text(page, "measured"))[1])
    assert measured == pytest.approx((right - left) * (0.205**2 + 0.1**2) ** 0.5, abs=0.001)
    page.press("ArrowLeft")
    assert text(page, "measured") == f"{measured:.3f} mm measured"
    page.press("Escape")
    assert text(page, "measured") == ""


def test_a_key_goes_to_the_nearest_edge(page):
    page.run("lookAt(49, 30); view.focus()")
    page.wait_for(SHOWN + " && isShown()")
    page.press("e")
    left, _, right, _ = window(page)
    assert (left + right) / 2 == pytest.approx(49.7, abs=0.002)  # the white's


@pytest.mark.parametrize("how", ["byId('whole').click()", "view.focus()", "byId('map').focus()"])
def test_the_whole_page_is_one_step_away_and_nothing_lies_over_it(page, how):
    page.run(how)
    if "focus" in how:
        page.press("0")
    left, top, right, bottom = window(page)
    assert left <= 0
    assert top <= 0
    assert right >= 60
    shown_to = page.run("byId('caution').getBoundingClientRect().top / view.clientHeight")
    assert top + (bottom - top) * shown_to >= 60


def test_the_map_is_steered_by_keys_and_by_dragging(page):
    page.run("byId('map').focus()")
    left, top, right, bottom = window(page)
    page.press("ArrowLeft")
    assert window(page) == pytest.approx([2 * left - right, top, left, bottom])
    x, y, across, down = page.run(
        "(({x, y, width, height}) => [x, y, width, height])(byId('map').getBoundingClientRect())"
    )
    middle = (x + across / 2, y + down / 2)
    page.drag((middle[0] + 20, middle[1]), middle)
    left, top, right, bottom = window(page)
    assert ((left + right) / 2, (top + bottom) / 2) == pytest.approx((30, 30), abs=0.5)


def test_where_the_keyboard_is_and_what_it_measures_is_told_to_those_who_listen(page):
    page.run("lookAt(48, 30); view.focus()")
    page.press("m")
    page.run("lookAt(50, 30)")
    page.wait_for("byId('spoken').textContent")
    assert text(page, "spoken") == (
        "50.00, 30.00 mm: edge of red; blocker black reaches 0.40 mm past it; white stops 0.30 mm short of it; "
        "2.000 mm measured"
    )
    assert page.run("byId('spoken').getAttribute('role')") == "status"
    page.set("[id='blocker.spread']", "50")
    page.wait_for("document.body.dataset.state === 'problem'")
    assert text(page, "spoken") == "50 mm is out of range: give 0 to 10 mm @ blocker.spread"


def test_what_is_told_of_a_place_waits_for_its_plates(page):
    page.run("const answered = fetch; fetch = async (...what) => { await new Promise((go) => { gate = go; }); "
             "return answered(...what); }")  # fmt: skip
    page.run("lookAt(30, 10)")
    page.wait_for("isUnspoken")
    assert text(page, "spoken") == ""
    page.run("gate()")
    page.wait_for("byId('spoken').textContent")
    assert text(page, "spoken").startswith("30.00, 10.00 mm: edge of red")


def test_the_cross_of_the_keyboard_is_where_it_measures(page):
    cross = "[...view.querySelectorAll('.marks line.mark')].map((line) => line.getAttribute('x1')).length"
    page.run("lookAt(45, 30)")  # no edge there
    assert page.run(cross) == 0
    page.run("view.focus()")
    assert page.run(cross) == 2
    page.hover(*MIDDLE)
    assert page.run(cross) == 0


@pytest.mark.parametrize("place", ["30.00, 10.00", "at 30.00, 10.00 mm", "30;10."])
def test_a_place_from_a_warning_is_looked_at(page, place):
    page.set("#at", place)
    page.run("document.querySelector('#place button').click()")
    page.wait_for(SHOWN)
    left, top, right, bottom = window(page)
    assert ((left + right) / 2, (top + bottom) / 2) == pytest.approx((30, 10))
    assert drawn(page, "blocker black")


@pytest.mark.parametrize("place", ["", "30", "30,5 20,5", "left, top", "1, 99999999999"])
def test_what_is_no_place_is_not_looked_at(page, place):
    seen = window(page)
    page.set("#at", place)
    page.run("document.querySelector('#place button').click()")
    assert text(page, "told") == "Write a place as two numbers of millimetres, such as 23.4, 55.1"
    assert window(page) == seen


def test_the_address_brings_back_what_was_looked_at(browser, served):
    browser.open(f"{served.address}#window=48,28,52,32&white.choke=0.45")
    assert browser.run("state.looked.distances['white.choke']") == 0.45
    left, _, right, _ = window(browser)
    assert (left + right) / 2 == pytest.approx(50)
    assert right - left < RADIUS_MM


@pytest.mark.parametrize(
    "held", ["window=oops", "window=0,0,1e9,1e9", "window=1e300,0,2e300,1", "white.choke=wide&nothing=1&white.choke="]
)
def test_an_address_that_was_spoiled_does_no_harm(browser, served, held):
    browser.open(f"{served.address}#{held}")
    assert browser.run(SHOWN)
    assert browser.run("Object.keys(state.moved).length") == 0
    assert window(browser)[2] - window(browser)[0] <= 100


def test_an_address_given_to_the_open_page_is_looked_at(page):
    page.run("location.hash = '#window=28,8,32,12&blocker.spread=0.7'")
    page.wait_for(SHOWN + " && state.looked.distances['blocker.spread'] === 0.7")
    left, _, right, _ = window(page)
    assert (left + right) / 2 == pytest.approx(30)
    assert page.run("document.getElementById('blocker.spread').value") == "0.7"


def test_a_browser_that_refuses_to_change_the_address_stops_nothing(page):
    """Some do, when it changes at every move of the pointer."""
    page.run("history.replaceState = () => { throw new DOMException('too often', 'SecurityError'); }")
    page.run("lookAt(30, 10)")
    page.wait_for(SHOWN + " && state.looked.window[1] < 10 && state.looked.window[3] > 10")
    page.run("lookAt(30, 50)")
    page.wait_for(SHOWN + " && state.looked.window[3] > 50")


def test_the_address_changes_once_for_many_moves(page):
    page.run("changes = 0; history.replaceState = () => { changes += 1; }")
    page.run("for (let i = 0; i < 50; i++) lookAt(50 + i / 100, 30)")
    page.wait_for("changes")
    assert page.run("changes") == 1
