"""Outcomes that are asked for again while a separator moves one distance: the rest of the work stays as it was."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache, wraps
from threading import Lock
from typing import ParamSpec, TypeVar

from vectorsep.errors import CalledOff

Parameters = ParamSpec("Parameters")
Outcome = TypeVar("Outcome")

KEPT = 10
"""Outcomes of so many different calls are kept for each function: those of the last two designs, of which narrow places
are looked for in five areas each, the cloth and both halves of what recedes and of what does not."""
_keeping = Lock()
_forgetting: list[Callable[[], None]] = []
_memory: ContextVar[str] = ContextVar("memory", default="")
_is_wanted: ContextVar[Callable[[], bool]] = ContextVar("is_wanted", default=lambda: True)


@contextmanager
def recalling(memory: str, is_wanted: Callable[[], bool]) -> Iterator[None]:
    """Keep outcomes apart from those of other memories meanwhile: work on a detail then drops none of those of the
    whole. Raises CalledOff at the next outcome that is not kept once none is wanted any more."""
    before = _memory.set(memory), _is_wanted.set(is_wanted)
    try:
        yield
    finally:
        _memory.reset(before[0])
        _is_wanted.reset(before[1])


def recalling_alike() -> Callable[[], None]:
    """What another thread calls to recall as this one does."""
    memory, is_wanted = _memory.get(), _is_wanted.get()

    def recall_alike() -> None:
        _memory.set(memory)
        _is_wanted.set(is_wanted)

    return recall_alike


def remembered(function: Callable[Parameters, Outcome]) -> Callable[Parameters, Outcome]:
    """Keep a function's last few outcomes. It must be pure, and its arguments frozen: they are compared by value.

    No argument is hashed: most are the very same regions as before, which costs nothing to see, and a hash of all
    their points took up to a third of a new choke.
    """
    memories: defaultdict[str, list[tuple[tuple[object, ...], Outcome]]] = defaultdict(list)
    _forgetting.append(memories.clear)

    @wraps(function)
    def recall(*args: Parameters.args, **kwargs: Parameters.kwargs) -> Outcome:
        asked, kept = (*args, *kwargs.items()), memories[_memory.get()]
        held = next((held for held in kept if held[0] == asked), None)
        if not held:
            if not _is_wanted.get()():
                raise CalledOff
            held = (asked, function(*args, **kwargs))
        with _keeping:  # or of two threads the one drops what the other keeps
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
