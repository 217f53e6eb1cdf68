"""Which notices of the plates are warnings. A batch's summary counts warnings as places that want a look, and its page
names designs with many first (README, `batch`): what costs the print, or what the job asked for and does not get, must
be among them; what was done as asked must not, or nobody would look."""

import pytest
from shapely import box

from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_stack
from vectorsep.settings import InkSetting, Settings, TrapSetting

RED, NAVY, YELLOW, WHITE, BLACK = "#c81e28", "#1e3c8c", "#f0c828", "#ffffff", "#141414"
INKS = (InkSetting(YELLOW, "yellow"), InkSetting(NAVY, "navy"))
TWO = ((box(50, 50, 60, 60), YELLOW), (box(60, 50, 80, 60), NAVY))
APART = ((box(50, 50, 60, 60), RED), (box(80, 50, 90, 60), WHITE))


def severities(code, shapes, values):
    settings = Settings(**values)
    painted = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in shapes)
    stack = make_stack(separate_inks(Artwork(200.0, 200.0, painted), settings), settings)
    return {notice.severity for notice in stack.notices if notice.code == code}


@pytest.mark.parametrize(
    ("code", "shapes", "values"),
    [
        ("inks-alike", ((box(50, 50, 60, 60), RED), (box(70, 50, 80, 60), "#c91e28")), {}),
        ("gap-slips", ((box(50, 50, 60, 90), RED), (box(60.05, 50, 70, 90), NAVY)), {}),
        ("far-distance", TWO, {"spread_mm": 4.0}),
        ("finer-than-mesh", TWO, {"min_line_mm": 0.1}),
        ("trap-on-top", TWO, {"inks": INKS, "traps": (TrapSetting("navy", "yellow", 0.3),)}),
        ("white-short", ((box(50, 50, 54, 54), RED),), {"choke_mm": 0.3}),
        ("art-recedes", TWO, {"spread_mm": 0.1}),
        ("setting-unused", APART, {"inks": (InkSetting(WHITE, None, 77),)}),
        ("setting-unused", TWO, {"design_black": NAVY}),
        ("setting-unused", TWO, {"highlight_white": True}),
    ],
)
def test_what_costs_the_print_or_is_not_done_as_asked_is_a_warning(code, shapes, values):
    assert severities(code, shapes, values) == {"warning"}


@pytest.mark.parametrize(
    ("code", "shapes", "values"),
    [
        ("setting-unused", APART, {"merge_black": True}),  # one job file serves a whole shop
        ("black-merged", (*TWO, (box(20, 50, 30, 60), BLACK)), {"merge_black": True}),
        ("lighter-on-top", TWO, {"inks": INKS, "print_order": ("yellow",)}),
    ],
)
def test_what_was_done_as_the_job_says_is_a_note(code, shapes, values):
    assert severities(code, shapes, values) == {"note"}
