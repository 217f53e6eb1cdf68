"""What lands on other ground when it is moved, against overlays by the geometry engine and against plain arithmetic."""

import math

import numpy as np
import pytest
import shapely
from shapely import affinity

from vectorsep.geometry.landing import LONGEST_MM, edge_pairs, landing_mm2
from vectorsep.geometry.moves import Move

REACH = 0.5
CLOSE = 1e-5
"""Some edges longer than ten millimetres, looked at to within TOUCHING_MM."""


def landing(moving, ground, way):
    return landing_mm2(edge_pairs(moving, ground, REACH), np.array([way], dtype=float))


def ways(count=16, length=REACH):
    return [
        (length * math.cos(2 * math.pi * i / count), length * math.sin(2 * math.pi * i / count)) for i in range(count)
    ]


def test_over_a_common_border_lands_its_length_times_the_way_across_it():
    left, right = shapely.box(0, 0, 3, 4), shapely.box(3, 0, 6, 4)
    for x, y in ways():
        assert landing(left, right, (x, y)) == pytest.approx(max(0.0, x) * (4 - abs(y)), abs=CLOSE)


@pytest.mark.parametrize("gap", [0.0, 0.1, 0.3, 0.5, 0.6])
def test_a_gap_is_crossed_before_anything_lands(gap):
    left, right = shapely.box(0, 0, 3, 4), shapely.box(3 + gap, 0, 6, 4)
    assert landing(left, right, (REACH, 0)) == pytest.approx(4 * max(0.0, REACH - gap), abs=CLOSE)
    assert landing(right, left, (REACH, 0)) == 0


def test_a_strip_narrower_than_the_way_lands_whole_or_is_passed_over():
    strip, wide = shapely.box(0, 0, 0.1, 4), shapely.box(0.1, 0, 6, 4)
    assert landing(strip, wide, (REACH, 0)) == pytest.approx(0.1 * 4)
    assert landing(wide, strip, (-REACH, 0)) == pytest.approx(0.1 * 4)
    assert landing(strip, shapely.box(0.15, 0, 0.25, 4), (REACH, 0)) == pytest.approx(0, abs=CLOSE)


def test_edges_longer_than_any_are_kept_meet_all_along():
    assert LONGEST_MM < 9
    low, high = shapely.box(0, 0, 9, 1), shapely.Polygon([(0, 1), (9, 1.2), (9, 3), (0, 3)])
    # What lands lies between y = 1 + x / 45 and y = 1.5, a trapezoid 0.5 high at x = 0 and 0.3 at x = 9.
    assert landing(low, high, (0, REACH)) == pytest.approx(9 * (0.5 + 0.3) / 2)


def test_nothing_in_reach_is_no_pair_and_nothing_lands():
    pairs = edge_pairs(shapely.box(0, 0, 1, 1), shapely.box(1.6, 0, 3, 1), REACH)
    assert len(pairs.edge) == 0 and landing_mm2(pairs, np.array([[REACH, 0.0]])) == 0
    assert landing(shapely.MultiPolygon(), shapely.box(0, 0, 1, 1), (REACH, 0)) == 0


def parted(seed):
    """A patchwork dealt to two regions that share borders and touch at corners, with holes in it."""
    rng = np.random.default_rng(seed)
    tiles = shapely.get_parts(shapely.voronoi_polygons(shapely.MultiPoint(rng.uniform(0, 12, (150, 2)))))
    tiles = shapely.intersection(tiles, shapely.box(0, 0, 12, 12))
    whose = rng.integers(0, 3, len(tiles))  # the third part is left out
    return tuple(shapely.coverage_union_all(tiles[whose == k]) for k in (0, 1))


def overlapping(seed):
    """Round blots of two regions, less what they have in common: edges cross at all angles."""
    rng = np.random.default_rng(seed)
    one, other = (
        shapely.union_all([shapely.Point(*rng.uniform(0, 12, 2)).buffer(rng.uniform(0.1, 2)) for _ in range(25)])
        for _ in range(2)
    )
    return one.difference(other), other.difference(one)


@pytest.mark.parametrize("make", [parted, overlapping])
@pytest.mark.parametrize("seed", range(5))
def test_every_shift_lands_what_the_engine_says(make, seed):
    moving, ground = make(seed)
    pairs = edge_pairs(moving, ground, REACH)
    exact = [ground.intersection(affinity.translate(moving, *way)).area for way in ways()]
    assert min(exact) > 0.1
    told = np.array([landing_mm2(pairs, np.array([way])) for way in ways()])
    assert (told >= np.array(exact) - 1e-9).all()
    assert told == pytest.approx(exact, abs=1e-4)


@pytest.mark.parametrize("make", [parted, overlapping])
@pytest.mark.parametrize("turn_deg", [3.0, 1.0, -0.3, -0.02])
def test_a_turn_lands_no_more_than_told_and_hardly_less(make, turn_deg):
    moving, ground = make(1)
    move = Move((0.0, 0.0), turn_deg, (5.0, 7.0))
    pairs = edge_pairs(moving, ground, move.farthest_mm(moving))
    told = landing_mm2(pairs, move.ways_mm(pairs.middles_mm), move.unevenness)
    exact = ground.intersection(move.of(moving)).area
    assert exact <= told
    # Each millimetre of edge may be off by the unevenness times half the way and a quarter of an edge.
    assert told - exact <= moving.length * move.unevenness * (move.farthest_mm(moving) / 2 + LONGEST_MM / 4)


@pytest.mark.parametrize("overlap", [-1e-6, -1e-12, 0.0, 1e-12, 1e-6])
def test_a_common_border_counts_whatever_the_last_bits_say(overlap):
    left, right = shapely.box(0, 0, 3 + overlap, 4), shapely.box(3, 0, 6, 4)
    assert landing(left, right, (REACH, 0)) == pytest.approx(REACH * 4, abs=CLOSE)
    assert landing(left, right, (-REACH, 0)) == 0


@pytest.mark.parametrize("sliver", [1e-12, 1e-7, 1e-6])
def test_slivers_make_no_less_of_what_lands(sliver):
    moving = shapely.MultiPolygon([shapely.box(0, 0, 3, 4), shapely.box(3 + sliver, 0, 3 + 2 * sliver, 4)])
    for ground in (shapely.box(3 + 2 * sliver, 0, 6, 4), shapely.box(3 + 2 * sliver, 0, 3 + 3 * sliver, 4)):
        for way in ((REACH, 0), (-REACH, 0), (0, REACH)):
            exact = ground.intersection(affinity.translate(moving, *way)).area
            assert landing(moving, ground, way) >= exact - 1e-12


def test_beside_a_spike_of_no_width_nothing_is_overlooked():
    """Its edges were cut into steps as a polygon's, which the engine mended into nothing: no move spoilt anything."""
    corners = (
        "154.93282698474638 158.22678963456104 165.3035670063296 162.1062988555113 "
        "162.69283277579203 161.1296696564626 154.47079606816735 146.74002944817443"
    )
    spiked = shapely.Polygon(np.array(corners.split(), dtype=float).reshape(-1, 2))
    ground = shapely.difference(spiked.envelope.buffer(2), spiked)
    for way in ways(8):
        landed = shapely.intersection(affinity.translate(spiked, *way), ground).area
        assert landed > 1
        assert landing(spiked, ground, way) >= landed - CLOSE
