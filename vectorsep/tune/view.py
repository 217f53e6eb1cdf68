"""The plates of a part of the design, as they are in the whole: what lies far enough away changes nothing in sight.

That makes a moved distance cost what is in sight, and not the whole page. It is no proof: tests hold such plates
against those of whole designs, and films are only ever made of the whole.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from vectorsep.geometry.boolean import cut_to
from vectorsep.geometry.region import rectangle, within_box
from vectorsep.geometry.section import nearest_on_edge
from vectorsep.model import Bounds, Design, Plate, Point
from vectorsep.plates import make_plates
from vectorsep.remember import remembered
from vectorsep.settings import Settings

START_MM = 20.0
"""How wide a part of the design is shown at first: an edge can be judged, and the shape that it belongs to is seen."""
LOUPE_MM = 7.2
"""How much is made for the loupe, little enough to be made at once. It shows 6 mm, where the edges of all plates along
one of the art are seen; what is beyond keeps out of sight where the window cuts them."""
REACH_STEP_MM = 1.0
"""A moved distance looks farther around the window in such steps."""


@dataclass(frozen=True, slots=True)
class View:
    """What of each plate lies in a window (mm), in print order, those left out that have nothing there."""

    window: Bounds
    plates: tuple[Plate, ...]


def view_of(design: Design, window: Bounds, settings: Settings) -> View:
    """Make the plates of what lies in a window, and around it as far as matters. Raises SettingsError as `make_stack`
    does of the whole design: inks without a piece in sight are still the design's."""
    near = _part(design, _wider(window, reach_mm(settings)))
    plates = (replace(plate, area=within_box(plate.area, window)) for plate in make_plates(near, settings))
    seen = tuple(plate for plate in plates if not plate.area.is_empty)
    return View(window, seen)


@remembered
def _part(design: Design, box: Bounds) -> Design:
    """What of a design lies in a box, by the engine's exact overlay. The quick cut reckons where an edge leaves the box
    for each ink anew: the last bits differ between two that meet, and along the whole of the edge they meet no more,
    which chokes the white there and takes the trap away."""
    parts = (cut_to(ink.area, rectangle(*box)) for ink in design.inks)
    return replace(design, inks=tuple(replace(ink, area=part) for ink, part in zip(design.inks, parts, strict=True)))


def reach_mm(settings: Settings) -> float:
    """How far away art may lie and still change a plate: three times all distances together, in steps, so that a moved
    distance finds the same art around."""
    upper_mm = settings.choke_mm + settings.min_line_mm + settings.clearance_mm
    traps_mm = max([settings.trap_mm, *(pair.width_mm for pair in settings.traps)])
    together_mm = settings.spread_mm + settings.min_gap_mm + upper_mm + traps_mm
    return REACH_STEP_MM * math.ceil(3 * together_mm / REACH_STEP_MM)


def loupe_window(design: Design, window: Bounds) -> Bounds:
    """Where in a window to look closely: at the art's edge nearest to its middle, or at that where no edge is in it."""
    left, top, right, bottom = window
    middle = ((left + right) / 2, (top + bottom) / 2)
    x, y = _edge_near(design, middle)
    if not (left <= x <= right and top <= y <= bottom):
        x, y = middle
    return _around((x, y), LOUPE_MM)


@remembered
def _edge_near(design: Design, point: Point) -> Point:
    edges = (nearest_on_edge(ink.area, point) for ink in design.inks)
    return min(edges, key=lambda edge: math.dist(edge, point), default=point)


def first_window(design: Design, at_mm: Point | None = None) -> Bounds:
    """Where to look first: at a place, or at the edge nearest to the middle of the page."""
    middle = (design.width_mm / 2, design.height_mm / 2)
    largest = max((ink.area for ink in design.inks), key=lambda area: area.area, default=None)
    return _around(at_mm or (nearest_on_edge(largest, middle) if largest else middle), START_MM)


def _around(point: Point, wide_mm: float) -> Bounds:
    x, y = point
    return _wider((x, y, x, y), wide_mm / 2)


def _wider(window: Bounds, by_mm: float) -> Bounds:
    left, top, right, bottom = window
    return (left - by_mm, top - by_mm, right + by_mm, bottom + by_mm)
