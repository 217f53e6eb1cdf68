"""Rims of known widths around, between and beside areas, and lines that are none."""

import pytest
import shapely
from shapely import MultiPolygon, Point, Polygon, affinity, box

from vectorsep.geometry import rims
from vectorsep.geometry.boolean import HAIRLINE_MM
from vectorsep.geometry.region import polygons
from vectorsep.geometry.rims import WIDER_MM, without_rims
from vectorsep.geometry.slivers import CORNER
from vectorsep.geometry.tiles import Untiled
from vectorsep.geometry.visible import visible_of_kinds

OVERHANG_MM2 = 1e-3
"""Rims are given with ten nanometres of what is beside them."""
COLOUR = Polygon([(10, 10), (30, 12), (28, 30), (18, 26), (9, 28)])


@pytest.mark.parametrize("turn", [0.0, 31.7, 90.0])
@pytest.mark.parametrize("wide_mm", [0.0003, 0.003, 0.015, 0.019])
def test_a_rim_all_around_goes_to_what_it_runs_around(turn, wide_mm):
    whole = affinity.rotate(COLOUR, turn, origin=(0, 0))
    inner = whole.buffer(-wide_mm, join_style="mitre")
    (rim, colour), _ = without_rims([whole.difference(inner), inner])
    assert colour.area == pytest.approx(whole.area, abs=0.011), "a corner holds a disc that no side holds"
    assert rim.area < 0.011
    assert shapely.coverage_is_valid([area for area in (rim, colour) if not area.is_empty])


def test_a_rim_that_hangs_on_its_own_ink_is_cut_off_there():
    wide, rim, beside = box(0, 0, 10, 10), box(10, 0, 20, 0.01), box(10, 0.01, 20, 9)
    (backing, colour), given = without_rims([wide.union(rim), beside])
    assert colour.symmetric_difference(beside.union(rim)).area < OVERHANG_MM2
    assert backing.symmetric_difference(wide).area < OVERHANG_MM2
    assert given.symmetric_difference(rim).area < OVERHANG_MM2


def test_a_rim_between_two_goes_to_the_one_that_it_borders_on_most():
    rim, below, above = box(0, 5, 10, 5.01), box(0, 0, 10, 5), box(0, 5.01, 7, 9)
    found, _ = without_rims([rim, below, above])
    assert found[0].is_empty
    assert found[1].symmetric_difference(below.union(rim)).area < OVERHANG_MM2
    assert found[2].equals(above)


@pytest.mark.parametrize("turn", [0.0, 1.3])
def test_crumbs_between_the_chords_of_two_like_curves_go_however_short(turn):
    """They are a tenth of a millimetre long."""
    fill = Point(0, 0).buffer(5, quad_segs=60)
    ring = affinity.rotate(Point(0, 0).buffer(5, quad_segs=49), turn, origin=(0, 0)).difference(
        Point(0, 0).buffer(4, quad_segs=49)
    )
    around = box(-9, -9, 9, 9)
    drawn = visible_of_kinds([around, fill, ring], [0, 1, 0], 2)
    assert len(polygons(drawn[1])) > 20
    (_, left), given = without_rims(drawn)
    assert len(polygons(left)) == 1
    assert given.area == pytest.approx(drawn[1].area - left.area, abs=OVERHANG_MM2)


LINES = {
    "on cloth": (box(0, 0, 20, 0.01), box(0, 5, 9, 9)),
    "on cloth from an edge": (box(9, 7, 29, 7.01), box(0, 5, 9, 9)),
    "wider than a hairline": (box(0, 4.97, 9, 5), box(0, 5, 9, 9)),
    "short, from what is wide": (box(9, 5, 20, 20).union(box(8.85, 4.99, 9, 5.01)), box(0, 5.01, 9, 9)),
    "short, on cloth": (box(0, 4.0, 0.15, 4.01), box(0, 5, 9, 9)),
}


@pytest.mark.parametrize("areas", LINES.values(), ids=LINES)
def test_lines_that_are_no_rims_stay(areas):
    left, given = without_rims(areas)
    assert all(one is other for one, other in zip(left, areas, strict=True))
    assert given.is_empty


def test_what_no_rim_lies_at_stays_to_the_last_bit_and_edges_match():
    """Beside a rim that goes there is a line on cloth that stays, and areas further off."""
    wide, rim, beside = box(0, 0, 10, 10), box(10, 0, 20, 0.01), box(10, 0.01, 20, 9)
    line, further = box(0, 30, 20, 30.01), box(40, 0, 50, 10)
    areas = [MultiPolygon([wide.union(rim), line]), beside, further]
    left, given = without_rims(areas)
    assert given.area == pytest.approx(rim.area, rel=0.01)
    assert left[2] is further
    assert any(shapely.equals_identical(piece, line) for piece in shapely.get_parts(left[0]))
    assert shapely.coverage_is_valid([piece for area in left for piece in shapely.get_parts(area)])
    shared = shapely.shared_paths(left[0].boundary, left[1].boundary)
    assert shapely.length(shared) == pytest.approx(8.99 + CORNER * HAIRLINE_MM, abs=0.01)


@pytest.mark.parametrize("failures", [1, 2, 3])
def test_rims_that_the_engine_cannot_cut_off_exactly_stay(monkeypatch, failures):
    """Never on a grid: edges would no longer match those of pieces further off."""
    left_to_fail = [True] * failures

    def failing(*args, rescue, **kwargs):
        assert not rescue
        if left_to_fail:
            left_to_fail.pop()
            raise Untiled("by chance")
        return visible_of_kinds(*args, rescue=rescue, **kwargs)

    monkeypatch.setattr(rims, "visible_of_kinds", failing)
    areas = [box(0, 0, 10, 0.01), box(0, 0.01, 10, 9)]
    (rim, colour), given = without_rims(areas)
    if failures == len(WIDER_MM):
        assert (rim, colour) == tuple(areas) and given.is_empty
    else:
        assert rim.is_empty and colour.area == pytest.approx(90, abs=OVERHANG_MM2)
