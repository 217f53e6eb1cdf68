"""What a batch knows of a design when it is done: enough for a line of the summary."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from vectorsep.paper.remarks import WHOLE_PRINT, Remark, told_with_place
from vectorsep.separation import Separation

Verdict: TypeAlias = Literal["safe", "unsafe", "failed"]

ASKED = (*WHOLE_PRINT, "too-few-heads")
"""Kinds that a shop must answer before screens are made, safe or not: of one design in hundreds nobody opens the report
to learn that it has more screens than the press has heads."""


@dataclass(frozen=True, slots=True)
class Result:
    """How one design came out."""

    verdict: Verdict
    screens: int = 0
    clearance_mm: float | None = None
    """The least that any upper ink keeps to the blocker's edge; None where nothing was measured."""
    unsafe: int = 0
    """Places where ink can touch the cloth, or dye come through."""
    warnings: int = 0
    """Places that want a look, as many as the report counts."""
    message: str = ""
    """Why it failed; else why it is not safe, and what is to be asked of its whole print, a line each. Mostly empty."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What comes back from separating one design: its result, and the files of its folder unless it failed."""

    result: Result
    files: Mapping[str, bytes] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the summary."""

    label: str
    folder: str
    result: Result
    kept: bool = False
    """Whether it was done before and unchanged, so that nothing was made anew."""


def failure(message: str) -> Outcome:
    """The outcome of a design that could not be separated; the message names the place and the remedy."""
    return Outcome(Result("failed", message=message))


def result_of(job: Separation) -> Result:
    """Sum up a finished job."""
    tightest = job.check.tightest
    remarks: tuple[Remark, ...] = (*job.check.findings, *job.design.notices, *job.stack.notices)
    count: Counter[str] = Counter()
    for remark in remarks:
        count[remark.severity] += remark.places
    return Result(
        verdict="safe" if job.check.safe else "unsafe",
        screens=len(job.films),
        clearance_mm=tightest.distance_mm if tightest else None,
        unsafe=count["unsafe"],
        warnings=count["warning"],
        message="\n".join(
            told_with_place(remark) if remark.severity == "unsafe" else remark.message
            for remark in remarks
            if remark.severity == "unsafe" or remark.code in ASKED
        ),
    )
