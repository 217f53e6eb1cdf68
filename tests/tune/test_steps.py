"""Moved distances on the page: a step back, a step on, back to the job's, and held against the job's own."""

import pytest
from sight import SHOWN, drawn, text

CHOKE, SPREAD = "white.choke", "blocker.spread"


def move(page, key, *values):
    """Drag a slider over some values and let it go."""
    slider = f"input[type=range][data-key='{key}']"
    for value in values:
        page.set(slider, value)
    page.run(f'document.querySelector("{slider}").dispatchEvent(new Event("change", {{bubbles: true}}))')


def distances(page):
    page.wait_for(SHOWN + " && isShown()")
    return page.run(f"['{CHOKE}', '{SPREAD}'].map((key) => state.looked.distances[key])")


def test_one_pull_at_a_slider_is_one_step_back(page):
    move(page, CHOKE, "0.31", "0.35", "0.4")
    move(page, SPREAD, "0.6")
    assert distances(page) == [0.4, 0.6]
    for expected in ([0.4, 0.4], [0.3, 0.4]):
        page.run("byId('undo').click()")
        assert distances(page) == expected
    assert page.run("[byId('undo').disabled, byId('redo').disabled]") == [True, False]
    for expected in ([0.4, 0.4], [0.4, 0.6]):
        page.run("byId('redo').click()")
        assert distances(page) == expected
    assert page.run("[byId('undo').disabled, byId('redo').disabled]") == [False, True]


def test_two_pulls_at_the_same_slider_are_two_steps(page):
    move(page, CHOKE, "0.4")
    move(page, CHOKE, "0.5")
    page.run("byId('undo').click()")
    assert distances(page) == [0.4, 0.4]


def test_what_is_moved_after_a_step_back_takes_the_place_of_what_was_undone(page):
    move(page, CHOKE, "0.4")
    page.run("byId('undo').click()")
    move(page, SPREAD, "0.6")
    assert page.run("byId('redo').disabled")
    page.run("byId('redo').click(); redo()")
    assert distances(page) == [0.3, 0.6]


def test_a_step_back_is_seen_in_the_field_where_the_keyboard_is(page):
    page.run(f"byId('{CHOKE}').focus()")
    page.set(f"[id='{CHOKE}']", "0.45")
    page.press("z", control=True)
    assert page.run(f"byId('{CHOKE}').value") == "0.3"
    assert distances(page) == [0.3, 0.4]
    page.press("y", control=True)
    assert page.run(f"byId('{CHOKE}').value") == "0.45"
    page.press("z", control=True)
    page.press("Z", control=True, shift=True)
    assert distances(page) == [0.45, 0.4]


def test_text_keeps_its_own_steps_back(page):
    move(page, CHOKE, "0.4")
    page.run("byId('at').focus()")
    page.press("z", control=True)
    assert distances(page) == [0.4, 0.4]


def test_one_distance_goes_back_to_the_jobs_and_the_others_stay(page):
    hidden = f"['{CHOKE}', '{SPREAD}'].map((key) => byId('back-' + key).hidden)"
    assert page.run(hidden) == [True, True]
    move(page, CHOKE, "0.4")
    move(page, SPREAD, "0.6")
    assert page.run(hidden) == [False, False]
    page.run(f"byId('back-{CHOKE}').click()")
    assert distances(page) == [0.3, 0.6]
    assert page.run(hidden) == [True, False]
    page.run("byId('undo').click()")
    assert distances(page) == [0.4, 0.6]


def test_all_go_back_to_the_jobs_and_that_can_be_undone(page):
    move(page, CHOKE, "0.4")
    page.run("byId('reset').click()")
    assert distances(page) == [0.3, 0.4]
    assert page.run("[byId('reset').disabled, byId('as-in-job').disabled]") == [True, True]
    page.run("byId('undo').click()")
    assert distances(page) == [0.4, 0.4]


@pytest.mark.parametrize("key", ["j", "J"])
def test_the_jobs_own_are_seen_while_a_key_is_held_and_nothing_else_changes(page, key):
    before = drawn(page, "white")
    move(page, CHOKE, "0.4")
    assert distances(page)[0] == 0.4
    moved = drawn(page, "white")
    page.run("view.focus()")
    page.key(key, down=True)
    page.wait_for(SHOWN + " && isShown()")
    assert drawn(page, "white") == before
    assert text(page, "told") == "As in the job, until let go"
    assert page.run(f"[byId('{CHOKE}').value, byId('job').textContent]") == ["0.4", '[white]\nchoke = "0.4mm"']
    page.key(key, down=False)
    page.wait_for(SHOWN + " && isShown()")
    assert (drawn(page, "white"), page.run("view.classList.contains('as-in-job')")) == (moved, False)


def test_what_was_seen_is_seen_again_without_asking(page):
    move(page, CHOKE, "0.4")
    distances(page)
    page.run("fetch = () => { throw new Error('it was seen'); }")
    for down in (True, False):
        page.key("j", down=down)
        page.wait_for(SHOWN + " && isShown()")
        assert distances(page)[0] == (0.3 if down else 0.4)


def button_held(page):
    """The middle of the button (pixels), pressed, once the job's own plates are seen."""
    move(page, CHOKE, "0.4")
    distances(page)
    at = page.run("(({x, y, width, height}) => [x + width / 2, y + height / 2])("
                  "byId('as-in-job').getBoundingClientRect())")  # fmt: skip
    page.mouse("mousePressed", at)
    assert distances(page)[0] == 0.3
    assert page.run("byId('as-in-job').getAttribute('aria-pressed')") == "true"
    return at


def test_the_button_shows_the_jobs_own_while_it_is_held(page):
    x, y = button_held(page)
    page.mouse("mouseReleased", (x + 300, y))  # wherever the pointer has gone meanwhile
    assert distances(page)[0] == 0.4


def test_a_button_that_is_held_when_another_window_comes_up_is_let_go(page):
    at = button_held(page)
    page.run("dispatchEvent(new Event('blur'))")
    assert distances(page)[0] == 0.4
    page.mouse("mouseReleased", at)


def test_the_space_bar_holds_the_button_too(page):
    move(page, CHOKE, "0.4")
    distances(page)
    page.run("byId('as-in-job').focus()")
    for down, choke_mm in ((True, 0.3), (False, 0.4)):
        page.key(" ", down=down)
        assert distances(page)[0] == choke_mm


def test_a_check_made_meanwhile_is_of_the_distances_that_were_moved(page):
    move(page, SPREAD, "0.1")
    move(page, "colour.clearance", "0.05")
    page.key("j", down=True)
    page.wait_for("isShown()")
    page.run("byId('check').click()")
    page.wait_for("!byId('verdict').textContent.includes('\u2026')")
    assert text(page, "verdict").startswith("NOT SAFE")
    page.key("j", down=False)


def test_a_j_that_is_typed_is_a_letter(page):
    move(page, CHOKE, "0.4")
    page.run("byId('at').focus()")
    page.key("j", down=True)
    assert page.run("state.asInJob") is False
    assert distances(page)[0] == 0.4
