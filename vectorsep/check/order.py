"""What must hold before anything is measured: one blocker, printed first, and plates that can be measured at all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from vectorsep.geometry.fit import MEASURABLE_MM, is_measurable
from vectorsep.model import Finding, Plate, Role

PRINT_ORDER: tuple[Role, ...] = ("blocker", "white", "colour")


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
        return Finding("empty-plate", "unsafe", plate.ink, message)
    if not is_measurable(plate.area):
        message = f"this plate has points that are no numbers, or lie beyond {MEASURABLE_MM:g} mm: redraw it"
        return Finding("unmeasurable", "unsafe", plate.ink, message)
    if not plate.area.is_valid:
        message = "this plate's outlines cross themselves or overlap, so what it covers is open: unite them"
        return Finding("unmeasurable", "unsafe", plate.ink, message)
    return None
