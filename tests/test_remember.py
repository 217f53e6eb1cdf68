"""What is remembered: pure outcomes, a few of them, until told to forget."""

import dataclasses
import threading

import pytest
import shapely

from vectorsep.errors import CalledOff
from vectorsep.geometry import graded
from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_stack
from vectorsep.remember import KEPT, forget, recalling, remembered
from vectorsep.settings import Settings
from vectorsep.threads import one_thread_aside


def counted():
    calls = []

    @remembered
    def area(region, factor):
        calls.append(factor)
        return region.area * factor

    return area, calls


def test_equal_arguments_are_worked_out_once():
    area, calls = counted()
    assert area(shapely.box(0, 0, 2, 2), 3) == area(shapely.box(0, 0, 2, 2), 3) == 12
    assert calls == [3]


def test_only_the_last_few_are_kept():
    area, calls = counted()
    for factor in [*range(KEPT + 1), 0]:
        area(shapely.box(0, 0, 1, 1), factor)
    assert calls == [*range(KEPT + 1), 0]


def test_memories_drop_nothing_of_each_other():
    area, calls = counted()
    area(shapely.box(0, 0, 1, 1), 0)
    with recalling("aside", lambda: True):
        for factor in range(KEPT + 1):
            area(shapely.box(0, 0, 1, 1), factor)
    area(shapely.box(0, 0, 1, 1), 0)
    assert calls == [0, *range(KEPT + 1)]


def test_what_nobody_waits_for_is_not_begun_but_what_is_kept_is_given():
    area, calls = counted()
    with recalling("look", lambda: not calls):
        assert [area(shapely.box(0, 0, 1, 1), 1) for _ in range(2)] == [1, 1]
        with pytest.raises(CalledOff):
            area(shapely.box(0, 0, 1, 1), 2)
    assert area(shapely.box(0, 0, 1, 1), 2) == 2
    assert calls == [1, 2]


def test_a_thread_aside_has_the_same_memory_and_is_called_off_with_this_one():
    area, calls = counted()
    with recalling("look", lambda: not calls), one_thread_aside() as aside:
        assert aside.submit(area, shapely.box(0, 0, 1, 1), 1).result() == area(shapely.box(0, 0, 1, 1), 1)
        with pytest.raises(CalledOff):
            aside.submit(area, shapely.box(0, 0, 1, 1), 2).result()
    assert calls == [1]


@pytest.fixture
def bar():
    """A design of one bar, of which nothing is remembered."""
    painted = (PaintedShape(shapely.box(50, 50, 80, 60), "#c81e28", Place("path")),)
    forget()
    return separate_inks(Artwork(200.0, 200.0, painted), Settings())


def test_all_threads_that_make_plates_ask_whether_they_are_wanted(bar):
    asking = set()

    def is_wanted():
        asking.add(threading.current_thread())
        return True

    with recalling("look", is_wanted):
        make_stack(bar, Settings())
    assert len(asking) == 2


def test_plates_that_nobody_waits_for_are_left_off(bar):
    for steps in range(3):
        asked = iter([True] * steps)
        with recalling("look", lambda asked=asked: next(asked, False)), pytest.raises(CalledOff):
            make_stack(bar, Settings())


def test_forgetting_starts_afresh():
    area, calls = counted()
    area(shapely.box(0, 0, 1, 1), 1)
    forget()
    area(shapely.box(0, 0, 1, 1), 1)
    assert calls == [1, 1]


def test_plates_do_not_depend_on_what_was_made_before():
    shapes = ((shapely.box(50, 50, 80, 60), "#c81e28"), (shapely.box(60, 40, 62, 70), "#14285a"))
    painted = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in shapes)
    design = separate_inks(Artwork(200.0, 200.0, painted), Settings())
    wanted = dataclasses.replace(Settings(), choke_mm=0.5, spread_mm=0.7)
    forget()
    alone = make_stack(design, wanted)
    forget()
    for step in range(6):
        make_stack(design, dataclasses.replace(Settings(), choke_mm=0.3 + step / 10, spread_mm=0.5 + step / 10))
    assert make_stack(design, wanted) == alone


def test_a_new_spread_looks_for_narrow_white_only_where_art_recedes(monkeypatch):
    """Two parts of a badge recede from the slanting gap between them, which stays open; a lone disc does not."""
    badge = (shapely.box(20, 20, 40, 30), shapely.Polygon([(20, 30.7), (40, 31.6), (40, 40), (20, 40)]))
    painted = [PaintedShape(area, "#c81e28", Place("path")) for area in (*badge, shapely.Point(80, 80).buffer(10))]
    design = separate_inks(Artwork(100.0, 100.0, tuple(painted)), Settings())
    looked_at, ridges_of = [], graded.ridges_of

    def noted(area, far_mm):
        looked_at.append(area.bounds)
        return ridges_of(area, far_mm)

    monkeypatch.setattr(graded, "ridges_of", noted)
    forget()
    make_stack(design, Settings())
    assert len(looked_at) == 3  # the cloth, the badge, the disc
    looked_at.clear()
    make_stack(design, dataclasses.replace(Settings(), spread_mm=Settings().spread_mm + 0.01))
    assert looked_at == [pytest.approx((20, 20, 40, 40))]
