"""What the commands print of a finished job and of a check."""

from __future__ import annotations

from pathlib import Path

from vectorsep.model import Check
from vectorsep.separation import Separation
from vectorsep.units import format_mm


def tell_separation(job: Separation, folder: Path) -> None:
    """Print the notices, the check and where to look."""
    for notice in (*job.design.notices, *job.stack.notices):
        print(f"{notice.severity}: {_where(notice.plate, notice.at_mm)}{notice.message}")
    tell_check(job.check, job.settings.registration_mm)
    print(f"{len(job.films)} screens in {folder}; open {folder / 'stacking-report.html'}")


def tell_check(check: Check, tolerance_mm: float) -> None:
    """Print the clearances, the findings and the verdict."""
    for clearance in check.clearances:
        if clearance.distance_mm is not None and clearance.at_mm is not None:
            x, y = clearance.at_mm
            distance = format_mm(clearance.distance_mm)
            print(f"{clearance.plate.ink}: {distance} to the blocker's edge, tightest at {x:.2f}, {y:.2f} mm")
    for finding in check.findings:
        print(f"{finding.severity}: {_where(finding.plate, finding.at_mm)}{finding.message}")
    verdict = "SAFE" if check.safe else "NOT SAFE"
    print(f"{verdict} at a registration tolerance of {format_mm(tolerance_mm)}")


def _where(plate: str | None, at_mm: tuple[float, float] | None) -> str:
    place = f" at {at_mm[0]:.2f}, {at_mm[1]:.2f} mm" if at_mm else ""
    return f"{plate or 'stack'}{place}: " if plate or place else ""
