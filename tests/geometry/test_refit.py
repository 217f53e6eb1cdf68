"""Refitted outlines against the polygons they stand for, measured by a second engine's distances."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from vectorsep.geometry.curves import CURVE, LINE, Outline, flatten
from vectorsep.geometry.refit import REFIT_GUARD_MM, REFIT_TOLERANCE_MM, refit, refit_all
from vectorsep.geometry.region import on_grid, polygons


def _dense(ring: np.ndarray, step_mm: float = 0.002) -> np.ndarray:
    """Points along a closed ring, no farther apart than the step."""
    line = shapely.linearrings(ring)
    return shapely.get_coordinates(shapely.segmentize(line, step_mm))


def _apart(outline: Outline, ring: np.ndarray) -> float:
    """Hausdorff distance by nearest neighbours of dense samples (scipy's k-d tree), off by the step's effect."""
    curve = _dense(flatten(outline, 0.0002)[0].points)
    given_ = _dense(ring)
    return max(cKDTree(curve).query(given_)[0].max(), cKDTree(given_).query(curve)[0].max())


def _blob(seed: int, corners: int) -> shapely.Polygon:
    rng = np.random.default_rng(seed)
    angles = np.sort(rng.uniform(0, 2 * math.pi, corners))
    radii = rng.uniform(1.0, 4.0, corners)
    star = shapely.Polygon(np.stack([radii * np.cos(angles), radii * np.sin(angles)], axis=1)).buffer(0)
    return star.buffer(rng.uniform(0.1, 0.6), quad_segs=12).buffer(-rng.uniform(0.0, 0.3), quad_segs=12)


@given(st.integers(0, 10_000), st.integers(3, 9))
@settings(max_examples=25, deadline=None)
def test_outline_and_polygon_hold_the_tolerance_both_ways(seed, corners):
    region = on_grid(_blob(seed, corners))
    for polygon, outline in zip(polygons(region), refit(region), strict=True):
        if len(polygon.interiors) == 0:
            assert _apart(outline, shapely.get_coordinates(polygon.exterior)) <= REFIT_TOLERANCE_MM + 0.001


def test_a_circle_takes_few_curves_and_keeps_its_area():
    """Area of the circle, pi r^2; the polygon falls short by its chords, the curves by no more than the tolerance."""
    circle = shapely.Point(5, 5).buffer(10, quad_segs=64)
    (outline,) = refit(circle)
    assert (outline.steps == CURVE).sum() <= 8
    area = shapely.Polygon(flatten(outline, 1e-5)[0].points).area
    assert area == pytest.approx(math.pi * 100, abs=2 * math.pi * 10 * REFIT_TOLERANCE_MM)


def test_straight_edges_and_corners_stay_exact():
    """An L of known corners: no curve at all, the same six vertices."""
    corners = [(0, 0), (10, 0), (10, 3), (4, 3), (4, 8), (0, 8)]
    (outline,) = refit(shapely.Polygon(corners))
    assert (outline.steps[1:] == LINE).all()
    assert {tuple(knot) for knot in outline.knots.tolist()} == {(float(x), float(y)) for x, y in corners}


def test_a_rounded_rectangle_keeps_its_four_edges():
    rounded = shapely.box(0, 0, 20, 10).buffer(1.5, quad_segs=16)
    (outline,) = refit(rounded)
    assert (outline.steps == LINE).sum() + outline.closed[0] >= 4
    assert len(outline.knots) <= 12


def test_holes_and_pieces_keep_their_order():
    ring = shapely.Point(0, 0).buffer(5, quad_segs=40).difference(shapely.Point(0, 0).buffer(3, quad_segs=40))
    dot = shapely.Point(20, 0).buffer(1, quad_segs=40)
    outlines = refit(shapely.MultiPolygon([ring, dot]))
    assert [len(outline.starts) for outline in outlines] == [2, 1]
    outer, hole = flatten(outlines[0], 0.001)
    assert np.hypot(*outer.points.T).min() > np.hypot(*hole.points.T).max()


def test_nothing_gives_nothing():
    assert refit(shapely.MultiPolygon()) == []


def test_at_most_a_quarter_of_the_vertices_on_smooth_art():
    region = on_grid(_blob(7, 9).buffer(0.4, quad_segs=18))
    vertices = len(shapely.get_coordinates(region))
    assert sum(len(outline.knots) for outline in refit(region)) <= vertices / 4


def test_the_measure_can_fail():
    """Shift a fitted outline by twice the tolerance: the measure that these tests rely on must see it."""
    circle = shapely.Point(0, 0).buffer(3, quad_segs=40)
    loop = shapely.get_coordinates(circle)[:-1]
    (outline,) = refit(circle)
    shift = np.array([2 * REFIT_TOLERANCE_MM, 0.0])
    moved = Outline(outline.knots + shift, outline.steps, outline.handles + shift, outline.closed)
    assert _apart(outline, loop) <= REFIT_TOLERANCE_MM < _apart(moved, loop)


def test_curves_of_a_circle_meet_smoothly_where_it_closes_too():
    (outline,) = refit(on_grid(shapely.Point(5, 5).buffer(10, quad_segs=64)))
    arriving = outline.knots[1:] - outline.handles[:, 1]
    leaving = np.roll(outline.handles[:, 0], -1, axis=0) - outline.knots[1:]
    cross = arriving[:, 0] * leaving[:, 1] - arriving[:, 1] * leaving[:, 0]
    turn = np.arcsin(cross / (np.hypot(*arriving.T) * np.hypot(*leaving.T)))
    assert np.degrees(np.abs(turn)).max() < 0.05  # handles of millimetres on a grid of 0.1 micrometre


def test_a_corner_between_curves_stays_where_it_was_drawn_wherever_the_ring_starts():
    """Circles of radius 5, 6 apart, meet at (3, 4) and (3, -4): 3, 4, 5 by Pythagoras."""
    discs = [shapely.Point(x, 0).buffer(5, quad_segs=64) for x in (0, 6)]
    lens = shapely.get_coordinates(shapely.intersection(*discs).exterior)[:-1]
    knots = []
    for start in (0, 20, 50):
        (outline,) = refit(shapely.Polygon(np.roll(lens, start, axis=0)))
        knots.append({tuple(knot) for knot in outline.knots.round(4).tolist()})
        for corner in ([3, 4], [3, -4]):
            assert np.hypot(*(outline.knots - corner).T).min() < 0.001  # where chords meet, not arcs
    assert knots[0] == knots[1] == knots[2]


def test_several_regions_at_once_come_out_as_each_alone():
    regions = [on_grid(_blob(seed, 5)) for seed in (1, 2, 3)]
    regions.insert(1, shapely.MultiPolygon())
    together = refit_all(regions)
    for outlines, region in zip(together, regions, strict=True):
        alone = refit(region)
        assert [len(outline.starts) for outline in outlines] == [len(outline.starts) for outline in alone]
        for one, other in zip(outlines, alone, strict=True):
            assert _apart(one, flatten(other, 0.0002)[0].points) <= 2 * REFIT_TOLERANCE_MM


def test_a_ring_that_cannot_be_held_keeps_its_vertices():
    """No cubic meets a tolerance of a millionth of the grid, so the polygon stands."""
    circle = on_grid(shapely.Point(0, 0).buffer(3, quad_segs=40))
    (outline,) = refit(circle, tolerance_mm=1e-10)
    assert not (outline.steps == CURVE).any()
    assert len(outline.knots) == len(shapely.get_coordinates(circle)) - 1


@given(st.integers(0, 10_000))
@settings(max_examples=15, deadline=None)
def test_two_outlines_keep_their_distance_but_for_the_guard(seed):
    outer = on_grid(_blob(seed, 6))
    inner = on_grid(outer.buffer(-0.2, quad_segs=16))
    if inner.is_empty:
        return
    wanted = inner.boundary.distance(outer.boundary) - REFIT_GUARD_MM
    got = _edge(inner).distance(_edge(outer))
    assert got >= wanted


def _edge(region):
    """As a reader sees it: curves flattened within 1 micrometre."""
    rings = [line.points for outline in refit(region) for line in flatten(outline, 0.001)]
    return shapely.MultiLineString([np.vstack([ring, ring[:1]]) for ring in rings])
