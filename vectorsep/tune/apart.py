"""Work in a process of its own: it holds up nothing here, and ends as soon as nobody waits for its outcome."""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from multiprocessing import resource_tracker
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from threading import Thread
from typing import TypeVar

from vectorsep.errors import CalledOff, VectorsepError

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
        with theirs, _interrupts_held_back():
            process.start()
        try:
            yield process, ours
        finally:
            process.kill()
            process.join()


@contextmanager
def _interrupts_held_back() -> Iterator[None]:
    """What is started from this thread meanwhile never hears a Ctrl+C of its terminal: the command itself ends it."""
    if not hasattr(signal, "pthread_sigmask"):
        yield  # on Windows an interrupted process is ended a moment later anyway
        return
    resource_tracker.ensure_running()  # started later, by the process's start, it would let interrupts through again
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _do(work: Callable[[], object], answer: Connection) -> None:
    Thread(target=_end_with_parent, daemon=True).start()
    if hasattr(os, "nice"):
        os.nice(GIVES_WAY_BY)
    try:
        told = (False, work())
    except Exception as error:
        told = (True, error)
    answer.send(told)


def _end_with_parent() -> None:
    """However the command was ended, nothing of it goes on."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
