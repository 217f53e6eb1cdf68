"""The stack as a whole: can it be measured, does everything above the blocker stay clear of its edge, will it print?"""

from __future__ import annotations

from collections.abc import Sequence

from vectorsep.check.clearance import clearance_findings, measure_clearance
from vectorsep.check.detail import detail_findings
from vectorsep.check.held import held_findings
from vectorsep.check.mishaps import register_findings
from vectorsep.check.order import order_findings, plate_fault, tolerance_findings
from vectorsep.check.register import register_cases
from vectorsep.model import Check, Clearance, Finding, Plate, Point
from vectorsep.settings import Settings
from vectorsep.threads import one_thread_aside


def measure_stack(
    plates: Sequence[Plate],
    settings: Settings,
    *,
    page_centre_mm: Point | None = None,
    reading_error_mm: float = 0.0,
    edited: bool = False,
) -> Check:
    """Measure every plate against the blocker's edge and list what breaks the press's registration tolerance.

    Plates are in print order, in mm. `page_centre_mm` is what a plate turns about on the press; left out, the centre
    of the blocker's bounds. `reading_error_mm`: how far the plates' outlines may be from the drawn ones (see
    `measure_clearance`). `edited`: whether plates may lie otherwise than the job made them.
    There is one clearance a plate, in print order, or none at all without a sound blocker.
    """
    faults = [plate_fault(plate) for plate in plates]
    sound = [plate for plate, fault in zip(plates, faults, strict=True) if fault is None]
    findings = [*tolerance_findings(settings), *order_findings(plates), *(fault for fault in faults if fault)]
    blocker = _only_blocker(plates, sound)
    if blocker is None:
        return Check((), tuple(findings))
    with one_thread_aside() as aside:  # detail stands apart; the engine works outside the interpreter's lock
        detail = aside.submit(lambda: tuple(detail_findings(sound, settings)))
        clearances = tuple(
            measure_clearance(plate, blocker, reading_error_mm)
            if fault is None and plate is not blocker
            else Clearance(plate, None, None)
            for plate, fault in zip(plates, faults, strict=True)
        )
        cases = register_cases(sound, blocker, settings, page_centre_mm, clearances)
        short = [one for clearance in clearances for one in clearance_findings(clearance, settings.registration_mm)]
        findings += [*short, *register_findings(cases, _plates_of(short), settings, edited=edited)]
        findings += held_findings(clearances, blocker, settings)
    findings += detail.result()
    return Check(clearances, tuple(findings), cases)


def _plates_of(findings: Sequence[Finding]) -> list[str | None]:
    return [finding.plate for finding in findings]


def _only_blocker(plates: Sequence[Plate], sound: Sequence[Plate]) -> Plate | None:
    """The blocker to measure against: the only one there is, and sound."""
    blockers = [plate for plate in plates if plate.role == "blocker"]
    return blockers[0] if len(blockers) == 1 and any(plate is blockers[0] for plate in sound) else None
