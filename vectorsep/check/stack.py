"""The stack as a whole: is there one blocker, does everything above it stay clear of its edge, does white hide?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from vectorsep.check.clearance import clearance_findings, measure_clearance
from vectorsep.model import Check, Clearance, Finding, Plate, Severity
from vectorsep.settings import Settings
from vectorsep.units import format_mm


def check_stack(plates: Sequence[Plate], settings: Settings) -> tuple[Finding, ...]:
    """What would go wrong on press with these plates, in print order. No `unsafe` finding: the stack is safe."""
    return measure_stack(plates, settings).findings


def measure_stack(plates: Sequence[Plate], settings: Settings) -> Check:
    """Measure every plate against the blocker's edge and list what breaks the press's registration tolerance."""
    findings = list(_order_findings(plates))
    blockers = [plate for plate in plates if plate.role == "blocker" and not plate.area.is_empty]
    if len(blockers) != 1:
        return Check((), tuple(findings))
    clearances = [_measure(plate, blockers[0]) for plate in plates]
    for clearance in clearances:
        findings.extend(clearance_findings(clearance, settings.registration_mm))
    findings.extend(_choke_findings(plates, settings))
    return Check(tuple(clearances), tuple(findings))


def _measure(plate: Plate, blocker: Plate) -> Clearance:
    return Clearance(plate, None, None) if plate is blocker else measure_clearance(plate, blocker)


def _order_findings(plates: Sequence[Plate]) -> Iterator[Finding]:
    blockers = [plate for plate in plates if plate.role == "blocker"]
    if not blockers:
        yield Finding("no-blocker", "unsafe", None, "no plate is the blocker: every ink would touch the cloth")
    for extra in blockers[1:]:
        yield Finding("second-blocker", "unsafe", extra.ink, "more than one blocker: which one protects is unknown")
    for plate in plates:
        if plate.area.is_empty:
            severity: Severity = "unsafe" if plate.role == "blocker" else "warning"
            yield Finding("empty-plate", severity, plate.ink, "this plate has nothing to print in the ink zone")
    ranks = [("blocker", "white", "colour").index(plate.role) for plate in plates]
    if ranks != sorted(ranks):
        yield Finding("wrong-order", "unsafe", None, "print the blocker first, white on it, colours on the white")


def _choke_findings(plates: Sequence[Plate], settings: Settings) -> Iterator[Finding]:
    narrowest = min(settings.choke_mm, settings.min_choke_mm)
    if narrowest < settings.registration_mm and any(plate.role == "white" for plate in plates):
        yield Finding(
            "white-may-show",
            "warning",
            "white",
            f"the white is choked by as little as {format_mm(narrowest)}, less than the press's "
            f"{format_mm(settings.registration_mm)}: it may show beside the colours",
        )
