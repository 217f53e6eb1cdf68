"""The page in Firefox: one walk through it, by pointer, wheel, fingers, sliders and fields."""

import json

import pytest
from firefox import Firefox
from sight import MIDDLE, SHOWN, drawn, per_mm, text, window


@pytest.fixture(scope="module")
def firefox(system_tool, tmp_path_factory):
    with Firefox(system_tool("firefox-esr"), tmp_path_factory.mktemp("profile")) as firefox:
        yield firefox


@pytest.fixture
def seen(firefox, served):
    """The disc's table on the page, and what goes wrong there."""
    firefox.open(served.address)
    firefox.run("(window.wrong = [], addEventListener('error', ({ message }) => wrong.push(message)))")
    firefox.wait_for(SHOWN)
    yield firefox
    assert firefox.run("window.wrong") == []


def pointer(*steps, kind="mouse", name="pointer"):
    """Where a pointer goes (pixels), pressed from the first place to the last."""
    moves = [{"type": "pointerMove", "x": x, "y": y} for x, y in steps]
    down, up = {"type": "pointerDown", "button": 0}, {"type": "pointerUp", "button": 0}
    return {
        "type": "pointer",
        "id": name,
        "parameters": {"pointerType": kind},
        "actions": [moves[0], down, *moves[1:], up],
    }


def test_the_window_follows_the_pointer(seen):
    left, top, *_ = window(seen)
    scale = per_mm(seen)
    seen.act(pointer(MIDDLE, (MIDDLE[0] - 60, MIDDLE[1] + 30)))
    seen.wait_for(SHOWN)
    moved = window(seen)
    assert moved[:2] == pytest.approx([left + 60 / scale, top - 30 / scale], abs=0.001)


def test_the_wheel_goes_nearer_and_two_fingers_too(seen):
    before = per_mm(seen)
    x, y = MIDDLE
    scroll = {"type": "scroll", "x": x, "y": y, "deltaX": 0, "deltaY": -100}
    seen.act({"type": "wheel", "id": "wheel", "actions": [scroll]})
    seen.wait_for(f"Math.abs(perMm() / {before} - 1.25) < 1e-6")
    fingers = [((x - 50, y), (x - 75, y)), ((x + 50, y), (x + 75, y))]
    seen.act(*(pointer(*way, kind="touch", name=f"finger {at}") for at, way in enumerate(fingers)))
    assert per_mm(seen) == pytest.approx(before * 1.25 * 1.5, rel=0.01)


def test_a_slider_moves_its_plate_and_the_keyboard_takes_it_back(seen):
    white = drawn(seen, "white")
    slider = "document.querySelector(\"input[type=range][data-key='white.choke']\")"
    x, y, width = seen.run(
        f"(({{x, y, width, height}}) => [x, y + height / 2, width])({slider}.getBoundingClientRect())"
    )
    ways = [(round(x + width * share), round(y)) for share in (0.3, 0.5)]
    seen.act(pointer(*ways))
    seen.wait_for(SHOWN + " && state.looked.distances['white.choke'] > 0.6")
    assert drawn(seen, "white") != white
    assert text(seen, "job").startswith('[white]\nchoke = "0.')
    keys = [{"type": kind, "value": key} for kind, key in (("keyDown", "\ue009"), ("keyDown", "z"), ("keyUp", "z"))]
    seen.act({"type": "key", "id": "keys", "actions": [*keys, {"type": "keyUp", "value": "\ue009"}]})
    seen.wait_for(SHOWN + " && state.looked.distances['white.choke'] === 0.3")
    assert drawn(seen, "white") == white


def test_a_measure_tells_what_was_dragged_over(seen):
    x, y = MIDDLE
    scale = per_mm(seen)
    shift = {"type": "key", "id": "keys"}
    seen.act({**shift, "actions": [{"type": "keyDown", "value": "\ue008"}]})
    seen.act(pointer(MIDDLE, (x + 40, y)))
    seen.act({**shift, "actions": [{"type": "keyUp", "value": "\ue008"}]})
    assert float(text(seen, "measured").split()[0]) == pytest.approx(40 / scale, abs=0.001)


@pytest.mark.parametrize("width", [360, 700, 1920])
def test_every_field_shows_its_digits_and_nothing_is_cut(seen, width):
    seen.resize(width, 700)
    seen.wait_for(SHOWN)
    field = "document.getElementById('white.choke')"
    seen.run(f"({field}.value = {json.dumps('0.125')})")
    wide = seen.run(f"[{field}.scrollWidth, {field}.clientWidth]")
    assert wide[0] <= wide[1]
    assert seen.run("document.documentElement.scrollWidth") <= width
