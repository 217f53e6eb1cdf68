"""Processes that work for a command: its interrupts are its own business, and none of them outlives it."""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing import resource_tracker
from threading import Thread


@contextmanager
def interrupts_held_back() -> Iterator[None]:
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


def end_with_parent() -> None:
    """Called in the new process: however the command is ended, this one does not go on."""
    Thread(target=_wait_for_parent, daemon=True).start()


def _wait_for_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
