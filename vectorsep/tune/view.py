"""The plates of a part of the design, as they are in the whole: what lies far enough away changes nothing in sight.

That makes a moved distance cost what is in sight, and not the whole page. It is no proof: tests hold such plates
against those of whole designs, and films are only ever made of the whole.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from vectorsep.geometry.region import within_box
from vectorsep.geometry.section import nearest_on_edge
from vectorsep.model import Bounds, Design, Plate, Point, Region
from vectorsep.plates import assign_roles, make_plates
from vectorsep.remember import remembered
from vectorsep.settings import Settings

START_MM = 20.0
"""How wide a part of the design is shown at first: an edge can be judged, and the shape that it belongs to is seen."""
REACH_STEP_MM = 1.0
"""A moved distance looks farther around the window in such steps."""


@dataclass(frozen=True, slots=True)
class View:
    """What of each plate lies in a window (mm), in print order, those left out that have nothing there; and what of
    the design's black the blocker prints there."""

    window: Bounds
    plates: tuple[Plate, ...]
    exposed_black: Region


def view_of(design: Design, window: Bounds, settings: Settings) -> View:
    """Make the plates of what lies in a window, and around it as far as matters. Raises SettingsError as `make_stack`
    does of the whole design: inks without a piece in sight are still the design's."""
    near = _part(design, _wider(window, reach_mm(settings)))
    plates = (replace(plate, area=within_box(plate.area, window)) for plate in make_plates(near, settings))
    seen = tuple(plate for plate in plates if not plate.area.is_empty)
    return View(window, seen, within_box(assign_roles(near.inks, settings).exposed_black, window))


@remembered
def _part(design: Design, box: Bounds) -> Design:
    return replace(design, inks=tuple(replace(ink, area=within_box(ink.area, box)) for ink in design.inks))


def reach_mm(settings: Settings) -> float:
    """How far away art may lie and still change a plate: three times all distances together, in steps, so that a moved
    distance finds the same art around."""
    upper_mm = settings.choke_mm + settings.min_line_mm + settings.clearance_mm
    traps_mm = max([settings.trap_mm, *(pair.width_mm for pair in settings.traps)])
    together_mm = settings.spread_mm + settings.min_gap_mm + upper_mm + traps_mm
    return REACH_STEP_MM * math.ceil(3 * together_mm / REACH_STEP_MM)


def first_window(design: Design, at_mm: Point | None = None) -> Bounds:
    """Where to look first: at a place, or at the edge nearest to the middle of the page."""
    middle = (design.width_mm / 2, design.height_mm / 2)
    largest = max((ink.area for ink in design.inks), key=lambda area: area.area, default=None)
    x, y = at_mm or (nearest_on_edge(largest, middle) if largest else middle)
    half = START_MM / 2
    return (x - half, y - half, x + half, y + half)


def _wider(window: Bounds, by_mm: float) -> Bounds:
    left, top, right, bottom = window
    return (left - by_mm, top - by_mm, right + by_mm, bottom + by_mm)
