"""Outcomes that are asked for again while a separator moves one distance: the rest of the work stays as it was."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, wraps
from typing import ParamSpec, TypeVar

Parameters = ParamSpec("Parameters")
Outcome = TypeVar("Outcome")

KEPT = 4
"""Outcomes of so many different calls are kept for each function: those of the last design, or of the last two."""
_forgetting: list[Callable[[], None]] = []


def remembered(function: Callable[Parameters, Outcome]) -> Callable[Parameters, Outcome]:
    """Keep a function's last few outcomes. It must be pure, and its arguments frozen: they are compared by value.

    No argument is hashed: most are the very same regions as before, which costs nothing to see, and a hash of all
    their points took up to a third of a new choke.
    """
    kept: list[tuple[tuple[object, ...], Outcome]] = []
    _forgetting.append(kept.clear)

    @wraps(function)
    def recall(*args: Parameters.args, **kwargs: Parameters.kwargs) -> Outcome:
        asked = (*args, *kwargs.items())
        held = next((held for held in kept if held[0] == asked), None) or (asked, function(*args, **kwargs))
        kept[:] = [held, *(other for other in kept if other is not held)][:KEPT]  # the last asked for comes first
        return held[1]

    return recall


def remembered_for(calls: int) -> Callable[[Callable[Parameters, Outcome]], Callable[Parameters, Outcome]]:
    """The same for as many different calls as said, found by their hash, where they are many and small."""

    def keep(function: Callable[Parameters, Outcome]) -> Callable[Parameters, Outcome]:
        kept = lru_cache(maxsize=calls)(function)
        _forgetting.append(kept.cache_clear)
        return kept  # type: ignore[return-value] # typed without the parameters

    return keep


def forget() -> None:
    """Drop all outcomes that are kept: to have the memory back, or to measure what a job takes from the start."""
    for clear in _forgetting:
        clear()
