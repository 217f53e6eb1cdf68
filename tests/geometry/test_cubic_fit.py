"""Fitted cubics against closed forms, and their bound against distances by scipy's k-d tree."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from vectorsep.geometry import cubic_fit
from vectorsep.geometry.cubic_fit import Cubics, fit_cubics, improve_cubics, row_of

WITHIN_MM = 0.005


def row_through(points):
    """A row of the (n, 2) vertices of one polyline."""
    return row_of(np.ascontiguousarray(np.asarray(points, dtype=float).T))


def bound_of(row, first, last, cubics):
    """What curves are said to stray at most, be they fitted or not."""
    return cubic_fit._strays(cubic_fit._stretches(row, first, last), cubics)


def curve_points(row, first, cubics, i, count=2000):
    """Points of the i-th cubic, by the Bernstein form."""
    start = row.xy[:, first[i]]
    controls = np.stack(
        [
            start,
            start + cubics.leaving[:, i],
            start + cubics.span[:, i] - cubics.arriving[:, i],
            start + cubics.span[:, i],
        ]
    )
    t = np.linspace(0, 1, count)
    return np.stack([math.comb(3, k) * t**k * (1 - t) ** (3 - k) for k in range(4)], axis=1) @ controls


def apart(curve, xy):
    """Hausdorff distance of a row of points and a polyline, off by half a step of either at most."""
    share = np.linspace(0, 1, 100, endpoint=False)[None, :, None]
    edges = (xy[:-1, None] + share * np.diff(xy, axis=0)[:, None]).reshape(-1, 2)
    line = np.vstack([edges, xy[-1:]])
    steps = max(np.hypot(*np.diff(points, axis=0).T).max() for points in (curve, line))
    return max(cKDTree(curve).query(line)[0].max(), cKDTree(line).query(curve)[0].max()), steps / 2


def stretches(count, edges):
    first = np.arange(count) * edges
    return first, first + edges


@given(st.integers(0, 100_000), st.floats(0, 0.3), st.floats(0, 0.5))
@settings(max_examples=60, deadline=None)
def test_the_bound_is_never_less_than_the_distance(seed, rough_mm, kink_mm):
    """Wandering rows, rough ones among them, and curves that are bent away from their fit."""
    rng = np.random.default_rng(seed)
    angles = np.cumsum(rng.normal(0, 0.2, 40))
    xy = np.cumsum(rng.uniform(0.02, 0.3, (40, 1)) * np.stack([np.cos(angles), np.sin(angles)], axis=1), axis=0)
    row = row_through(xy + rng.normal(0, rough_mm, xy.shape))
    first, last = stretches(3, 13)
    fitted, bound = fit_cubics(row, first, last, WITHIN_MM)
    bent = Cubics(fitted.span, fitted.leaving + rng.normal(0, kink_mm, (2, 3)), fitted.arriving)
    for cubics, bounds in ((fitted, bound), (bent, bound_of(row, first, last, bent))):
        for i in range(3):
            off, error = apart(curve_points(row, first, cubics, i), row.xy.T[first[i] : last[i] + 1])
            assert off <= bounds[i] + error


def test_the_bound_is_near_the_distance_on_flattened_arcs():
    """Chords of 2 micrometres' sag: the bound may add a quarter of that sag, by a third of which control points of a
    bow overshoot it."""
    xy = _arc(4.0, math.pi / 2, 26)
    row = row_through(xy)
    first, last = stretches(1, 26)
    cubics, bound = fit_cubics(row, first, last, WITHIN_MM)
    off, error = apart(curve_points(row, first, cubics, 0), xy)
    sag = 4.0 * (1 - math.cos(math.pi / 4 / 26))
    assert bound[0] <= off + sag / 4 + error


@pytest.mark.parametrize("radius_mm", [0.5, 10.0, 200.0])
def test_a_quarter_circle_is_met_as_nearly_as_cubics_can(radius_mm):
    """The usual cubic with handles of 4/3 tan(pi/8) is off by 2.7e-4 of the radius."""
    row = row_through(_arc(radius_mm, math.pi / 2, 400))
    first, last = stretches(1, 400)
    cubics, bound = fit_cubics(row, first, last, 2.8e-4 * radius_mm)
    assert bound[0] <= 2.8e-4 * radius_mm
    assert np.hypot(*cubics.leaving[:, 0]) == pytest.approx(4 / 3 * math.tan(math.pi / 8) * radius_mm, rel=0.02)


def test_a_handle_out_of_line_bows_the_curve_by_four_ninths():
    """The second Bernstein polynomial of degree three has its largest value, 4/9, at a third."""
    row = row_through(np.stack([np.linspace(0, 9, 31), np.zeros(31)], axis=1))
    first, last = stretches(1, 30)
    third = np.array([[3.0], [0.0]])
    bowed = Cubics(3 * third, third + np.array([[0.0], [0.9]]), third)
    assert bound_of(row, first, last, bowed)[0] == pytest.approx(0.4, rel=0.01)
    assert bound_of(row, first, last, bowed)[0] >= 0.4


def test_straight_rows_give_straight_curves_even_where_vertices_do_not_tell():
    row = row_through([(0, 0), (1, 1), (2, 2), (5, 5)])
    cubics, bound = fit_cubics(row, np.array([0, 0, 2]), np.array([3, 2, 3]), WITHIN_MM)
    assert bound == pytest.approx(0, abs=1e-12)
    assert cubics.leaving == pytest.approx(cubics.span / 3)
    assert cubics.arriving == pytest.approx(cubics.span / 3)


def test_two_edges_give_the_parabola_past_their_vertex():
    """One inner vertex leaves most of the handles open; the least change from the chord's thirds is a parabola. It
    passes an eighth of the vertex' height below it, half of what the edges' middles would lie off the one through it.
    """
    row = row_through([(0.0, 0.0), (1.0, 0.5), (2.0, 0.0)])
    cubics, _ = fit_cubics(row, np.array([0]), np.array([2]), 1.0)
    high = 4 / 3 * 0.5 * 7 / 8
    assert cubics.leaving[:, 0] == pytest.approx([2 / 3, high], rel=1e-3)
    assert cubics.arriving[:, 0] == pytest.approx([2 / 3, -high], rel=1e-3)


def test_aims_lie_half_a_sag_inside_the_vertices_of_an_arc():
    """Sag of a chord: r (1 - cos(angle / 2)). Uneven chords move an aim across the arc only, not along it."""
    row = row_through(_arc(2.0, 1.0, 20))
    sag = 2.0 * (1 - math.cos(1 / 40))
    assert np.hypot(*row.aims[:, 1:-1]) == pytest.approx(2.0 - sag / 2, abs=sag / 100)
    uneven = row_through(np.stack([np.cos([0, 0.02, 0.09]), np.sin([0, 0.02, 0.09])], axis=1))
    assert math.atan2(*uneven.aims[::-1, 1]) == pytest.approx(0.02, abs=1e-5)


@pytest.mark.parametrize("turning", [True, False])
def test_a_step_brings_arcs_nearer_and_keeps_directions_when_asked(turning):
    """A third of a circle: handles of 4/3 tan(pi/6), the usual ones, are off by 1.5e-3 of the radius."""
    row = row_through(_arc(1.0, 2 * math.pi / 3, 300))
    first, last = stretches(1, 300)
    tangents = np.array([[0.0], [0.5]]), 0.5 * np.array([[-math.sin(math.pi * 2 / 3)], [math.cos(math.pi * 2 / 3)]])
    cubics = Cubics(row.xy[:, last] - row.xy[:, first], *tangents)
    before = bound_of(row, first, last, cubics)
    for _ in range(3):
        cubics, after = improve_cubics(row, first, last, cubics, turning=turning)
    assert after[0] < 1.6e-3 < before[0] / 10
    turned = np.abs(np.cross(np.append(cubics.leaving[:, 0], 0), np.append(tangents[0][:, 0], 0))[2])
    assert (turned > 1e-4) == turning


def test_blocks_change_nothing(monkeypatch):
    row = row_through(_arc(3.0, 6.0, 400))
    first, last = stretches(40, 10)
    whole, bound = fit_cubics(row, first, last, WITHIN_MM)
    monkeypatch.setattr(cubic_fit, "BLOCK", 25)
    parts, bound_of_parts = fit_cubics(row, first, last, WITHIN_MM)
    assert (whole.leaving == parts.leaving).all() and (whole.arriving == parts.arriving).all()
    assert (bound == bound_of_parts).all()


def _arc(radius_mm, angle, edges):
    angles = np.linspace(0, angle, edges + 1)
    return radius_mm * np.stack([np.cos(angles), np.sin(angles)], axis=1)
