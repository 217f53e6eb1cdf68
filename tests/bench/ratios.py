"""Timing in pairs: the two sides of a ratio run by turns on the same input, so a busy machine slows both."""

from __future__ import annotations

import gc
import statistics
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass

Job = Callable[[], object]


@dataclass(frozen=True, slots=True)
class Measure:
    """One line of the table: what was measured, against what, and whether that reaches what was asked."""

    name: str
    ours: str
    theirs: str
    value: str
    reach: str
    reached: bool


def by_turns(
    ours: Job, theirs: Job, rounds: int, clock: Callable[[], float] = time.process_time
) -> tuple[float, float]:
    """Median seconds of two jobs, run by turns after one unmeasured turn each.

    The default clock counts this process's own CPU time, threads included: right for work that stays in this
    process on a machine that others use. Give `time.perf_counter` for work that runs in other processes, and for what
    somebody waits for while threads share it.
    """
    ours()
    theirs()
    ours_s, theirs_s = zip(*((timed(ours, clock), timed(theirs, clock)) for _ in range(rounds)), strict=True)
    return statistics.median(ours_s), statistics.median(theirs_s)


def timed(job: Job, clock: Callable[[], float] = time.process_time) -> float:
    """Seconds of one run, garbage of earlier runs cleared away first."""
    gc.collect()
    start = clock()
    job()
    return clock() - start


def seconds(duration_s: float) -> str:
    """A duration for people."""
    return f"{duration_s:.2f} s" if duration_s >= 1 else f"{duration_s * 1000:.1f} ms"


def at_most(name: str, ours_s: float, theirs_s: float, limit: float) -> Measure:
    """Our time may be at most so many times the other."""
    ratio = ours_s / theirs_s
    value, reach = f"{ratio:.2f} times its time", f"at most {limit:g}"
    return Measure(name, seconds(ours_s), seconds(theirs_s), value, reach, ratio <= limit)


def compared(name: str, plain_s: float, theirs_s: float) -> Measure:
    """Another way's time in place of ours, which nothing is asked of."""
    value = f"{plain_s / theirs_s:.2f} times its time"
    return Measure(name, seconds(plain_s), seconds(theirs_s), value, "for comparison", reached=True)


def at_least(name: str, ours_s: float, theirs_s: float, faster: float) -> Measure:
    """We must be at least so many times as fast as the other."""
    ratio = theirs_s / ours_s
    value, reach = f"{ratio:.2f} times as fast", f"at least {faster:g}"
    return Measure(name, seconds(ours_s), seconds(theirs_s), value, reach, ratio >= faster)


HEAD = ("measure", "ours", "against", "ratio", "reach", "")


def table(measures: Iterable[Measure]) -> str:
    """The measures as a plain text table."""
    rows = [HEAD, *((m.name, m.ours, m.theirs, m.value, m.reach, "ok" if m.reached else "SHORT") for m in measures)]
    widths = [max(len(row[i]) for row in rows) for i in range(len(HEAD))]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows
    )
