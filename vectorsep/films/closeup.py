"""Figures: a spot of the print at high zoom with a scale bar, for findings and for plates out of register."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from vectorsep.films.pathdata import region_path
from vectorsep.geometry.boolean import difference, intersection
from vectorsep.geometry.region import EMPTY, covers_point, rectangle
from vectorsep.model import Check, Design, Film, Finding, Mishap, Notice, Point, Region, RegisterCase
from vectorsep.units import LEAST_SEEN_MM2, format_mm, format_mm2

HALF_MM = 3.0
"""From the spot to the picture's edge."""
CASE_HALF_MM = 1.5
"""The same for plates out of register: what they spoil is as narrow as the tolerance."""
BARS_MM = (5.0, 2.0, 1.0, 0.5, 0.2)
"""Scale bars to choose from: the longest under two fifths of the picture."""
MOST_PICTURES = 12
"""A report with more pictures than this is not looked at; the rest stay in the list."""
MOST_RECEDING = 3
"""Pictures of art that recedes: one ink does it as another does."""
RECEDES = "art-recedes"
"""The notice of art that stays unprinted at its edge."""
MISHAPS: dict[Mishap, str] = {
    "ink-on-cloth": "ink reaches the cloth",
    "white-shows": "white shows beside the colours",
    "gap-opens": "white or blocker shows between two inks",
}


@dataclass(frozen=True, slots=True)
class Closeup:
    """One picture: its view box around the spot, the spot, its scale bar, and what it shows."""

    view: str
    at_mm: Point
    half_mm: float
    bar_mm: float
    caption: str
    plate: str | None = None
    moved_order: int | None = None
    """The plate that is out of register, by its place in print order from 1; None where all lie in register."""
    move: str = ""
    """How that plate lies, as an SVG transform."""
    spoilt: str = ""
    """What is hatched, as SVG path data."""


def closeup(at_mm: Point, caption: str, plate: str | None = None, half_mm: float = HALF_MM) -> Closeup:
    """A picture around a spot of the design (mm)."""
    x, y = at_mm
    view = f"{x - half_mm:.3f} {y - half_mm:.3f} {2 * half_mm:.3f} {2 * half_mm:.3f}"
    bar_mm = next((bar for bar in BARS_MM if bar <= 0.8 * half_mm), BARS_MM[-1])
    return Closeup(view, at_mm, half_mm, bar_mm, caption, plate)


def remark_closeups(remarks: tuple[Finding | Notice, ...]) -> tuple[Closeup, ...]:
    """Pictures of the findings, then the warnings, that have a place: the gravest first, as many as are looked at.

    Art that recedes and plates out of register have pictures of their own; this one has all plates in register.
    """
    grave, elsewhere = {"unsafe": 0, "warning": 1}, {RECEDES, *MISHAPS}
    placed = [
        (remark.at_mm, remark)
        for remark in remarks
        if remark.at_mm and remark.severity in grave and remark.code not in elsewhere
    ]
    placed.sort(key=lambda spot: grave[spot[1].severity])
    return tuple(closeup(at_mm, remark.message, remark.plate) for at_mm, remark in placed[:MOST_PICTURES])


def receding_closeups(design: Design, films: Sequence[Film], notices: Iterable[Notice]) -> tuple[Closeup, ...]:
    """Where art stays unprinted at its edge, the art against what prints: for each ink that recedes, the most first.

    The ink is the one that is drawn there: a plate of white prints several.
    """
    printed = {film.plate.ink: film.plate.area for film in films}
    pictures = []
    for notice in notices:
        if notice.code == RECEDES and notice.at_mm and notice.plate:
            ink = next((ink.area for ink in design.inks if covers_point(ink.area, notice.at_mm)), EMPTY)
            lost = difference(ink, printed.get(notice.plate, EMPTY))
            pictures.append((lost.area, _lost_closeup(notice.at_mm, notice, lost)))
    pictures.sort(key=lambda picture: -picture[0])
    return tuple(picture for _, picture in pictures[:MOST_RECEDING])


def _lost_closeup(at_mm: Point, notice: Notice, lost: Region) -> Closeup:
    x, y = at_mm
    window = rectangle(x - CASE_HALF_MM, y - CASE_HALF_MM, x + CASE_HALF_MM, y + CASE_HALF_MM)
    caption = f"hatched: drawn, but not printed. {notice.message}"
    return replace(closeup(at_mm, caption, notice.plate, CASE_HALF_MM), spoilt=region_path(intersection(lost, window)))


def register_closeups(check: Check) -> tuple[Closeup, ...]:
    """For each kind of mishap the worst that one plate out of register does, where an eye finds it."""
    told = {(finding.code, finding.plate): finding for finding in check.findings}
    pictures = []
    for kind in MISHAPS:
        cases = [case for case in check.register if case.kind == kind and _is_seen(case, told)]
        if cases:
            worst = max(cases, key=lambda case: case.area_mm2)
            pictures.append(_case_closeup(worst, told.get((kind, worst.plate.ink)), check))
    return tuple(pictures)


def _is_seen(case: RegisterCase, told: Mapping[tuple[str, str | None], Finding]) -> bool:
    """Slivers of white or blocker are not: only what the check tells of. Ink on cloth is told of a plate once."""
    if case.kind == "ink-on-cloth":
        return case.area_mm2 >= LEAST_SEEN_MM2
    return (case.kind, case.plate.ink) in told


def _case_closeup(case: RegisterCase, told: Finding | None, check: Check) -> Closeup:
    dx, dy = case.shift_mm
    how = f"turned {case.turn_deg:.3f}°" if case.turn_deg else f"off by {format_mm((dx * dx + dy * dy) ** 0.5)}"
    caption = told.message if told else f"{how}: {MISHAPS[case.kind]}, {format_mm2(case.area_mm2)}"
    spot = (told.at_mm if told else None) or case.at_mm or (0.0, 0.0)
    x, y = case.about_mm
    return replace(
        closeup(spot, caption, case.plate.ink, CASE_HALF_MM),
        moved_order=next(i for i, clearance in enumerate(check.clearances, start=1) if clearance.plate is case.plate),
        move=f"translate({dx:.4f} {dy:.4f}) rotate({case.turn_deg:.5f} {x:.4f} {y:.4f})",
        spoilt=region_path(case.spoilt),
    )
