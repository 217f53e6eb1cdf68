"""Ridges against known shapes, and against SciPy's Voronoi diagram (Qhull) of points along the same outlines."""

import math

import numpy as np
import pytest
import shapely
from scipy.spatial import Voronoi
from shapely import LineString, MultiPolygon, Point, Polygon, affinity, box

from vectorsep.geometry.chordal import FACING, _elbows, ridges_of
from vectorsep.geometry.ridges import MEASURED_STEP_MM, Ridges, measured

EXACT_MM = 1e-9


def length(ridges):
    return np.abs(ridges.ends[:, 1] - ridges.ends[:, 0]).sum()


@pytest.mark.parametrize("width", [0.2, 0.5, 0.9, 2.0])
def test_the_ridge_of_a_bar_runs_down_its_middle(width):
    ridges = ridges_of(box(0, 0, 40, width), 30)
    assert ridges.ends.imag == pytest.approx(width / 2, abs=EXACT_MM)
    assert ridges.radius_mm == pytest.approx(width / 2, abs=EXACT_MM)
    # To where the end wall is as near as the two others: known as the medial axis of a rectangle.
    assert ridges.ends.real.min() == pytest.approx(width / 2, abs=0.1)
    assert ridges.ends.real.max() == pytest.approx(40 - width / 2, abs=0.1)
    assert length(ridges) == pytest.approx(40 - width, abs=0.2)


def test_the_ridge_of_a_wedge_tells_its_distance_exactly():
    half_angle = math.atan(1 / 20)
    ridges = ridges_of(Polygon([(0, 0), (40, 2), (40, -2)]), 30)
    assert ridges.ends.imag == pytest.approx(0.0, abs=EXACT_MM)
    passing = ridges.where(~ridges.ending)
    assert passing.radius_mm == pytest.approx(passing.ends.real * math.sin(half_angle), abs=EXACT_MM)


@pytest.mark.parametrize("turn", [0, 40, 130])
@pytest.mark.parametrize("first", ["bar", "tip"])
@pytest.mark.parametrize("half_width", [0.5, 1.0, 3.0])
def test_the_ridge_of_a_bar_runs_on_past_what_touches_it_at_a_point(half_width, first, turn):
    bar = Polygon([(0, 0), (20, 0), (20, 0.7), (10, 0.7), (0, 0.7)])
    tip = Polygon([(10, 0.7), (10 + half_width, 4), (10 - half_width, 4)])
    touching = MultiPolygon([bar, tip] if first == "bar" else [tip, bar])
    ridges = ridges_of(affinity.rotate(touching, turn, origin=(0, 0)), 1.0)
    in_bar = affinity.rotate(shapely.union_all(ridges.lines()), -turn, origin=(0, 0)).intersection(box(5, 0, 15, 0.7))
    assert in_bar.length == pytest.approx(10.0, abs=1e-6)  # known as the medial axis of a rectangle
    assert in_bar.bounds == pytest.approx((5, 0.35, 15, 0.35), abs=1e-6)


@pytest.mark.parametrize("corner", [45, 60, 90])
def test_a_corner_has_no_ridge(corner):
    half = math.radians(corner / 2)
    body = Polygon([(0, 0), (20, 20 * math.tan(half)), (20, -20 * math.tan(half))])
    near = [ridge for ridge in ridges_of(body, 30).ends if abs(ridge).max() < 15]
    assert near == []


def test_a_sharp_tip_has_one():
    half = math.radians(10)
    tip = Polygon([(0, 0), (20, 20 * math.tan(half)), (20, -20 * math.tan(half))])
    assert np.abs(ridges_of(tip, 30).ends).min() < 1


def test_ridges_join_where_strokes_cross():
    cross = shapely.union(box(-10, -0.3, 10, 0.3), box(-0.3, -10, 0.3, 10))
    ridges = ridges_of(cross, 30)
    lines = shapely.union_all(ridges.chains())
    touching = shapely.get_parts(shapely.line_merge(lines))
    assert shapely.union_all([line.buffer(0.01) for line in touching]).geom_type == "Polygon"  # in one piece


