"""Work goes to any executor, and a worker that dies takes only its own design along."""

import os
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import dataclass

import pytest

from vectorsep.batch.work import Work, do_work
from vectorsep.batch.workers import WORKER_DIED, outcomes
from vectorsep.settings import ReadOptions, Settings

SVG = b'<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><path d="M4,4h20v20z"/></svg>'


class Killer(dict):
    """Kills the process that unpickles it: a stand-in for a design that runs a worker out of memory."""

    def __reduce__(self):
        return os._exit, (1,)


@dataclass(frozen=True)
class Job:
    name: str
    work: Work


def good(name):
    return Job(name, Work(SVG, Settings(), name))


def deadly(name):
    return Job(name, Work(SVG, Settings(art=ReadOptions(fonts=Killer())), name))


class Inline(Executor):
    """The least that the interface asks for."""

    def __init__(self):
        self.handed_out = 0

    def submit(self, fn, /, *args, **kwargs):
        self.handed_out += 1
        future = Future()
        future.set_result(fn(*args, **kwargs))
        return future


class Breaking(Inline):
    """An executor that breaks between two pieces of work, as a pool does whose idle worker dies."""

    def submit(self, fn, /, *args, **kwargs):
        if self.handed_out == 2:
            raise BrokenExecutor("a worker died")
        return super().submit(fn, *args, **kwargs)


class Losing(Executor):
    """An executor whose answers are lost on the way, as a cluster's may be."""

    def submit(self, fn, /, *args, **kwargs):
        future = Future()
        future.set_exception(ConnectionError("link is down"))
        return future


def verdicts(jobs, workers):
    answers = [(job.name, outcome.result) for job, outcome in outcomes(jobs, workers)]
    assert len(answers) == len(dict(answers)), "each task is answered once"
    return {name: result.verdict for name, result in answers}, dict(answers)


@pytest.mark.parametrize("make", [Inline, lambda: ThreadPoolExecutor(2), lambda: ProcessPoolExecutor(1), lambda: 2])
def test_any_executor_gives_the_same_answers(make):
    job = good("a")
    expected = do_work(job.work)
    assert expected.result.verdict == "safe"
    workers = make()
    assert [outcome for _, outcome in outcomes([job], workers)] == [expected]
    if isinstance(workers, Executor):
        workers.shutdown()


def test_work_is_drawn_only_as_it_is_handed_out(monkeypatch):
    monkeypatch.setattr("vectorsep.batch.workers.IN_FLIGHT", 3)
    drawn = []

    def jobs():
        for i in range(6):
            drawn.append(i)
            yield good(str(i))

    for count, _ in enumerate(outcomes(jobs(), Inline())):
        assert len(drawn) <= count + 3


@pytest.mark.parametrize("given", [True, False], ids=["a pool that was given", "processes of our own"])
def test_a_worker_that_dies_fails_only_its_own_design(given):
    jobs = [good("a"), good("b"), deadly("c"), good("d"), good("e"), deadly("f"), good("g")]
    workers = ProcessPoolExecutor(2) if given else 2
    found, results = verdicts(jobs, workers)
    assert found == {name: "failed" if name in "cf" else "safe" for name in "abcdefg"}
    assert results["c"].message == WORKER_DIED
    if given:
        workers.shutdown()


def test_work_that_a_broken_executor_does_not_take_is_done_elsewhere():
    found, _ = verdicts([good(name) for name in "abcd"], Breaking())
    assert found == dict.fromkeys("abcd", "safe")


def test_an_executor_that_loses_answers_gives_failed_rows():
    found, results = verdicts([good("a"), good("b")], Losing())
    assert found == {"a": "failed", "b": "failed"}
    assert "link is down" in results["a"].message


def test_a_defect_is_told_not_raised(monkeypatch):
    monkeypatch.setattr("vectorsep.batch.work.separate", lambda *args: 1 / 0)
    outcome = do_work(good("a").work)
    assert outcome.result.verdict == "failed"
    assert "defect of this program" in outcome.result.message
    assert not outcome.files


def test_too_little_memory_for_a_design_is_told_and_stops_no_other(monkeypatch):
    def greedy(*_args):
        raise MemoryError

    monkeypatch.setattr("vectorsep.batch.work.separate", greedy)
    outcome = do_work(good("a").work)
    assert outcome.result.verdict == "failed"
    assert "memory of this machine does not suffice" in outcome.result.message
