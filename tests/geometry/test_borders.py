"""Borders by end points, against the engine's intersection of outlines, and grown traps' own ground."""

import numpy as np
import pytest
import shapely
from shapely import Point, box

from vectorsep.geometry.borders import NOBODY, borders_of
from vectorsep.geometry.near import STRETCH
from vectorsep.geometry.visible import visible_of_kinds


def _border(one, other):
    """The lines along which two areas meet, as the engine overlays their outlines."""
    shared = shapely.get_parts(shapely.intersection(one.boundary, other.boundary))
    return shapely.line_merge(shapely.multilinestrings(shared[shapely.get_dimensions(shared) == 1]))


def _tiles(seed):
    """Overlapping discs made into areas with matched edges, the later ones on top."""
    rng = np.random.default_rng(seed)
    free, areas = shapely.Polygon(), []
    for _ in range(8):
        disc = Point(*rng.uniform(0, 20, 2)).buffer(rng.uniform(3, 8), quad_segs=6)
        areas.append(shapely.difference(disc, free))
        free = shapely.union(free, disc)
    return list(shapely.coverage_clean(areas))


@pytest.mark.parametrize("seed", range(10))
def test_borders_are_those_that_the_engine_finds(seed):
    areas = _tiles(seed)
    borders = borders_of(areas)
    for i, one in enumerate(areas):
        for j, other in enumerate(areas):
            if i != j:
                ours, theirs = borders.between([i], [j]).lines(), _border(one, other)
                assert shapely.length(ours) == pytest.approx(shapely.length(theirs), abs=1e-9)
                assert shapely.hausdorff_distance(ours, theirs) < 1e-9 or shapely.is_empty(theirs)


@pytest.mark.parametrize("seed", range(10))
def test_every_edge_has_a_neighbour_or_nobody(seed):
    areas = _tiles(seed)
    borders = borders_of(areas)
    outside = [shapely.length(borders.between([i], [NOBODY]).lines()) for i in range(len(areas))]
    whole = shapely.union_all(areas)
    assert sum(outside) == pytest.approx(whole.length, rel=1e-9)


def test_a_border_that_goes_all_round_is_one_line():
    hole = box(4, 4, 6, 6)
    borders = borders_of([shapely.difference(box(0, 0, 10, 10), hole), hole])
    assert shapely.get_num_geometries(borders.between([1], [0]).lines()) == 1
    assert shapely.length(borders.between([1], [0]).lines()) == 8


def test_areas_that_do_not_meet_have_none():
    assert shapely.is_empty(borders_of([box(0, 0, 1, 1), box(2, 0, 3, 1)]).between([0], [1]).lines())


@pytest.mark.parametrize("seed", range(10))
def test_the_outline_of_several_areas_is_that_of_the_engines_union(seed):
    areas = _tiles(seed)
    around = borders_of(areas).around([0, 2, 3, 5])
    union = shapely.union_all([areas[i] for i in (0, 2, 3, 5)])
    assert shapely.length(around.lines()) == pytest.approx(union.length, rel=1e-9)
    assert shapely.hausdorff_distance(around.lines(), union.boundary) < 1e-9


@pytest.mark.parametrize("seed", range(3))
def test_a_split_border_is_the_same_lines_in_short_edges(seed):
    border = borders_of(_tiles(seed)).between([7], range(7))
    split = border.split(0.3)
    assert np.hypot(*(split.ends[:, 1] - split.ends[:, 0]).T).max() <= 0.3 + 1e-12
    assert len(shapely.get_parts(split.lines())) == len(shapely.get_parts(border.lines()))
    assert shapely.hausdorff_distance(split.lines(), border.lines()) < 1e-9


def test_stretches_are_the_lines_in_short_ones_and_part_of_a_border_is_its_edges():
    disc = Point(5, 5).buffer(2, quad_segs=10)
    border = borders_of([shapely.difference(box(0, 0, 10, 10), disc), disc]).between([1], [0])
    stretches = border.stretches()
    assert (shapely.get_num_coordinates(stretches) <= STRETCH + 1).all()
    assert shapely.length(stretches).sum() == pytest.approx(disc.length)
    left = border.where(border.middles[:, 0] < 5).lines()
    assert left.geom_type == "LineString" or len(left.geoms) == 1
    assert shapely.length(left) == pytest.approx(disc.length / 2)


def test_beyond_lies_outside_the_area_that_the_border_is_of():
    hole = box(4, 4, 6, 6)
    frame = shapely.difference(box(0, 0, 10, 10), hole)
    for areas in ([frame, hole], [shapely.reverse(frame), shapely.reverse(hole)]):
        borders = borders_of(areas)
        assert shapely.contains_xy(hole, *borders.between([0], [1]).beyond(0.5).T).all()
        assert shapely.contains_xy(frame, *borders.between([1], [0]).beyond(0.5).T).all()


def wide(areas, some, others, every_mm=0.3):
    """The border of some areas with others where they have any width."""
    border = borders_of(areas).between(some, others).split(every_mm)
    return border.where(border.has_width(areas)).lines()


@pytest.mark.parametrize("turn_deg", range(3, 90, 7))
def test_a_spike_of_no_width_is_told(turn_deg):
    """Of two flush bars the lower keeps, by rounding, a spike along the flush edges of the upper one."""
    lower = shapely.affinity.rotate(box(5, 10, 15, 14), turn_deg, origin=(15, 15))
    upper = shapely.affinity.rotate(box(5, 10.2, 15, 14.2), turn_deg, origin=(15, 15))
    areas = visible_of_kinds([lower, upper], [0, 1], 2)
    assert shapely.length(wide(areas, [0], [1])) == pytest.approx(10, abs=1e-6)


@pytest.mark.parametrize("between", [[], [(2 - 1e-9, 6.0)], [(2 - 1e-9, 8.0), (2 - 1e-9, 5.0)]])
def test_a_spike_ends_where_the_area_has_width_again(between):
    """However many corners lie on either side of it."""
    spiked = shapely.Polygon([(0, 0), (4, 0), (4, 4), (2, 4), (2, 9), *between, (2 - 1e-9, 4), (0, 4)])
    beside = shapely.Polygon([(4, 4), (4, 9), (2, 9), (2, 4)])
    assert shapely.length(borders_of([spiked, beside]).between([0], [1]).lines()) == 7
    assert shapely.length(wide([spiked, beside], [0], [1])) == 2
    assert borders_of([shapely.Polygon()]).between([0], [0]).lines().is_empty


def test_a_neck_of_no_width_is_told():
    """Two squares that rounding joins along the edge of what lies between them."""
    corners = [
        (0, 0),
        (4, 0),
        (4, 4),
        (2, 4),
        (2, 8),
        (4, 8),
        (4, 12),
        (0, 12),
        (0, 8),
        (2 - 1e-9, 8),
        (2 - 1e-9, 4),
        (0, 4),
    ]
    necked, beside = shapely.Polygon(corners), shapely.Polygon([(4, 4), (4, 8), (2, 8), (2, 4)])
    assert shapely.length(wide([necked, beside], [0], [1])) == 4  # of 8 in common


def test_width_is_that_of_the_area_itself():
    """That another area is wide beside a spike, even one that is asked for too, does not count."""
    spike = shapely.Polygon([(0, 0), (0, 4), (1e-9, 4)])
    left, right = shapely.Polygon([(0, 0), (-4, 0), (-4, 4), (0, 4)]), box(0, -4, 4, 0)
    areas = [spike, left, right]
    assert shapely.is_empty(wide(areas, [0, 1], [2]))
    assert shapely.length(wide(areas, [1, 0], [0])) == 4
