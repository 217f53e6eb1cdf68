"""What must hold before anything is measured: a tolerance that tests something, one blocker, printed first, and plates
that can be measured at all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from vectorsep.geometry.measure import MEASURABLE_MM, is_measurable
from vectorsep.model import Finding, Plate, Role
from vectorsep.settings import LEAST_REGISTRATION_MM, Settings
from vectorsep.units import format_mm

EMPTY_PLATE = "empty-plate"
PRINT_ORDER: tuple[Role, ...] = ("blocker", "white", "colour")


def tolerance_findings(settings: Settings) -> Iterator[Finding]:
    """Whether the registration tolerance (mm) tests the plates: unsafe where no press holds it, a warning where it is
    less than they were cut to.

    The clearance and the least choke follow the tolerance unless a job sets them, so with a tolerance below both
    somebody changed a report, or the job asked for more than its press needs.
    """
    tolerance_mm, cut_to_mm = settings.registration_mm, min(settings.clearance_mm, settings.min_choke_mm)
    held = f"the plates are held to a registration tolerance of {format_mm(tolerance_mm)}"
    if tolerance_mm < LEAST_REGISTRATION_MM:
        message = (
            f"{held}, and no press registers finer than {format_mm(LEAST_REGISTRATION_MM)}, so nothing was tested: "
            "measure your own press and set press.registration, or give --registration"
        )
        yield Finding("tolerance-none", "unsafe", None, message)
    elif tolerance_mm < cut_to_mm:
        message = f"{held}, though they were cut to {format_mm(cut_to_mm)}: make sure that your press holds the former"
        yield Finding("tolerance-low", "warning", None, message)


def order_findings(plates: Sequence[Plate]) -> Iterator[Finding]:
    """No blocker or more than one, plates printed before what must lie under them."""
    blockers = [plate for plate in plates if plate.role == "blocker"]
    if not blockers:
        yield Finding("no-blocker", "unsafe", None, "no plate is the blocker: every ink would touch the cloth")
    for extra in blockers[1:]:
        message = "more than one blocker: which one protects is unknown"
        yield Finding("second-blocker", "unsafe", extra.ink, message)
    ranks = [PRINT_ORDER.index(plate.role) for plate in plates]
    for plate, rank, before in zip(plates[1:], ranks[1:], ranks, strict=False):
        if rank < before:
            message = "printed too late: print the blocker first, white on it, colours on the white"
            yield Finding("wrong-order", "unsafe", plate.ink, message)


def plate_fault(plate: Plate) -> Finding | None:
    """Why a plate cannot be measured, if it cannot: it holds nothing, or no region. Such a plate is never safe."""
    if plate.area.is_empty:
        message = "this plate has nothing to print in the ink zone: restore its ink, or take it out of the set"
        return Finding(EMPTY_PLATE, "unsafe", plate.ink, message)
    if not is_measurable(plate.area):
        message = f"this plate has points that are no numbers, or lie beyond {MEASURABLE_MM:g} mm: redraw it"
        return Finding("unmeasurable", "unsafe", plate.ink, message)
    if not plate.area.is_valid:
        message = "this plate's outlines cross themselves or overlap, so what it covers is open: unite them"
        return Finding("unmeasurable", "unsafe", plate.ink, message)
    return None
