"""Regions on the plate grid."""

import numpy as np
import pytest
import shapely
from shapely import MultiPolygon, Point, Polygon, box

from vectorsep.geometry.region import (
    EMPTY,
    GRID_MM,
    GRID_STEPS_PER_MM,
    LARGE_CORNERS,
    amid_others,
    coming_near,
    on_grid,
    one_on_grid,
    rings_in_steps,
    shared_out,
    touching,
)


def off_grid(region):
    xy = shapely.get_coordinates(region)
    return np.abs(xy - np.rint(xy * GRID_STEPS_PER_MM) / GRID_STEPS_PER_MM).max()


@pytest.mark.parametrize("seed", range(5))
def test_every_vertex_comes_to_lie_on_the_grid_next_to_it(seed):
    rng = np.random.default_rng(seed)
    blob = shapely.union_all(shapely.buffer(shapely.points(rng.uniform(0, 20, (12, 2))), 2.0))
    snapped = on_grid(blob)
    assert snapped.is_valid
    assert off_grid(snapped) == 0
    assert shapely.hausdorff_distance(shapely.boundary(blob), shapely.boundary(snapped)) <= GRID_MM


def test_pieces_that_lie_over_each_other_by_a_rounding_become_one():
    pieces = MultiPolygon([box(0, 0, 10, 10), box(10 - 1e-7, 2, 20, 8)])
    assert not pieces.is_valid
    snapped = on_grid(pieces)
    assert snapped.is_valid
    assert off_grid(snapped) == 0
    assert snapped.area == pytest.approx(160, abs=1e-3)


def test_pieces_that_meet_nothing_stay_as_they_are_beside_such_that_do():
    apart = [box(30 + 3 * i, 0, 32 + 3 * i, 2) for i in range(5)]
    snapped = on_grid(MultiPolygon([box(0, 0, 10, 10), box(10 - 1e-7, 2, 20, 8), *apart]))
    assert snapped.is_valid
    assert len(snapped.geoms) == 6
    assert sum(any(piece.equals_exact(square, 0) for piece in snapped.geoms) for square in apart) == 5


def test_regions_that_the_grid_lays_over_each_other_become_one():
    one, other = on_grid(box(0, 0, 10, 10)), on_grid(MultiPolygon([box(10 - 2 * GRID_MM, 2, 20, 8), box(30, 0, 32, 2)]))
    whole = one_on_grid([one, other])
    assert whole.is_valid
    assert off_grid(whole) == 0
    assert len(whole.geoms) == 2
    assert whole.equals(shapely.union(one, other))


def test_regions_that_meet_nothing_or_at_a_point_are_put_together_as_they_are():
    regions = [box(0, 0, 10, 10), box(10, 10, 20, 20), MultiPolygon()]
    assert list(one_on_grid(regions).geoms) == regions[:2]


def test_pieces_go_to_the_whole_that_they_lie_in():
    wholes = [MultiPolygon([box(0, 0, 10, 10), box(40, 0, 50, 10)]), box(20, 0, 30, 10), box(60, 0, 61, 1)]
    pieces = [box(1, 1, 2, 2), box(21, 0, 22, 10), box(41, 1, 42, 2), box(0, 5, 10, 6), box(20, 0, 21, 1)]
    shared = shared_out(MultiPolygon(pieces), wholes)
    assert [set(shapely.get_parts(share)) for share in shared] == [
        {pieces[i] for i in which} for which in ((0, 2, 3), (1, 4), ())
    ]


def test_a_neck_thinner_than_the_grid_closes():
    waist = shapely.Polygon([(0, 0), (5, 4.99998), (10, 0), (10, 10), (5, 5.00002), (0, 10)])
    snapped = on_grid(waist)
    assert snapped.is_valid
    assert off_grid(snapped) == 0
    assert snapped.area == pytest.approx(waist.area, abs=1e-2)


