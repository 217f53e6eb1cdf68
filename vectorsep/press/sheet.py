"""The press sheet of a finished stack."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from vectorsep.model import Finding, Plate, Saving, Stack
from vectorsep.press.garment import doubts, garment_findings, judge_garment, spare_findings, stack_kind
from vectorsep.press.heads import plan_heads
from vectorsep.press.ink import screen_ink
from vectorsep.press.white_cover import bare_colours
from vectorsep.press_model import GarmentRisk, PressPlan, PressSheet
from vectorsep.settings import COARSE_BLOCKER_MESH, Settings
from vectorsep.units import counted


def plan_press(stack: Stack, settings: Settings) -> PressSheet:
    """Work out heads, ink and the garment's risk for a stack of plates in print order."""
    garment = judge_garment(settings.garment)
    plan = plan_heads(stack.plates, tuple(_safe_savings(stack.savings, garment)), settings.press)
    has = stack_kind(stack.plates, white_under_colours=settings.white_under_colours)
    of_press = (*_mesh_findings(settings), *_head_findings(plan), *_highlight_findings(plan))
    findings = (*of_press, *spare_findings(garment, has))
    return PressSheet(tuple(screen_ink(plate, settings) for plate in stack.plates), plan, garment, has, findings)


def _safe_savings(savings: Sequence[Saving], garment: GarmentRisk) -> Iterator[Saving]:
    """Those that leave a stack strong enough for the garment: no head is worth one that is called unsafe."""
    return (saving for saving in savings if not saving.weakens or garment.calls_for == "ordinary inks")


def stack_findings(plates: Sequence[Plate], settings: Settings) -> tuple[Finding, ...]:
    """Whether these plates are stack enough for the garment: of plates as made, or of films as read back."""
    under = settings.white_under_colours
    bare = bare_colours(plates, settings) if under else ()
    weak = garment_findings(plates, judge_garment(settings.garment), bare, white_under_colours=under)
    return (*weak, *doubts(settings.garment))


def _mesh_findings(settings: Settings) -> Iterator[Finding]:
    mesh = settings.blocker_mesh_per_inch
    if mesh < COARSE_BLOCKER_MESH:
        message = (
            f"{mesh} threads/inch is coarser than the usual {COARSE_BLOCKER_MESH}: a thick deposit, but edges grow "
            "rough and gaps fill; print a test"
        )
        yield Finding("coarse-blocker-mesh", "note", settings.blocker_name, message)


def _head_findings(plan: PressPlan) -> Iterator[Finding]:
    if plan.fits is False:
        remedy = plan.remedy
        how = f"{remedy.heads} would do with {'; '.join(remedy.ways)}" if remedy else "no step known is enough"
        message = (
            f"the job needs {counted(len(plan.stations), 'head')}, flashes and cool-downs included, and the press has "
            f"{plan.heads}; {how}, see the heads in the report"
        )
        yield Finding("too-few-heads", "warning", None, message)


def _highlight_findings(plan: PressPlan) -> Iterator[Finding]:
    if plan.highlight_on == "wet" and plan.heads and plan.heads_with_that_flash:
        missing = counted(plan.heads_with_that_flash - plan.heads, "head")
        cooled = any(station.kind == "cool-down" for station in plan.stations)
        message = (
            "prints on wet colours, for the press has no head for a flash before it: its screen lifts them, and the "
            f"white turns dull; free {missing} (with that flash{', and a cool-down after it,' * cooled} the job takes "
            f"{plan.heads_with_that_flash}), or wipe its underside often"
        )
        yield Finding("wet-highlight", "warning", plan.stations[-1].plate.ink, message)
