"""Slits of blocker that open between white art and colour too narrow for white below it. Against plain overlays of the
moved plate, and boxes of known measure."""

import math

import pytest
from shapely import affinity, box

from vectorsep.check import measure_stack
from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_stack
from vectorsep.settings import Settings

RED, WHITE = "#c81e28", "#ffffff"
SETTINGS = Settings()
SIDE_MM = 15


def checked(outline, inner=WHITE, settings=SETTINGS):
    """A square of white art within an outline."""
    square = box(10, 10, 10 + SIDE_MM, 10 + SIDE_MM)
    painted = ((square, RED), (square.buffer(-outline, join_style="mitre"), inner))
    shapes = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in painted)
    stack = make_stack(separate_inks(Artwork(40.0, 40.0, shapes), settings), settings)
    return stack, measure_stack(stack.plates, settings)


def told(check):
    return [finding for finding in check.findings if finding.code == "gap-opens" and finding.plate == "white"]


def bare_mm2(stack, outline):
    """What of blocker the white art leaves bare beside the outline at the worst of 16 shifts, by plain overlays."""
    (white,) = (plate.area for plate in stack.plates if plate.role == "white")
    (red,) = (plate.area for plate in stack.plates if plate.role == "colour")
    art = box(10, 10, 10 + SIDE_MM, 10 + SIDE_MM).buffer(-outline, join_style="mitre")
    shifts = [(math.cos(i * math.pi / 8), math.sin(i * math.pi / 8)) for i in range(16)]
    slip = SETTINGS.registration_mm
    moved = [affinity.translate(white, slip * x, slip * y) for x, y in shifts]
    return max(art.difference(red | one).area for one in moved)


@pytest.mark.parametrize("outline", [0.25, 0.3, 0.4])
def test_a_slit_beside_a_thin_outline_is_told_with_its_size(outline):
    stack, check = checked(outline)
    (finding,) = told(check)
    assert finding.severity == "warning"
    (case,) = (one for one in check.register if one.plate.role == "white" and one.kind == "gap-opens")
    assert case.area_mm2 == pytest.approx(bare_mm2(stack, outline), rel=0.02)
    assert case.area_mm2 > 1
    assert "0.55 mm wide" in finding.message


def test_the_width_that_the_finding_names_cures_it():
    """At 0.55 mm white runs below the outline by its width less the choke of 0.3: as much as a plate slips."""
    stack, check = checked(0.55)
    assert bare_mm2(stack, 0.55) < 0.01
    assert not told(check)


def test_notches_where_white_art_and_colour_end_together_are_not_told():
    """Each as long as the choke and as wide as a plate slips: they are at the print's edge, and nobody's outline."""
    painted = ((box(10, 10, 20, 15), RED), (box(10, 15, 20, 20), WHITE))
    shapes = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in painted)
    stack = make_stack(separate_inks(Artwork(40.0, 40.0, shapes), SETTINGS), SETTINGS)
    check = measure_stack(stack.plates, SETTINGS)
    (case,) = (one for one in check.register if one.plate.role == "white" and one.kind == "gap-opens")
    assert case.area_mm2 == pytest.approx(2 * SETTINGS.choke_mm * SETTINGS.registration_mm, rel=0.1)
    assert not told(check)


def test_art_without_white_has_no_such_slit():
    _, check = checked(0.3, inner="#f0c81e")
    assert not told(check)


def test_beside_colours_that_have_no_white_at_all_it_is_white_below_them_that_helps():
    stack, check = checked(4, settings=Settings(blocker="grey", white_under_colours=False))
    (finding,) = told(check)
    assert "white.under_colours" in finding.message
    assert bare_mm2(stack, 4) > 1
    assert not told(checked(4)[1])
