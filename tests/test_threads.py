"""Tasks shared with one more thread: the same outcomes, in order, and nobody waits for long."""

import threading

import pytest

from vectorsep.threads import one_thread_aside, together


def tasks_noting(where, count):
    """Tasks that give their numbers and note which thread took each."""

    def task(number):
        where[number] = threading.current_thread()
        return number

    return [lambda number=number: task(number) for number in range(count)]


@pytest.mark.parametrize("count", [0, 1, 2, 9])
def test_without_a_thread_aside_this_one_takes_all(count):
    where = {}
    assert together(tasks_noting(where, count)) == list(range(count))
    assert set(where.values()) <= {threading.main_thread()}


@pytest.mark.parametrize("count", [0, 1, 2, 9])
def test_outcomes_are_in_the_order_of_their_tasks(count):
    with one_thread_aside():
        assert together(tasks_noting({}, count)) == list(range(count))


def test_both_threads_work_at_once():
    meeting = threading.Barrier(2, timeout=60)  # broken, and told so, if one thread took both
    with one_thread_aside():
        assert sorted(together([meeting.wait, meeting.wait])) == [0, 1]


def test_a_thread_that_is_busy_is_not_waited_for():
    where, done = {}, threading.Event()
    with one_thread_aside() as aside:
        aside.submit(done.wait, 60)
        assert together(tasks_noting(where, 5)) == list(range(5))
        done.set()
    assert set(where.values()) == {threading.main_thread()}


def test_a_task_that_shares_its_own_tasks_waits_for_nobody():
    with one_thread_aside():
        inner = together([lambda: together(tasks_noting({}, 3))] * 3)
    assert inner == [[0, 1, 2]] * 3


@pytest.mark.parametrize("failing", range(4))
def test_where_one_fails_the_others_are_not_begun(failing):
    begun, busy, free = [], threading.Event(), threading.Event()

    def task(number):
        begun.append(number)
        if number == failing:
            raise ValueError(number)

    with one_thread_aside() as aside:
        aside.submit(lambda: busy.set() or free.wait(60))
        busy.wait(60)
        with pytest.raises(ValueError, match=str(failing)):
            together([lambda number=number: task(number) for number in range(4)])
        free.set()
    assert begun == list(range(failing + 1))


def test_what_fails_aside_fails_here():
    together_now = threading.Barrier(2, timeout=60)

    def fails():
        together_now.wait()
        raise ValueError("aside")

    with one_thread_aside(), pytest.raises(ValueError, match="aside"):
        together([together_now.wait, fails])


def test_after_it_is_gone_nothing_is_shared():
    with one_thread_aside():
        pass
    where = {}
    together(tasks_noting(where, 4))
    assert set(where.values()) == {threading.main_thread()}
