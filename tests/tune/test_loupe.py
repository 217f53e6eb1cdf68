"""What takes long is seen at once through the loupe, and a look that nobody wants any more is hung up on."""

import numpy as np
import pytest
from sight import SHOWN, text, window

PEEKED = "state.peeked && !peeks.asking"
HELD_UP = """const answered = fetch; let go; const gate = new Promise((open) => { go = open; }); let hungUp = 0;
fetch = async (what, how) => {
  if (what.startsWith("look")) {
    how.signal.addEventListener("abort", () => { hungUp += 1; });
    await Promise.race([gate, new Promise((_, fail) => { how.signal.addEventListener("abort", fail); })]);
  }
  return answered(what, how);
}; 0"""
"""Looks are not answered until `go()`; those that are hung up on are counted."""


@pytest.fixture
def afar(page):
    """The whole disc, from so far off that its plates' edges run into each other."""
    page.run("byId('whole').click()")
    page.wait_for(f"{SHOWN} && isShown() && {PEEKED}")
    return page


def under_loupe(page, name):
    return page.run(f"document.querySelector('#loupe [data-plate={name}] path')?.getAttribute('d')")


def test_the_loupe_is_there_from_afar_only_and_unless_it_is_put_away(page):
    assert page.run("byId('under-loupe').hidden")
    page.run("byId('whole').click()")
    page.wait_for(PEEKED)
    assert not page.run("byId('under-loupe').hidden")
    page.run("byId('with-loupe').click()")
    assert page.run("byId('under-loupe').hidden")
    page.run("byId('with-loupe').click()")
    page.wait_for(PEEKED)
    assert not page.run("byId('under-loupe').hidden")
    page.run("lookAt(50, 30, 5)")
    assert page.run("byId('under-loupe').hidden")


def test_it_shows_the_plates_at_the_edge_nearest_to_the_middle_and_says_where(afar, table):
    seen = table.loupe({"window": ",".join(map(str, window(afar)))})
    left, top = (edge + 0.6 for edge in seen["window"][:2])  # where it cuts the plates stays out of sight
    assert afar.run("loupe.getAttribute('viewBox').split(' ').map(Number)") == pytest.approx((left, top, 6, 6))
    assert text(afar, "loupe-place") == f"6 mm at {left + 3:.2f}, {top + 3:.2f}"
    assert under_loupe(afar, "red") == seen["plates"][2]["path"]
    marks = "[...view.querySelectorAll('.marks rect.mark')].map(({x, y}) => [x.baseVal.value, y.baseVal.value])"
    assert afar.run(marks) == [pytest.approx((left, top), abs=0.001)]
    assert np.hypot(left + 3 - 30, top + 3 - 30) == pytest.approx(20, abs=0.01)


def test_a_moved_distance_is_seen_under_it_while_the_look_is_still_being_made(afar):
    afar.run(HELD_UP)
    before, drawn = under_loupe(afar, "white"), afar.run("state.looked.distances['white.choke']")
    afar.set("[id='white.choke']", "0.45")
    afar.wait_for("state.peeked.distances['white.choke'] === 0.45")
    assert under_loupe(afar, "white") != before
    afar.wait_for("view.classList.contains('stale')")
    assert not afar.run("loupe.classList.contains('stale')")
    assert afar.run("state.looked.distances['white.choke']") == drawn
    afar.run("go()")
    afar.wait_for(SHOWN + " && isShown()")


def test_a_look_that_takes_long_is_hung_up_on_when_distances_move_on(afar):
    afar.run(HELD_UP)
    afar.set("[id='white.choke']", "0.45")
    afar.wait_for("performance.now() - looks.since > LONG")
    afar.set("[id='white.choke']", "0.5")
    afar.wait_for("hungUp === 1")
    afar.run("go()")
    afar.wait_for(SHOWN + " && isShown()")
    assert afar.run("[state.looked.distances['white.choke'], hungUp]") == [0.5, 1]


def test_a_slow_look_waits_until_distances_have_come_to_rest(afar):
    afar.run("asked = 0; const answered = fetch; fetch = (...what) => { asked += what[0].startsWith('look'); "
             "return answered(...what); }; state.looked.took = 3000; 0")  # fmt: skip
    for hundredths in range(31, 36):
        afar.set("[id='white.choke']", f"{hundredths / 100:g}")
    afar.wait_for(SHOWN + " && isShown()")
    assert afar.run("[asked, state.looked.distances['white.choke']]") == [1, 0.35]


def test_hiding_and_register_hold_under_the_loupe_as_well(afar):
    afar.run("document.querySelectorAll('#plates input')[2].click()")
    afar.set("#by", "0.2")
    groups = afar.run("[...loupe.querySelectorAll('g[data-plate]')].map((group) => [group.dataset.plate, "
                      "group.classList.contains('off'), group.getAttribute('transform')])")  # fmt: skip
    shift = "translate(0.2000 0.0000)"
    below, red = [["blocker black", False, ""], ["white", False, shift]], ["red", True, shift]
    as_inks = [*below, red, red, red]  # as it shows on the bare blocker, off it, and on white
    as_edges = [*below, red]
    assert groups == as_inks + as_edges


def test_it_follows_the_window(afar):
    place = text(afar, "loupe-place")
    afar.run("view.focus()")
    for _ in range(3):
        afar.press("ArrowRight", shift=True)
    afar.press("ArrowUp")
    afar.wait_for(PEEKED)
    assert text(afar, "loupe-place") != place


def test_what_cannot_be_leaves_the_loupe_old(afar):
    afar.set("[id='blocker.spread']", "50")
    afar.wait_for("document.body.dataset.state === 'problem' && loupe.classList.contains('stale')")
    afar.set("[id='blocker.spread']", "0.5")
    afar.wait_for(f"{SHOWN} && {PEEKED} && !loupe.classList.contains('stale')")


def test_only_what_is_on_one_screen_is_seen_and_then_all_again(afar):
    only = "document.querySelectorAll('#plates button')[1].click()"
    shown = "[...document.querySelectorAll('#plates input')].map((box) => box.checked)"
    afar.run(only)
    assert afar.run(shown) == [False, True, False]
    assert set(afar.run("[...document.querySelectorAll('.off')].map((group) => group.dataset.plate)")) == {
        "blocker black", "red"
    } | ({"white"} if afar.run("perMm() <= EDGES_FROM") else set())  # fmt: skip
    afar.run(only)
    assert afar.run(shown) == [True, True, True]
