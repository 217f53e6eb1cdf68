"""The cure that a finding names is tried: what it says must help, and what it does not say must not."""

import dataclasses
import re

import pytest
import shapely
from shapely import box

from vectorsep.check.mishaps import register_findings
from vectorsep.check.register import register_cases
from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_stack
from vectorsep.settings import Settings

RED, NAVY, WHITE = "#c81e28", "#14285a", "#ffffff"
SHAPES = (box(5, 5, 95, 55), RED), (box(25, 15, 65, 35), NAVY)


def found(code, shapes=SHAPES, move=lambda plate: plate, **values):
    """The messages of a kind, for plates as made or moved."""
    settings = Settings(**values)
    painted = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in shapes)
    design = separate_inks(Artwork(100.0, 60.0, painted), settings)
    plates = [move(plate) for plate in make_stack(design, settings).plates]
    cases = register_cases(plates, plates[0], settings, (50.0, 30.0))
    return [finding.message for finding in register_findings(cases, [], settings) if finding.code == code]


def largest_mm(messages, what):
    return max(float(re.search(rf"{what} of ([\d.]+) mm", message)[1]) for message in messages)


@pytest.mark.parametrize("turn_deg", [0.5, 0.7])
def test_the_choke_that_a_turn_asks_for_hides_the_white(turn_deg):
    values = {"turn_deg": turn_deg, "spread_mm": 2.0, "clearance_mm": 1.5}
    choke_mm = largest_mm(found("white-shows", **values), "choke")
    assert choke_mm > Settings().registration_mm
    assert not found("white-shows", **values, choke_mm=choke_mm, min_choke_mm=choke_mm)
    assert found("white-shows", **values, choke_mm=0.7 * choke_mm, min_choke_mm=0.7 * choke_mm)


@pytest.mark.parametrize("turn_deg", [0.5, 0.8])
def test_the_trap_that_a_turn_asks_for_covers_the_gap(turn_deg):
    values = {"turn_deg": turn_deg, "spread_mm": 2.0, "clearance_mm": 1.5}
    trap_mm = largest_mm(found("gap-opens", trap_mm=0.05, **values), "trap")
    assert not found("gap-opens", trap_mm=trap_mm, **values)
    assert found("gap-opens", trap_mm=0.3 * trap_mm, **values)


def test_a_shift_asks_for_a_trap_of_the_tolerance():
    assert largest_mm(found("gap-opens", trap_mm=0.05, registration_mm=0.25), "trap") == 0.25


def test_white_art_is_named_only_where_there_is_some():
    thin_white = (*SHAPES, (box(95, 5, 95.15, 55), WHITE))
    wide = {"choke_mm": 0.5, "min_choke_mm": 0.5}
    assert not found("white-shows", **wide)
    assert "beside white art" in found("white-shows", thin_white, **wide)[0]


def test_films_that_do_not_lie_as_the_job_has_them_are_not_blamed_on_white_art():
    def colours_moved(plate):
        area = shapely.affinity.translate(plate.area, 0.4, 0) if plate.role == "colour" else plate.area
        return dataclasses.replace(plate, area=area)

    (message,) = found("white-shows", move=colours_moved, choke_mm=0.5, min_choke_mm=0.5)
    assert "white art" not in message
    assert "make them anew" in message


@pytest.mark.parametrize("turn_deg", [0.8, 1.2])
def test_the_clearance_that_a_turn_asks_for_keeps_the_ink_on_the_blocker(turn_deg):
    """Taken as it is told, with a spread a tenth wider, no art recedes for it either."""
    messages = found("ink-on-cloth", turn_deg=turn_deg)
    clearance_mm = largest_mm(messages, "clearance")
    values = {"turn_deg": turn_deg, "clearance_mm": clearance_mm, "spread_mm": 1.1 * clearance_mm}
    assert not found("ink-on-cloth", **values)
    assert found("ink-on-cloth", **values | {"clearance_mm": 0.5 * clearance_mm, "spread_mm": 0.5 * clearance_mm})
    painted = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in SHAPES)
    settings = Settings(**values)
    notices = make_stack(separate_inks(Artwork(100.0, 60.0, painted), settings), settings).notices
    assert "art-recedes" not in {notice.code for notice in notices}


def test_no_choke_is_asked_for_that_leaves_colours_without_white():
    """At 2 degrees the art's corners, 51.5 mm from the middle, lie 1.8 mm off (chord of the turn), at 0.9 degrees
    0.8 mm. A choke of more than 1 mm the garment's rule takes for white that is gone, and calls the stack unsafe."""
    values = {"turn_deg": 2.0, "spread_mm": 4.0, "clearance_mm": 3.0}
    (message,) = found("white-shows", **values)
    assert "more than a choke can hide" in message and "press.turn" in message
    assert largest_mm(found("white-shows", **values | {"turn_deg": 0.9}), "choke") < 1.0


def test_films_that_reach_farther_than_the_job_cuts_them_are_told_to_be_made_anew():
    def grown(plate):
        return dataclasses.replace(plate, area=plate.area.buffer(0.39)) if plate.role == "colour" else plate

    (message, *_) = found("ink-on-cloth", move=grown, clearance_mm=0.3, registration_mm=0.25, trap_mm=0.1)
    assert "make them anew" in message
