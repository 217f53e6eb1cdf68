"""What the commands print of a finished job and of a check."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from vectorsep.errors import VectorsepError
from vectorsep.films import REPORT, REPORT_PAGE
from vectorsep.model import Check
from vectorsep.paper.remarks import MOST_ALIKE, Listed, listed, told_with_place, verdict
from vectorsep.separation import Separation
from vectorsep.units import counted, floored, format_mm

IN_REPORT = f"see {REPORT}"


class PrintError(VectorsepError):
    """What a command has to say could not be printed, which is no fault of what it made."""


@contextmanager
def printing(done: str = "") -> Iterator[None]:
    """Print to the last letter here, where it can still be told when the output takes no more.

    `done` says what stands all the same. Raises PrintError, and BrokenPipeError when nobody reads on.
    """
    try:
        try:
            yield
        finally:  # help ends in an exit
            sys.stdout.flush()
    except BrokenPipeError:
        _drop_output()
        raise
    except OSError as error:
        _drop_output()
        reason = (error.strerror or str(error)).lower()
        raise PrintError(f"could not print: {reason}{f'; {done}' if done else ''}") from error


def _drop_output() -> None:
    """Send the rest nowhere: the interpreter would try it again at its end, and complain."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def tell_separation(job: Separation, folder: Path) -> None:
    """Print the notices, the check and where to look."""
    _tell_remarks(listed((*job.design.notices, *job.stack.notices)), IN_REPORT)
    tell_check(job.check, job.settings.registration_mm)
    print(f"{counted(len(job.films), 'screen')} in {folder}; open {folder / REPORT_PAGE}")


def tell_quietly(check: Check, tolerance_mm: float, *, edited: int = 0) -> None:
    """All that is told when nothing was to be printed but errors: the verdict NOT SAFE, where errors are told."""
    if not check.safe:
        print(verdict(check, tolerance_mm, edited), file=sys.stderr)


def tell_check(
    check: Check, tolerance_mm: float, *, edited: int = 0, most: int | None = MOST_ALIKE, others: str = IN_REPORT
) -> None:
    """Print the clearances, the findings and the verdict.

    `edited` is how many films are not as they were made; `most`, how many findings of a kind are listed, None for all;
    `others` says where the rest are.
    """
    for clearance in check.clearances:
        if clearance.distance_mm is not None and clearance.at_mm is not None:
            x, y = clearance.at_mm
            distance = format_mm(floored(clearance.distance_mm, decimals=3))
            ink = printable(clearance.plate.ink)
            print(f"{ink}: {distance} to the blocker's edge, tightest at {x:.2f}, {y:.2f} mm")
    _tell_remarks(listed(check.findings, most), others)
    print(verdict(check, tolerance_mm, edited))


def _tell_remarks(remarks: Iterable[Listed], others: str) -> None:
    for shown in remarks:
        remark = shown.remark
        print(printable(f"{remark.severity}: {told_with_place(remark)}"))
        if shown.more:
            print(f"    {shown.others}: {others}")


def printable(text: str) -> str:
    """A text fit for a terminal: no name may write lines of its own there, or move its cursor."""
    return "".join(letter if letter.isprintable() else ascii(letter)[1:-1] for letter in text)
