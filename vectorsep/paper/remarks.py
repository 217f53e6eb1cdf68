"""The verdict in words, and which remarks people are shown: the gravest first, of one kind on one plate only the first
few, the others counted.

The report and the terminal list them alike; stacking-report.json holds all.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple, TypeAlias, get_args

from vectorsep.model import Check, Finding, Notice, Severity
from vectorsep.units import counted, format_mm

Remark: TypeAlias = Finding | Notice

MOST_ALIKE = 3
"""Warnings and notes of one kind on one plate that are shown before the others are only counted; more of them bury the
rest."""
NEVER_SHORTENED = frozenset({"left-out"})
"""Kinds of which every one is shown: art that does not print at all."""

WHOLE_PRINT = ("backdrop", "beyond-platen", "off-page", "cut-at-page", "many-shades")
"""Kinds that speak of the whole print and ask the separator something: told before all others of their severity."""


class Listed(NamedTuple):
    """A remark to show, and how many more of its kind on its plate are not shown after it."""

    remark: Remark
    more: int = 0

    @property
    def others(self) -> str:
        """Those that are not shown, in words."""
        return f"and {self.more} more of this kind{' on this plate' if self.remark.plate else ''}"


def listed(remarks: Iterable[Remark], most: int | None = MOST_ALIKE) -> tuple[Listed, ...]:
    """The remarks to show, gravest first, kinds and plates kept together in the order in which they come.

    Everything unsafe is shown. `most` is how many of another kind are, None for all; one that would be left out alone
    is shown too, for its line takes no more room than a count.
    """
    kinds: dict[tuple[str, str, str | None], list[Remark]] = {}
    for remark in remarks:
        kinds.setdefault((remark.severity, remark.code, remark.plate), []).append(remark)
    ranked = sorted(kinds.items(), key=lambda kind: get_args(Severity).index(kind[0][0]))
    shown: list[Listed] = []
    for (severity, code, _), alike in ranked:
        whole = severity == "unsafe" or code in NEVER_SHORTENED or most is None or len(alike) <= most + 1
        kept, others = (alike, []) if whole else (alike[:most], alike[most:])
        shown += [Listed(remark) for remark in kept[:-1]]
        shown.append(Listed(kept[-1], sum(remark.places for remark in others)))
    return tuple(shown)


def verdict(check: Check, tolerance_mm: float, edited: int = 0) -> str:
    """The verdict in a line, which never reads of edited films as of untouched ones."""
    line = f"{'SAFE' if check.safe else 'NOT SAFE'} at a registration tolerance of {format_mm(tolerance_mm)}"
    if not edited:
        return line
    return f"{line}, with {counted(edited, 'film')} edited since {'it was' if edited == 1 else 'they were'} made"


def told_with_place(remark: Remark) -> str:
    """What a remark says, after the plate and the place that it speaks of."""
    place = f" at {remark.at_mm[0]:.2f}, {remark.at_mm[1]:.2f} mm" if remark.at_mm else ""
    where = f"{remark.plate or 'stack'}{place}: " if remark.plate or place else ""
    return where + remark.message
