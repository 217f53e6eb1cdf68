"""What the commands print of a finished job and of a check."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from vectorsep.model import Check, Finding, Notice
from vectorsep.separation import Separation
from vectorsep.units import floored, format_mm

SHOWN_IN_FULL = frozenset({"left-out"})
"""Kinds of remark that are never shortened: art that does not print at all."""
SHOWN_OF_A_KIND = 3
"""How many remarks of one kind on one plate a terminal shows before it refers to the report."""


def tell_separation(job: Separation, folder: Path) -> None:
    """Print the notices, the check and where to look."""
    _tell_some((*job.design.notices, *job.stack.notices))
    tell_check(job.check, job.settings.registration_mm)
    screens = "1 screen" if len(job.films) == 1 else f"{len(job.films)} screens"
    print(f"{screens} in {folder}; open {folder / 'stacking-report.html'}")


def tell_check(check: Check, tolerance_mm: float) -> None:
    """Print the clearances, the findings and the verdict."""
    for clearance in check.clearances:
        if clearance.distance_mm is not None and clearance.at_mm is not None:
            x, y = clearance.at_mm
            distance = format_mm(floored(clearance.distance_mm, decimals=3))
            print(f"{clearance.plate.ink}: {distance} to the blocker's edge, tightest at {x:.2f}, {y:.2f} mm")
    _tell_some(check.findings)
    verdict = "SAFE" if check.safe else "NOT SAFE"
    print(f"{verdict} at a registration tolerance of {format_mm(tolerance_mm)}")


def _tell_some(remarks: Iterable[Finding | Notice]) -> None:
    """Print remarks, but of one kind on one plate only the first few: the report holds all of them."""
    told: Counter[tuple[str, str | None]] = Counter()
    for remark in remarks:
        kind = (remark.code, remark.plate)
        told[kind] += 1
        if told[kind] <= SHOWN_OF_A_KIND or remark.severity == "unsafe" or remark.code in SHOWN_IN_FULL:
            print(_printable(f"{remark.severity}: {_where(remark.plate, remark.at_mm)}{remark.message}"))
    for (code, plate), count in told.items():
        if count > SHOWN_OF_A_KIND and code not in SHOWN_IN_FULL:
            print(
                f"{plate or 'stack'}: {count - SHOWN_OF_A_KIND} more remarks of the kind {code}; the report lists them"
            )


def _printable(text: str) -> str:
    """No name in a file may write lines of its own on the terminal, or move its cursor."""
    return "".join(letter if letter.isprintable() else ascii(letter)[1:-1] for letter in text)


def _where(plate: str | None, at_mm: tuple[float, float] | None) -> str:
    place = f" at {at_mm[0]:.2f}, {at_mm[1]:.2f} mm" if at_mm else ""
    return f"{plate or 'stack'}{place}: " if plate or place else ""
