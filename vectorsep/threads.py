"""One more thread beside the one that works: the engine works outside the interpreter's lock."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeVar

from vectorsep.remember import recalling_alike

Outcome = TypeVar("Outcome")

_aside: ContextVar[Executor | None] = ContextVar("aside", default=None)


@contextmanager
def one_thread_aside() -> Iterator[Executor]:
    """One more thread, which recalls as this one does. What is handed to it is done in turn, and `together`
    shares with it."""
    with ThreadPoolExecutor(1, initializer=recalling_alike()) as aside:
        before = _aside.set(aside)
        try:
            yield aside
        finally:
            _aside.reset(before)


def together(tasks: Sequence[Callable[[], Outcome]]) -> list[Outcome]:
    """The outcomes of tasks, in their order. This thread begins at the first. The thread aside, if there is one, begins
    at the next as soon as it has done what it was handed before; and whatever it has not begun this one takes, so that
    it waits for no more than one of them. The longest come first at best."""
    aside = _aside.get()
    if aside is None or len(tasks) < 2:
        return [task() for task in tasks]
    handed = [aside.submit(task) for task in tasks[1:]]
    try:
        outcomes = {0: tasks[0]()}
        outcomes |= {i: tasks[i]() for i, future in enumerate(handed, 1) if future.cancel()}
        return [outcomes[i] if i in outcomes else handed[i - 1].result() for i in range(len(tasks))]
    finally:
        for future in handed:
            future.cancel()  # where another failed nobody wants it
