"""Borders by end points, against the engine's intersection of outlines, and grown traps' own ground."""

import numpy as np
import pytest
import shapely
from shapely import Point, box

from vectorsep.geometry.borders import NOBODY, borders_of


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
                ours, theirs = borders.between(i, [j]), _border(one, other)
                assert shapely.length(ours) == pytest.approx(shapely.length(theirs), abs=1e-9)
                assert shapely.hausdorff_distance(ours, theirs) < 1e-9 or shapely.is_empty(theirs)


@pytest.mark.parametrize("seed", range(10))
def test_every_edge_has_a_neighbour_or_nobody(seed):
    areas = _tiles(seed)
    borders = borders_of(areas)
    outside = [shapely.length(borders.between(i, [NOBODY])) for i in range(len(areas))]
    whole = shapely.union_all(areas)
    assert sum(outside) == pytest.approx(whole.length, rel=1e-9)


def test_a_border_that_goes_all_round_is_one_line():
    hole = box(4, 4, 6, 6)
    borders = borders_of([shapely.difference(box(0, 0, 10, 10), hole), hole])
    assert shapely.get_num_geometries(borders.between(1, [0])) == 1
    assert shapely.length(borders.between(1, [0])) == 8


def test_areas_that_do_not_meet_have_none():
    assert shapely.is_empty(borders_of([box(0, 0, 1, 1), box(2, 0, 3, 1)]).between(0, [1]))
