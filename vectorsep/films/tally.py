"""The warnings of a job by kind, a line each: what the first page says beside the verdict."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from vectorsep.model import Notice
from vectorsep.paper.remarks import WHOLE_PRINT, Remark
from vectorsep.units import counted

KINDS = {
    "thin-line": "lines thinner than their mesh holds",
    "narrow-gap": "gaps narrower than their mesh holds open",
    "small-island": "islands smaller than their mesh holds",
    "pinhole": "pinholes that fill with ink",
    "gap-closes": "gaps that fill with blocker",
    "no-white": "lines and dots without white beneath",
    "gap-opens": "gaps between inks, each the worst of one plate out of register",
    "white-shows": "white beside colours, each the worst of one plate out of register",
    "ink-on-cloth": "ink on the cloth, each the worst of one plate out of register",
}
"""What places of a kind are, where more than one is counted. Of other kinds every message is told."""

FIRST = (*WHOLE_PRINT, "art-recedes")
"""What speaks of the whole print, then art that is not printed: told before all others, in this order."""


class Kind(NamedTuple):
    """The warnings of one kind: its code, how many places they speak of, and the lines that tell of them."""

    code: str
    places: int
    lines: tuple[str, ...]


def warnings_by_kind(remarks: Iterable[Remark]) -> tuple[Kind, ...]:
    """The warnings by kind: those of FIRST, the others as they come."""
    kinds: dict[str, list[Remark]] = {}
    for remark in remarks:
        if remark.severity == "warning":
            kinds.setdefault(remark.code, []).append(remark)
    ranked = sorted(kinds, key=lambda code: FIRST.index(code) if code in FIRST else len(FIRST))
    return tuple(_kind(code, kinds[code]) for code in ranked)


def _kind(code: str, alike: list[Remark]) -> Kind:
    places = sum(remark.places for remark in alike)
    if code not in KINDS:
        return Kind(code, places, tuple(_joined(alike)))
    plates = len({remark.plate for remark in alike})
    return Kind(code, places, (f"{counted(places, 'place')} on {counted(plates, 'plate')}: {KINDS[code]}",))


def _joined(alike: Iterable[Remark]) -> Iterator[str]:
    """The messages, those with one ending together, which is said once; those without any, as they are."""
    by_ending: dict[str, list[str]] = {}
    for remark in alike:
        ending = remark.ending if isinstance(remark, Notice) else ""
        by_ending.setdefault(ending, []).append(remark.message.removesuffix(ending))
    for ending, beginnings in by_ending.items():
        yield from [f"{'; '.join(beginnings)}{ending}"] if ending else beginnings
