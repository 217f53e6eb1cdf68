"""What the worst that register does to each plate means, and what would cure it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from vectorsep.geometry.boolean import difference, union
from vectorsep.geometry.measure import no_shorter
from vectorsep.geometry.moves import Move
from vectorsep.geometry.offset import grow, inset
from vectorsep.geometry.region import EMPTY, inner_point, touches
from vectorsep.model import Finding, Region, RegisterCase
from vectorsep.settings import WIDEST_CHOKE_MM, Settings
from vectorsep.units import LEAST_SEEN_MM2, format_mm, format_mm2

SEEN_MM = 0.05
"""Strips of white or bare blocker narrower than this are not seen on cloth, however long."""


def register_findings(
    cases: Sequence[RegisterCase], short: Sequence[str | None], settings: Settings, *, edited: bool = False
) -> Iterator[Finding]:
    """What the worst cases mean. `short`: plates whose clearance is too small anyhow, and found so already; `edited`:
    whether plates may lie otherwise than the settings made them."""
    colours = [case.plate.area for case in cases if case.plate.role == "colour" and case.kind == "ink-on-cloth"]
    for case in cases:
        if case.kind == "ink-on-cloth":
            if case.area_mm2 > 0 and case.plate.ink not in short:
                cure = _more_clearance(_reach_mm(case, case.plate.area, settings), settings)
                message = f"{_how(case)}, {format_mm2(case.area_mm2)} of ink lies on bare cloth; {cure}"
                yield Finding(case.kind, "unsafe", case.plate.ink, message, case.at_mm)
            continue
        seen = _wide_enough(case.spoilt)
        if _is_slit(case):  # where white art and a colour end together, the choke leaves a notch: that is no outline
            seen = no_shorter(seen, _bold_mm(settings.registration_mm, settings))
        if seen.area >= LEAST_SEEN_MM2:
            reach_mm = _reach_mm(case, seen, settings)
            if case.kind == "white-shows":
                what, cure = "of white show beside the colours", _less_white(case, seen, reach_mm, colours, settings)
            elif _is_slit(case):
                what, cure = "of blocker show between white art and colours beside it", _more_white(reach_mm, settings)
            else:
                cure = _wider_trap(reach_mm, settings, edited=edited)
                what = "between it and its neighbours show white or blocker"
            message = f"{_how(case)}, {format_mm2(seen.area)} {what}; {cure}"
            yield Finding(case.kind, "warning", case.plate.ink, message, inner_point(seen))


def _is_slit(case: RegisterCase) -> bool:
    """Whether it is a gap between white art and colour without white below it, not one between colours."""
    return case.kind == "gap-opens" and case.plate.role == "white"


def _wide_enough(area: Region) -> Region:
    """What of it is wide enough to be seen."""
    return grow(inset(area, SEEN_MM / 2), SEEN_MM / 2)


def _more_clearance(reach_mm: float, settings: Settings) -> str:
    """What would keep the ink on the blocker; the spread is what gives the clearance its room, at round corners too."""
    if settings.clearance_mm < reach_mm:
        return (
            f"a clearance of {format_mm(reach_mm)} and a spread a tenth wider keep it on the blocker, or let the press "
            "turn plates less and set press.turn to what it holds"
        )
    return "the films' ink reaches nearer to the blocker's edge than the job cuts it: make them anew"


def _reach_mm(case: RegisterCase, seen: Region, settings: Settings) -> float:
    """How far a plate may come to lie from its place there, shifted or turned, in hundredths, rounded up."""
    ways = (case.turn_deg, settings.turn_deg)
    turned_mm = max(Move((0.0, 0.0), turn_deg, case.about_mm).farthest_mm(seen) for turn_deg in ways)
    return math.ceil(round(100 * max(settings.registration_mm, turned_mm), 6)) / 100


def _less_white(
    case: RegisterCase, seen: Region, reach_mm: float, colours: Sequence[Region], settings: Settings
) -> str:
    """What would hide the white: only what the settings have not given already."""
    if reach_mm > WIDEST_CHOKE_MM:
        return (
            f"the plate lies {format_mm(reach_mm)} off its place there, more than a choke can hide: let the press turn "
            "plates less and set press.turn to what it holds"
        )
    if min(settings.choke_mm, settings.min_choke_mm) < reach_mm:
        return f"a choke and a least choke of {format_mm(reach_mm)} hide what is not white art's own edge"
    white_art = _wide_enough(difference(case.plate.area, union(colours))) if colours else EMPTY
    if touches(grow(seen, reach_mm + SEEN_MM), white_art):
        return "it is beside white art, whose own edge is not choked"
    return "the films' white reaches farther out, or a colour less far, than the job has them: make them anew"


def _more_white(reach_mm: float, settings: Settings) -> str:
    if not settings.white_under_colours:
        return "white below the colours (white.under_colours = true) covers them"
    wide = format_mm(_bold_mm(reach_mm, settings))
    return f"white runs on far enough below colour {wide} wide: draw it as bold there, and leave no gap between them"


def _bold_mm(reach_mm: float, settings: Settings) -> float:
    """How wide colour beside white art must be for white to run on below it by what a plate may slip."""
    return max(settings.choke_mm, settings.min_choke_mm) + reach_mm


def _wider_trap(reach_mm: float, settings: Settings, *, edited: bool) -> str:
    if settings.trap_mm < reach_mm:
        return f"a trap of {format_mm(reach_mm)} covers them where the inks meet and what prints over it is wide enough"
    why = "what prints over a trap is too thin for it there, or the art leaves a gap: art.close_gaps closes narrow ones"
    return f"a film that was edited may do it: put it as it was; else {why}" if edited else why


def _how(case: RegisterCase) -> str:
    if case.turn_deg:
        return f"turned by {abs(case.turn_deg):.3g} degrees {'clockwise' if case.turn_deg > 0 else 'anticlockwise'}"
    x, y = case.shift_mm
    return f"out of register by {format_mm(math.hypot(x, y))}"
