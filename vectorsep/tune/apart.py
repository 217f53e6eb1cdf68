"""Work in a process of its own: it holds up nothing here, and ends as soon as nobody waits for its outcome."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import TypeVar

from vectorsep.errors import CalledOff, VectorsepError
from vectorsep.processes import end_with_parent, interrupts_held_back

Outcome = TypeVar("Outcome")

ASKED_AGAIN_S = 0.05
"""So often is asked whether somebody still waits: a called-off check ends before anybody sees that it goes on."""
GIVES_WAY_BY = 5
"""Steps of niceness, where there are such: what is looked at meanwhile comes first, on a machine with one core too."""


class ProcessDied(VectorsepError):
    """The process ended without an outcome."""


def done_apart(work: Callable[[], Outcome], is_wanted: Callable[[], bool]) -> Outcome:
    """The outcome of work that is done in a new process; it, the outcome and all that it raises must be picklable.

    Raises CalledOff, with the process ended, once `is_wanted` says no; ProcessDied; and whatever the work raises.
    """
    with _process(work) as (process, answer):
        while not answer.poll(ASKED_AGAIN_S):
            if not is_wanted():
                raise CalledOff
        try:
            is_raised, outcome = answer.recv()
        except EOFError:
            process.join()
            raise ProcessDied(
                f"the process that checks ended by itself, with {process.exitcode}: most likely out of memory; "
                "try `vectorsep separate`"
            ) from None
    if is_raised:
        raise outcome
    return outcome  # type: ignore[no-any-return] # through a pipe, which has no types


@contextmanager
def _process(work: Callable[[], object]) -> Iterator[tuple[BaseProcess, Connection]]:
    """A process at work that starts clean, nothing forked from threads, and where its answer comes from."""
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=_do, args=(work, theirs), daemon=True)
    with ours:
        with theirs, interrupts_held_back():
            process.start()
        try:
            yield process, ours
        finally:
            process.kill()
            process.join()


def _do(work: Callable[[], object], answer: Connection) -> None:
    end_with_parent()
    if hasattr(os, "nice"):
        os.nice(GIVES_WAY_BY)
    try:
        told = (False, work())
    except Exception as error:
        told = (True, error)
    answer.send(told)
