"""What stands on a film beside the ink: registration marks, centre lines, a rule, the label. All plain strokes.

Marks lie in the band between the ink zone and the film's edge, at the same place on all films of a set; only what a
film says of its own plate differs, and stands at a place of its own. Fine crosses, circled, outside the image, on every
film: published glossaries of the trade.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from vectorsep.films.lettering import strokes
from vectorsep.films.places import CAPITAL_MM, EDGE_MM, Labels, Place, lay_out_labels, run_on
from vectorsep.geometry.curves import CURVE, MOVE, Outline, joined, polyline_outline
from vectorsep.model import Point, Sheet

MARK_LINE_MM = 0.4
"""Line of the crosses and the rule. The crew registers by the print of them, so the coarsest usual screen must carry
them: two threads and one opening of 86 threads/inch are 0.39 mm. Below 0.56 mm no spot where two lines cross counts as
ink."""
LETTER_LINE_MM = 0.3
"""Line of the lettering, near the 0.31 mm that 110 threads/inch holds; heavier lines close small letters."""
CROSS_MM = 5.0
"""From a mark's centre to the tip of its cross."""
CIRCLE_MM = 3.0
"""Radius of a mark's circle."""
RULE_LENGTHS_MM = (100.0, 50.0, 20.0)
"""The rule is the longest of these that fits the film's width."""
RULE_GAP_MM = 1.0
"""From the ink zone to the rule; the crosses start two millimetres farther out, so the two never meet."""
RULE_CAPITAL_MM = 2.5
"""Height of the capitals beside the rule."""
TICK_MM = 1.0
"""A centimetre's tick; every fifth is half as long again."""
SHARED_MARKS = 3
"""Registration marks, the rule, the lettering of the whole set: these come first and are the same on all its films."""
QUARTER_HANDLE = 0.5522847498307936
"""Handle of a quarter circle's cubic in radii, 4/3 tan(pi/8): off the circle by 2.7e-4 of the radius."""


@dataclass(frozen=True, slots=True, eq=False)
class Mark:
    """A drawing made with a pen of one width, in the design's coordinates (mm)."""

    outline: Outline
    line_mm: float


def draw_marks(sheet: Sheet, labels: Labels, order: int) -> tuple[Mark, ...]:
    """All marks of the film that prints as number `order`, from 1; the first SHARED_MARKS are those of all."""
    rule = _rule(sheet)
    layout = lay_out_labels(sheet, labels) or run_on(sheet, labels)
    return (
        Mark(joined(_register(sheet)), MARK_LINE_MM),
        Mark(joined(rule.ticks), MARK_LINE_MM),
        _lettering([*rule.text, *_rows(layout.of_set)]),
        _lettering(_rows(layout.plates[order - 1])),
    )


def register_centres(sheet: Sheet) -> tuple[Point, ...]:
    """Centres of the registration marks (mm): top, right, bottom, left, on the design page's centre lines."""
    wide, high = sheet.design_width_mm, sheet.design_height_mm
    right = wide + (sheet.ink_margin_mm + sheet.margin_x_mm) / 2
    bottom = high + (sheet.ink_margin_mm + sheet.margin_y_mm) / 2
    return ((wide / 2, high - bottom), (right, high / 2), (wide / 2, bottom), (wide - right, high / 2))


def upper_to_lower_mm(sheet: Sheet) -> float:
    """From the upper cross to the lower: a printer's feed slips along it, where the rule, which lies across, shows
    nothing."""
    (_, upper), _, (_, lower), _ = register_centres(sheet)
    return lower - upper


def _register(sheet: Sheet) -> Iterator[Outline]:
    """Circled crosses; the arm along the centre line runs on towards the film's edge."""
    for x, y in register_centres(sheet):
        dx, dy = np.sign(x - sheet.design_width_mm / 2), np.sign(y - sheet.design_height_mm / 2)
        margin_mm = sheet.margin_x_mm if dx else sheet.margin_y_mm
        to_edge = (margin_mm - sheet.ink_margin_mm) / 2 - EDGE_MM
        yield circle((x, y), CIRCLE_MM)
        yield _line((x - dy * CROSS_MM, y - dx * CROSS_MM), (x + dy * CROSS_MM, y + dx * CROSS_MM))
        yield _line((x - dx * CROSS_MM, y - dy * CROSS_MM), (x + dx * to_edge, y + dy * to_edge))


def circle(centre: Point, radius_mm: float) -> Outline:
    """A circle as four cubic curves."""
    unit = np.array([[1, 0], [0, 1], [-1, 0], [0, -1], [1, 0]], dtype=np.float64)
    turned = np.stack([-unit[:, 1], unit[:, 0]], axis=1) * QUARTER_HANDLE
    handles = np.stack([unit[:-1] + turned[:-1], unit[1:] - turned[1:]], axis=1)
    steps = np.array([MOVE, CURVE, CURVE, CURVE, CURVE], dtype=np.uint8)
    middle = np.asarray(centre)
    return Outline(middle + radius_mm * unit, steps, middle + radius_mm * handles, np.array([True]))


def _line(*points: Point) -> Outline:
    return polyline_outline(np.array(points, dtype=np.float64), closed=False)


def rule_mm(sheet: Sheet) -> float:
    """Length of the rule on a film."""
    return next((length for length in RULE_LENGTHS_MM if length <= sheet.width_mm - 2 * EDGE_MM), RULE_LENGTHS_MM[-1])


@dataclass(frozen=True, slots=True, eq=False)
class _Rule:
    ticks: list[Outline]
    text: list[Outline]


def _rule(sheet: Sheet) -> _Rule:
    """A scale of centimetres along the bottom of the ink zone: a steel rule beside it shows a film printed off size."""
    left, base = -sheet.margin_x_mm + EDGE_MM, sheet.design_height_mm + sheet.ink_margin_mm + RULE_GAP_MM
    length = rule_mm(sheet)
    ticks = [
        _line((left + mm, base), (left + mm, base + (TICK_MM if mm % 50 else 1.5 * TICK_MM)))
        for mm in range(0, int(length) + 1, 10)
    ]
    text = _text(f"{length:g} mm", left, base + 2 * TICK_MM + RULE_CAPITAL_MM, RULE_CAPITAL_MM)
    return _Rule([_line((left, base), (left + length, base)), *ticks], text)


def _rows(place: Place) -> list[Outline]:
    box = place.box
    return [
        stroke for nth, row in enumerate(place.rows) for stroke in _text(row, box.left_mm, box.base_mm(nth), CAPITAL_MM)
    ]


def _text(text: str, left_mm: float, base_mm: float, capital_mm: float) -> list[Outline]:
    return [polyline_outline(stroke, closed=False) for stroke in strokes(text, left_mm, base_mm, capital_mm)]


def _lettering(outlines: list[Outline]) -> Mark:
    return Mark(joined(outlines), LETTER_LINE_MM)
