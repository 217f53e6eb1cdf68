"""Distances between the plates' edges that the page tells are those that were asked for, of a disc of known edges."""

import json

import pytest
from sight import SHOWN, per_mm, text, window

VIEW_TOP_LEFT = "(({left, top}) => [left, top])(document.getElementById('view').getBoundingClientRect())"


def pointed_at(page, x_mm, y_mm=30.0):
    """What is told with the pointer at a place of the design."""
    left, top, *_ = window(page)
    page_left, page_top = page.run(VIEW_TOP_LEFT)
    page.hover(page_left + (x_mm - left) * per_mm(page), page_top + (y_mm - top) * per_mm(page))
    return text(page, "cursor").partition(" mm: ")[2]


def marked(page):
    """The lines between edges that are drawn, as [x1, y1, x2, y2] in mm."""
    return page.run("[...view.querySelectorAll('.marks line.mark')].map("
                    "(line) => ['x1', 'y1', 'x2', 'y2'].map((end) => Number(line.getAttribute(end))))")  # fmt: skip


def test_the_edge_that_is_pointed_at_is_told_with_how_far_the_others_lie_from_it(page):
    assert pointed_at(page, 50.0) == (
        "edge of red; blocker black reaches 0.40 mm past it; white stops 0.30 mm short of it"
    )
    ends = sorted(round(x2, 2) for _, _, x2, _ in marked(page))
    assert ends == [49.7, 50.4]
    assert pointed_at(page, 50.4).startswith("edge of blocker black; white stops 0.70 mm short of it; red stops 0.40")
    assert pointed_at(page, 49.7).startswith("edge of white; blocker black reaches 0.70 mm past it; red reaches 0.30")


def test_it_tells_the_distances_that_were_moved(page):
    page.set("[id='white.choke']", "0.55")
    page.set("[id='blocker.spread']", "0.8")
    page.wait_for(SHOWN + " && isShown()")
    assert pointed_at(page, 50.0).endswith("blocker black reaches 0.80 mm past it; white stops 0.55 mm short of it")


@pytest.mark.parametrize(
    ("slipping", "told"),
    [
        ("", "blocker black reaches 0.30 mm past it; white stops 0.30 mm short of it"),
        ("red", "blocker black reaches 0.30 mm past it; white stops 0.40 mm short of it"),
        ("blocker black", "edge of red; blocker black reaches 0.50 mm past it; white stops 0.30 mm short of it"),
    ],
)
def test_it_measures_where_plates_lie_out_of_register(page, slipping, told):
    page.run(f"byId('slipping').append(new Option('', {json.dumps(slipping)}))")
    page.set("#by", "0.1")
    page.set("#slipping", slipping)
    assert pointed_at(page, 50.0 if slipping == "blocker black" else 50.1).endswith(told)


def test_edges_that_fall_together_are_told_as_that(page):
    page.set("[id='white.choke']", "0")
    page.set("[id='white.min_choke']", "0")
    page.wait_for(SHOWN + " && isShown()")
    assert "white ends there too" in pointed_at(page, 50.0) or "red ends there too" in pointed_at(page, 50.0)


def test_hidden_plates_are_left_out(page):
    page.run("document.querySelectorAll('#plates input')[0].click()")
    assert pointed_at(page, 50.0) == "edge of red; white stops 0.30 mm short of it"
    page.run("document.querySelectorAll('#plates input')[2].click()")
    assert pointed_at(page, 49.7) == "edge of white"


def test_nothing_is_told_of_edges_that_are_not_pointed_at(page):
    assert pointed_at(page, 48.0) == ""
    assert marked(page) == []


def test_nothing_is_told_of_edges_that_run_into_each_other(page):
    page.run("zoom(perMm() / READ_FROM / 1.01, [50, 30])")
    page.wait_for(SHOWN + " && isShown()")
    assert pointed_at(page, 50.0).startswith("edge of")
    page.run("zoom(1.02, [50, 30])")
    page.wait_for(SHOWN + " && isShown()")
    assert pointed_at(page, 50.0) == ""


def test_where_the_window_cuts_plates_is_no_edge(page):
    page.run("lookAt(30, 30)")  # all of it ink, but cut at 8 mm from the middle
    page.run("zoom(0.3, middle())")
    page.wait_for(SHOWN + " && isShown()")
    page.run("state.window = state.looked.window; 0")
    left, *_ = window(page)
    assert pointed_at(page, left + 0.01) == ""
    assert page.run("nearestEdge([30, 30])") is None


def test_without_edges_or_with_plates_that_are_old_nothing_is_told(page):
    page.run("const answered = fetch; fetch = async (...what) => { await new Promise((go) => { gate = go; }); "
             "return answered(...what); }")  # fmt: skip
    page.set("[id='white.choke']", "0.5")
    assert pointed_at(page, 50.0) == ""
    page.wait_for("window.gate")
    page.run("gate()")
    page.wait_for(SHOWN + " && isShown()")
    assert "white stops 0.50" in pointed_at(page, 50.0)
    page.run("document.getElementById('edges').click()")
    assert pointed_at(page, 50.0) == ""


def test_the_middle_counts_when_the_pointer_is_elsewhere(page):
    """As while a slider is moved: what it changes is told."""
    page.run("lookAt(50, 30)")
    page.hover(100, 300)
    assert "edge of red" in text(page, "cursor")
    page.set("[id='white.choke']", "0.42")
    page.wait_for(SHOWN + " && isShown()")
    assert "white stops 0.42 mm short of it" in text(page, "cursor")