@pytest.mark.parametrize("turn", [0, 30, 45, 77])
def test_out_of_a_gaps_mouth_a_ridge_goes_straight_on(turn):
    bars = [box(0.8 * i + 0.1 * (i % 3), 0, 0.8 * i + 0.3, 9) for i in range(12)]
    cloth = box(-20, -15, 31, 37).difference(affinity.rotate(shapely.union_all(bars), turn, origin=(5, 5)))
    ridges = ridges_of(cloth, 1.0)
    ends = np.exp(-1j * math.radians(turn)) * (ridges.ends - (5 + 5j)) + 5 + 5j
    out = ends[np.abs(ends.mean(axis=1).imag - 4.5) > 4.6]
    assert len(out) >= 2 * 11  # both mouths of each gap
    assert np.abs(np.diff(out.real, axis=1)).max() < EXACT_MM


@pytest.mark.parametrize("turn", [0, 31])
@pytest.mark.parametrize("width", [0.9, 1.3, 1.8])
def test_three_ridges_meet_where_three_walls_are_as_near(width, turn):
    """Alleys lead into a street, whose ridge runs on past them down its middle."""
    alleys = [box(2 + 0.9 * i + 0.1 * (i % 3), -5, 2.3 + 0.9 * i + 0.1 * (i % 3), 0.01) for i in range(9)]
    area = affinity.rotate(box(0, 0, 12, width) | shapely.union_all(alleys), turn, origin=(0, 0))
    ends = ridges_of(area, 1.0).ends.ravel() * np.exp(-1j * math.radians(turn))
    street = ends[(np.abs(ends.real - 6) < 4) & (ends.imag > 0.3 * width)]
    assert len(street) > 2 * 9
    # Between a wall and the two corners of a mouth it bends, as a parabola does, by less than a tenth of its width.
    assert np.abs(street.imag - width / 2).max() < 0.1 * width


def test_around_a_corner_a_ridge_goes_straight_on_from_both_sides():
    """Whichever way the square at the corner is cut in two: its four points lie on one circle."""
    for shift in (0.0, 1e-9, -1e-9):
        bend = Polygon([(0, 0), (6, 0), (6, 0.6), (0.6 + shift, 0.6), (0.6, 6), (0, 6)])
        ridges = ridges_of(bend, 1.0)
        assert shapely.distance(shapely.multilinestrings(list(ridges.chains())), Point(0.3, 0.3)) < 1e-6


def rays(starts, directions):
    ends = starts + 1e4 * directions
    return shapely.linestrings(np.stack([np.stack([p.real, p.imag], axis=1) for p in (starts, ends)], axis=1))


def test_a_ridge_bends_where_its_two_ways_meet_by_the_engine():
    rng = np.random.default_rng(4)
    middle = rng.uniform(-1, 1, (400, 2)) + 1j * rng.uniform(-1, 1, (400, 2))
    along = np.exp(2j * np.pi * rng.uniform(size=(400, 2)))
    elbow, bends = _elbows(middle, along)
    one, other = (rays(middle[:, end], along[:, end]) for end in (0, 1))
    turns = (along[:, 0] * along[:, 1].conj()).real > FACING
    assert (bends == (shapely.intersects(one, other) & turns)).all()
    assert 40 < bends.sum() < 200
    meeting = shapely.points(elbow[bends].real, elbow[bends].imag)
    assert shapely.distance(meeting, shapely.intersection(one, other)[bends]).max() < 1e-9


@pytest.mark.parametrize("turn", [0, 30, 90])
def test_a_ridge_bends_nowhere_where_its_two_ways_run_side_by_side(turn):
    way = np.exp(1j * math.radians(turn))
    _, bends = _elbows(np.array([[0, 1j], [0, 1 + 1j], [0, 1]]) * way, np.full((3, 2), way))
    assert not bends.any()


def test_what_lies_below_and_above_a_distance_makes_up_the_ridge():
    ridges = ridges_of(Polygon([(0, 0), (40, 2), (40, -2)]), 30)
    low, high = ridges.below(0.5), ridges.above(0.5)
    assert low.radius_mm.max() == pytest.approx(0.5)
    assert high.radius_mm.min() == pytest.approx(0.5)
    assert length(low) + length(high) == pytest.approx(length(ridges))


