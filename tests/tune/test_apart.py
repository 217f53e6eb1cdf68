"""Work in a process of its own: what it gives and raises comes back, and it never outlives those who wait for it."""

import multiprocessing
import os
import time
from functools import partial

import pytest

from vectorsep.errors import CalledOff, SettingsError
from vectorsep.tune.apart import ProcessDied, done_apart


def raising(error):
    raise error


def test_the_outcome_comes_back_from_another_process():
    assert done_apart(os.getpid, lambda: True) != os.getpid()


def test_what_the_work_raises_is_raised_here():
    with pytest.raises(SettingsError) as caught:
        done_apart(partial(raising, SettingsError(["one @ a.b", "two @ c.d"])), lambda: True)
    assert caught.value.problems == ("one @ a.b", "two @ c.d")


def test_what_nobody_waits_for_is_ended():
    asked = iter((True, True, False))
    started = time.monotonic()
    with pytest.raises(CalledOff):
        done_apart(partial(time.sleep, 60), lambda: next(asked))
    assert time.monotonic() - started < 30  # not when the work is done
    assert multiprocessing.active_children() == []


def test_a_process_that_dies_is_told_and_not_waited_for():
    with pytest.raises(ProcessDied, match="ended by itself, with 3: most likely out of memory"):
        done_apart(partial(os._exit, 3), lambda: True)


@pytest.mark.skipif(not hasattr(os, "nice"), reason="there is no niceness here")
def test_it_gives_way_to_what_is_looked_at():
    assert done_apart(partial(os.nice, 0), lambda: True) > os.nice(0)
