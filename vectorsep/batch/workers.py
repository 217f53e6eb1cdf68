"""Handing work to an executor, and what happens when a worker dies."""

from __future__ import annotations

import contextlib
import itertools
import os
from collections.abc import Generator, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, ProcessPoolExecutor, wait
from contextlib import AbstractContextManager
from multiprocessing.context import SpawnContext, SpawnProcess
from typing import Protocol, TypeAlias, TypeVar

from vectorsep.batch.result import Outcome, failure
from vectorsep.batch.work import Work, defect_message, do_work
from vectorsep.processes import end_with_parent, interrupts_held_back

Workers: TypeAlias = Executor | int
"""An executor with the interface of `concurrent.futures`, or a number of processes on this machine."""

IN_FLIGHT = 256
"""Designs handed to a foreign executor and not yet answered: more than it has workers, so none waits, but not a
whole shop's designs in memory at once."""
IN_FLIGHT_PER_PROCESS = 2
"""The same for processes of our own: one at work, one waiting. When a process dies, so many are tried singly."""
WORKER_DIED = (
    "the process that separated it died, with no other design beside it: most likely out of memory; "
    "try it with `vectorsep separate`, or simplify the art (or, called from a script, its main part is not under "
    "`if __name__ == '__main__':`, which new processes need)"
)


class HasWork(Protocol):
    """Anything that carries a piece of work."""

    @property
    def work(self) -> Work:
        """What a worker is to do."""


Task = TypeVar("Task", bound=HasWork)


def outcomes(tasks: Iterable[Task], workers: Workers) -> Iterator[tuple[Task, Outcome]]:
    """Have every task done; yields each once, with its outcome, as they come. Tasks are drawn as they are handed out.

    When a worker dies and takes its executor along, each task that was handed out is tried again alone, so that
    only the one that kills its worker fails; the rest goes to fresh processes on this machine. An executor that
    was given is left open.
    """
    waiting = iter(tasks)
    for pool, in_flight in _pools(workers):
        with pool as executor:
            suspects = yield from _work_off(waiting, executor, in_flight)
        if not suspects:
            return
        for task in suspects:
            yield task, _alone(task.work)


def _pools(workers: Workers) -> Iterator[tuple[AbstractContextManager[Executor], int]]:
    """The executor that was given, if any; from then on fresh processes, each time the last ones broke."""
    if isinstance(workers, int):
        count = workers
    else:
        yield contextlib.nullcontext(workers), IN_FLIGHT
        count = os.cpu_count() or 1
    while True:
        yield _processes(count), IN_FLIGHT_PER_PROCESS * count


class _Worker(SpawnProcess):
    """A process that starts clean, nothing forked from threads. As a daemon it holds up nobody's end."""

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs, daemon=True)  # type: ignore[arg-type] # whatever the executor hands it

    def start(self) -> None:
        """Start it so that an interrupt is left to its parent."""
        with interrupts_held_back():
            super().start()


class _Context(SpawnContext):
    """Starts workers for an executor, and ends them when nobody waits for their work any more.

    The executor itself would let them finish first; interrupted once more meanwhile, it would leave them waiting for
    ever, and its process with them.
    """

    def __init__(self) -> None:
        super().__init__()
        self._started: list[_Worker] = []

    def Process(self, *args: object, **kwargs: object) -> _Worker:  # type: ignore[override] # noqa: N802
        """A worker; what an executor takes for the class of its processes."""
        worker = _Worker(*args, **kwargs)
        self._started.append(worker)
        return worker

    def end_all(self) -> None:
        """End all that were started."""
        for worker in self._started:
            if worker.pid is not None:
                worker.kill()


@contextlib.contextmanager
def _processes(count: int) -> Iterator[Executor]:
    """Processes of our own, which end with the work, with whoever gives up waiting for it, and with this process."""
    context = _Context()
    executor = ProcessPoolExecutor(count, mp_context=context, initializer=end_with_parent)
    try:
        yield executor
    except BaseException:
        context.end_all()
        raise
    finally:
        executor.shutdown(cancel_futures=True)


def _work_off(
    waiting: Iterator[Task], executor: Executor, in_flight: int
) -> Generator[tuple[Task, Outcome], None, list[Task]]:
    """Draw tasks until all are answered or the executor is broken; returns those that were lost with it."""
    running: dict[Future[Outcome], Task] = {}
    lost: list[Task] = []
    while True:
        for task in itertools.islice(waiting, 0 if lost else in_flight - len(running)):
            future = _submit(executor, task.work)
            if future is None:
                lost.append(task)
                break
            running[future] = task
        if not running:
            return lost
        for future in wait(running, return_when=FIRST_COMPLETED).done:
            task = running.pop(future)
            outcome = _answer(future)
            if outcome is None:
                lost.append(task)
            else:
                yield task, outcome


def _submit(executor: Executor, work: Work) -> Future[Outcome] | None:
    """Hand a piece of work over; None when the executor is broken."""
    try:
        return executor.submit(do_work, work)
    except BrokenExecutor:
        return None


def _answer(future: Future[Outcome]) -> Outcome | None:
    """A worker's answer; None when the executor broke under it."""
    try:
        return future.result()
    except BrokenExecutor:
        return None
    except Exception as error:  # an executor of any make may fail in its own way
        return failure(defect_message(error))


def _alone(work: Work) -> Outcome:
    with _processes(1) as executor:
        future = _submit(executor, work)
        outcome = _answer(future) if future else None
    return outcome or failure(WORKER_DIED)