SPIKES = (
    "53.09108630375554 178.4213732538604 69.28209540696588 159.3712049996472 "
    "58.05059579533319 172.5860673954882 64.74483383774579 173.89541239226557",
    "27.402975363267302 43.33918910465726 20.420855508565634 45.69545757045547 "
    "22.233479025198985 45.08374827277972 45.4784758641286 25.028446316749157",
)
"""Polygons with a spike of some 0.000000000001 mm. Cut into steps of 0.6 mm as polygons, nothing is left of them."""


@pytest.mark.parametrize("corners", SPIKES)
def test_an_outline_with_a_spike_of_no_width_keeps_all_that_it_encloses_in_steps(corners):
    spiked = Polygon(np.array(corners.split(), dtype=float).reshape(-1, 2))
    assert spiked.is_valid
    assert shapely.segmentize(spiked, 0.6).area < 1e-6  # else the engine does better now, and this module may do less
    (ring,) = rings_in_steps(spiked, 0.6)
    assert shapely.polygons(ring).area == pytest.approx(spiked.area, rel=1e-9)
    assert np.hypot(*np.diff(shapely.get_coordinates(ring), axis=0).T).max() <= 0.6 + 1e-9


@pytest.mark.parametrize("distance", [1e-6, 0.05, 0.3])
@pytest.mark.parametrize("seed", range(3))
def test_what_comes_near_a_large_net_is_told_as_the_engine_tells_it(seed, distance):
    """Dots in its meshes, on its threads, wholly inside of its solid corner, and around all of a lone ring."""
    rng = np.random.default_rng(seed)
    threads = [box(0, i, 30, i + 0.2) for i in range(30)] + [box(i, 0, i + 0.2, 30) for i in range(30)]
    net = shapely.union_all([*threads, box(0, 0, 6, 6), Point(40, 40).buffer(2, quad_segs=LARGE_CORNERS)])
    dots = shapely.buffer(shapely.points(rng.uniform(-2, 45, (900, 2))), rng.uniform(0.05, 0.4, 900), quad_segs=3)
    dots = MultiPolygon([*dots.tolist(), Point(3, 3).buffer(1), box(36, 36, 44, 44), Point(40, 40).buffer(1)])
    near = [dot for dot in dots.geoms if dot.distance(net) <= distance]
    assert 100 < len(near) < len(dots.geoms)
    assert list(coming_near(dots, net, distance).geoms) == near


def test_many_pieces_touching_a_large_polygon_do_not_cost_all_of_its_corners_each(monkeypatch):
    """No large polygon lies in a tree: each piece that asks would go through all of it."""
    comb = shapely.union_all([box(0, 0, 2000, 1), *(box(i, 0, i + 0.5, 20) for i in range(2000))])
    dots = MultiPolygon([box(i + 0.5, 5, i + 0.6, 6) for i in range(2000)])
    asked = []
    query = shapely.STRtree.query
    monkeypatch.setattr(
        "vectorsep.geometry.region.shapely.STRtree.query",
        lambda tree, *args, **how: (
            asked.append(shapely.get_num_coordinates(tree.geometries)) or query(tree, *args, **how)
        ),
    )
    assert len(touching(dots, comb).geoms) == 2000
    assert max(corners.max(initial=0) for corners in asked) <= LARGE_CORNERS


def test_pieces_that_others_border_on_are_told_from_those_that_lie_alone():
    frame, inlay, alone = box(0, 0, 10, 10) - box(2, 2, 8, 8), box(2, 2, 8, 8), box(20, 0, 23, 3)
    whole = shapely.union_all([frame, inlay, alone])
    framing, inlaid, none, nothing = amid_others([MultiPolygon([frame, alone]), inlay, alone, EMPTY], whole)
    assert framing.equals(frame)  # as large as the whole by its bounds
    assert inlaid.equals(inlay)
    assert none.is_empty and nothing.is_empty
