"""What is remembered: pure outcomes, a few of them, until told to forget."""

import dataclasses

import shapely

from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_stack
from vectorsep.remember import KEPT, forget, remembered
from vectorsep.settings import Settings


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
