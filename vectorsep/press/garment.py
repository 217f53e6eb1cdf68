"""The garment rule: how likely the dye is to bleed, and which stack that calls for. What is not known counts as high.

Grades: "How to test polyester garments for dye migration", a supplier's training article, on the grey scale for
staining (ISO 105-A03, AATCC EP2): 5 to 4 low, 3.5 to 3 moderate; that below 3 is high completes the series is our
reading. The lines without a grade are common practice, no source, and stand aside as soon as there is one; but for
all-over patterns, which one swatch does not clear.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence

from vectorsep.model import Finding, Plate, Point, Role
from vectorsep.press.white_cover import BareColour
from vectorsep.press_model import GarmentRisk, Risk, Rule, StackKind, strength_of
from vectorsep.press_settings import GarmentSetting
from vectorsep.units import format_mm2, format_share

CALLS_FOR: dict[Risk, StackKind] = {
    "low": "ordinary inks",
    "moderate": "low-bleed white alone",
    "high": "blocker with white",
}
TEST = "bench test, published"
PRACTICE = "common practice, no source"

_Line = tuple[str, Risk, str, Callable[[GarmentSetting], bool]]
LINES: tuple[_Line, ...] = (
    (
        "sublimated all-over pattern: the worst case, whatever one swatch shows",
        "high",
        PRACTICE,
        lambda g: g.dyeing == "sublimated",
    ),
    ("bench test below grade 3", "high", "our reading of the series", lambda g: (g.grade or 5) < 3),
    ("bench test grade 3 to 3.5", "moderate", TEST, lambda g: g.grade in (3.0, 3.5)),
    ("bench test grade 4 to 5", "low", TEST, lambda g: g.grade is not None),
    ("cotton, not tested: no disperse dye", "low", PRACTICE, lambda g: g.fibre == "cotton"),
    ("low-energy dye, not tested: comes out sooner", "high", PRACTICE, lambda g: g.dyeing == "low-energy"),
    (
        "cationic dye, not tested: that it bleeds less was not found in print",
        "high",
        "unknown counts as high",
        lambda g: g.dyeing == "cationic",
    ),
    ("undyed cloth: no dye", "low", PRACTICE, lambda g: g.dyeing == "undyed"),
    (
        "solid dyed polyester or blend, not tested",
        "moderate",
        PRACTICE,
        lambda g: g.fibre != "unknown" and g.dyeing == "solid",
    ),
    ("fibre or dyeing not known, not tested", "high", "unknown counts as high", lambda g: True),
)
"""Read from the top; the first line that fits the garment is the rule. The last fits everything."""


def judge_garment(garment: GarmentSetting) -> GarmentRisk:
    """The risk of bleeding by the first line that fits, and the stack it calls for, with all lines to show."""
    first = next(i for i, (_, _, _, fits) in enumerate(LINES) if fits(garment))
    rules = tuple(Rule(said, risk, source, i == first) for i, (said, risk, source, _) in enumerate(LINES))
    risk = LINES[first][1]
    return GarmentRisk(risk, CALLS_FOR[risk], rules)


def stack_kind(
    plates: Sequence[Plate], bare: Sequence[BareColour] = (), *, white_under_colours: bool = True
) -> StackKind:
    """`blocker with white` where the plates are that, else `ordinary inks`.

    Never the stack between the two: whether a white is a low-bleed one, plates do not tell. `bare`: colours that lack
    the white they should lie on. Without white under the colours a white plate, if there is one, lies under white art
    alone.
    """
    roles = {plate.role for plate in plates if not plate.area.is_empty}
    covered = {"blocker", "white"} <= roles and (white_under_colours or "colour" not in roles)
    protected = (covered and not bare) or roles == {"blocker"}  # nothing above a bare blocker can be stained
    return "blocker with white" if protected else "ordinary inks"


def garment_findings(
    plates: Sequence[Plate],
    garment: GarmentRisk,
    bare: Sequence[BareColour] = (),
    *,
    white_under_colours: bool = True,
) -> tuple[Finding, ...]:
    """An unsafe finding where the plates are a weaker stack than the garment calls for: its dye may come through.

    `bare` tells white that is gone from white that fine art has no room for: colours lack none that have no room.
    """
    has = stack_kind(plates, bare, white_under_colours=white_under_colours)
    if strength_of(has) >= strength_of(garment.calls_for):
        return ()
    roles = {plate.role for plate in plates}
    if {"blocker", "white", "colour"} <= roles and white_under_colours and bare:
        return tuple(_too_weak(garment, _bare_told(colour), colour.plate.ink, colour.at_mm) for colour in bare)
    lack = _lack(roles, has_bare=bool(bare), white_under_colours=white_under_colours)
    return (_too_weak(garment, f"this stack has no {lack}"),)


def _too_weak(garment: GarmentRisk, what: str, ink: str | None = None, at_mm: Point | None = None) -> Finding:
    message = (
        f"the garment's risk of bleeding is {garment.risk} and calls for {garment.calls_for}, but {what}, or test the "
        "garment, set garment.grade in the job and separate again"
    )
    return Finding("stack-too-weak", "unsafe", ink, message, at_mm)


def _bare_told(colour: BareColour) -> str:
    share = format_share(colour.share) if colour.share >= 0.01 else "under 1 %"
    return (
        f"{format_mm2(colour.bare_mm2)}, {share} of this ink away from its edges, have no white beneath: "
        "restore the white"
    )


def _lack(roles: Collection[Role], *, has_bare: bool, white_under_colours: bool) -> str:
    """What plates of some roles have none of, and the remedy."""
    if "blocker" not in roles:
        return "blocker: add it"
    if white_under_colours and "white" not in roles and not has_bare:  # nowhere is there room between the chokes
        return (
            "white, for its art is too fine to carry any: draw it wider than twice white.min_choke and white.min_line "
            "together, or set these smaller as far as the press holds them"
        )
    return f"white under its colours: add it{'' if white_under_colours else ' (white.under_colours = true)'}"


def spare_findings(garment: GarmentRisk, has: StackKind) -> Iterator[Finding]:
    """A note where the plates are a stronger stack than the garment calls for: a screen may be saved."""
    if strength_of(has) > strength_of(garment.calls_for):
        message = (
            f"the garment's risk of bleeding is {garment.risk} and calls for {garment.calls_for}: this stack is "
            "stronger, which is no fault; a bench test and a test print tell whether it goes without the blocker"
        )
        yield Finding("stack-stronger", "note", None, message)


def doubts(garment: GarmentSetting) -> Iterator[Finding]:
    """A warning where what the job says of the garment cannot be so."""
    if garment.fibre == "cotton" and garment.dyeing == "sublimated":
        message = (
            "the job says sublimated cotton, but sublimation takes polyester (common practice, no source): the risk is "
            "taken as high; find out what the cloth is and set garment.fibre and garment.dyeing"
        )
        yield Finding("garment-doubtful", "warning", None, message)