def test_a_strip_is_as_long_and_as_wide_as_drawn():
    (strip,) = ridges_of(box(0, 0, 40, 0.4), 30).strips()
    assert strip.length_mm == pytest.approx(40, abs=0.1)
    assert strip.width_mm == pytest.approx(0.4, abs=1e-6)
    assert strip.at_mm == pytest.approx((20, 0.2), abs=0.1)


def _stroke(seed):
    """A bent stroke whose width swells and shrinks, as a drawing program outlines it."""
    rng = np.random.default_rng(seed)
    middle = LineString(np.cumsum(rng.uniform(-4, 4, (5, 2)), axis=0))
    places, waves, start = np.linspace(0, 1, 400), rng.uniform(2, 8), rng.uniform(0, 6)
    discs = shapely.buffer(middle.interpolate(places, normalized=True), 0.35 + 0.1 * np.sin(waves * places * 6 + start))
    return shapely.simplify(shapely.union_all(discs), 0.002)


def _voronoi_ridge(area, spacing_mm):
    """Middles of Voronoi edges between points on facing walls, inside the area."""
    rings = shapely.get_rings(shapely.segmentize(area, spacing_mm))
    points = np.unique(np.concatenate([shapely.get_coordinates(ring) for ring in rings]), axis=0)
    diagram = Voronoi(points)
    finite = (np.array(diagram.ridge_vertices) >= 0).all(axis=1)
    pairs, edges = diagram.ridge_points[finite], np.array(diagram.ridge_vertices)[finite]
    middle = diagram.vertices[edges].mean(axis=1)
    one, other = points[pairs[:, 0]] - middle, points[pairs[:, 1]] - middle
    apart = np.arccos(np.clip((one * other).sum(1) / np.hypot(*one.T) / np.hypot(*other.T), -1, 1))
    facing = (apart > math.radians(180 - 15)) & shapely.contains_xy(area, middle[:, 0], middle[:, 1])
    in_notch = np.hypot(*one.T) < 5 * spacing_mm  # neighbours on one wall, across a bend of it
    return middle[facing & ~in_notch]


@pytest.mark.parametrize("seed", range(12))
def test_ridges_lie_where_a_voronoi_diagram_has_them(seed):
    area = _stroke(seed)
    middles = _voronoi_ridge(area, 0.02)
    assert len(middles) > 100
    ours = shapely.STRtree(list(ridges_of(area, 30).chains()))
    _, off = ours.query_nearest(shapely.points(middles), return_distance=True, all_matches=False)
    assert np.quantile(off, 0.97) < 0.005
    assert off.max() < 0.03  # near an end


@pytest.mark.parametrize("seed", range(12))
def test_distances_are_true_where_it_matters(seed):
    area, least_mm = _stroke(seed), 0.3
    ridges = measured(area, ridges_of(area, 30), least_mm).above(least_mm)
    ends = ridges.ends.ravel()
    distance = shapely.distance(shapely.points(ends.real, ends.imag), shapely.boundary(area))
    assert (distance >= least_mm - MEASURED_STEP_MM / 10).mean() > 0.99
    assert shapely.contains_xy(area, ends.real, ends.imag).all()


def test_a_dot_has_hardly_a_ridge():
    assert length(ridges_of(Point(0, 0).buffer(1, quad_segs=32), 30)) < 0.1


@pytest.mark.parametrize(("share", "whole"), [(0.3, True), (0.5, False)])
def test_all_of_a_line_is_chosen_by_a_share_of_its_length_up_to_its_forks(share, whole):
    """4 of 10 mm, in three pieces; beyond the fork at its end two others, and by itself a point."""
    ends = np.array([[0, 4], [4, 7], [10, 7], [10, 10 + 2j], [10, 10 - 2j], [20, 20]], dtype=complex)
    ridges = Ridges(ends, np.ones(ends.shape), np.zeros(len(ends), dtype=bool))
    some = np.array([True, False, False, False, False, False])
    assert ridges.lines_with(some, share).tolist() == [True, whole, whole, False, False, False]
    assert not ridges.lines_with(~np.ones(6, dtype=bool), share).any()
