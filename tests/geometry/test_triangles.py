"""Triangulations against the engine's own (GEOS by shapely.constrained_delaunay_triangles) and what defines them."""

import numpy as np
import pytest
import shapely
from shapely import Point, affinity, box

from vectorsep.errors import ArtworkError
from vectorsep.geometry import chordal
from vectorsep.geometry.chordal import ridges_of
from vectorsep.geometry.region import ring_edges
from vectorsep.geometry.triangles import NONE, OutlinesCross, triangulated


def numbered(area):
    """Its points, none twice, and its edges by their numbers."""
    edges, _ = ring_edges(shapely.get_rings(shapely.get_parts(area)))
    points, number = np.unique(edges.view(np.complex128)[..., 0], return_inverse=True)
    return points, number.reshape(-1, 2)


def blots(seed):
    rng = np.random.default_rng(seed)
    discs = [Point(x, y).buffer(r, quad_segs=5) for x, y, r in rng.uniform((0, 0, 0.5), (30, 30, 4), (40, 3))]
    return shapely.difference(shapely.union_all(discs[:30]), shapely.union_all(discs[30:]))


def triangles_of(points, corners):
    return shapely.polygons(np.stack([points[corners].real, points[corners].imag], axis=2))


def in_circle(points, corners, others):
    """Whether `others` lie inside the circles around triangles: the usual determinant, by numpy."""
    away = points[corners] - points[others][:, None]
    return np.linalg.det(np.stack([away.real, away.imag, np.abs(away) ** 2], axis=2)) > 1e-9


@pytest.mark.parametrize("seed", range(6))
def test_triangles_cover_what_the_engines_own_cover(seed):
    area = blots(seed)
    points, edges = numbered(area)
    corners, _ = triangulated(points, edges)
    ours = triangles_of(points, corners)
    theirs = shapely.get_parts(shapely.constrained_delaunay_triangles(shapely.get_parts(area)))
    assert len(ours) == len(theirs)
    assert shapely.is_ccw(shapely.get_exterior_ring(ours)).all()
    assert shapely.area(ours).sum() == pytest.approx(area.area, rel=1e-12)
    assert shapely.coverage_is_valid(ours)
    assert shapely.symmetric_difference(shapely.union_all(ours), area).area < 1e-9


@pytest.mark.parametrize("seed", range(6))
def test_across_each_side_is_the_triangle_that_shares_it_and_none_sees_into_anothers_circle(seed):
    points, edges = numbered(blots(seed))
    corners, beside = triangulated(points, edges)
    sides = np.sort(np.stack([corners, np.roll(corners, -1, axis=1)], axis=2), axis=2)
    assert {tuple(side) for side in sides[beside == NONE]} == {tuple(edge) for edge in np.sort(edges, axis=1)}
    here, place = np.nonzero(beside != NONE)
    there = beside[here, place]
    shared = (sides[there] == sides[here, place][:, None]).all(axis=2)
    assert (shared.sum(axis=1) == 1).all()
    assert (beside[there][shared] == here).all()
    across = np.roll(corners[there], 1, axis=1)[shared]  # the corner that is not on the shared side
    assert not in_circle(points, corners[here], across).any()


def test_areas_that_touch_at_corners_keep_apart():
    board = shapely.union_all([box(x, y, x + 1, y + 1) for x in range(6) for y in range(6) if (x + y) % 2])
    points, edges = numbered(board)
    corners, beside = triangulated(points, edges)
    assert len(corners) == 2 * 18
    assert (np.count_nonzero(beside == NONE, axis=1) == 2).all()


def side_by_side(overlap_mm):
    """Two squares along a slanting edge, with points of their own on it."""
    one = affinity.rotate(box(0, 0, 10, 10), 31)
    away = (10 - overlap_mm) * np.exp(1j * np.radians(31))
    other = affinity.translate(one, away.real, away.imag)
    return shapely.multipolygons([one.segmentize(0.7), other.segmentize(0.3)])


@pytest.mark.parametrize("overlap_mm", [0.0, 1e-15, 1e-14, 1e-12, -1e-13])
def test_outlines_that_cross_by_rounding_alone_are_taken_for_one(overlap_mm):
    points, edges = numbered(side_by_side(overlap_mm))
    corners, _ = triangulated(points, edges)
    assert shapely.area(triangles_of(points, corners)).sum() == pytest.approx(200, abs=1e-9)


def test_outlines_that_cross_are_refused_and_ridges_are_found_all_the_same():
    bars = shapely.multipolygons([box(0, 0, 20, 0.4), box(19.9, 0.001, 40, 0.401)])
    with pytest.raises(OutlinesCross) as refused:
        triangulated(*numbered(bars))
    assert shapely.MultiPoint(shapely.get_coordinates(bars)).distance(Point(refused.value.at_mm)) == 0
    assert np.abs(np.diff(ridges_of(bars, 1.0).ends, axis=1)).sum() == pytest.approx(40 - 0.4, abs=0.2)


def test_outlines_that_cross_on_the_plate_grid_too_are_an_error_with_a_place_and_a_remedy(monkeypatch):
    monkeypatch.setattr(chordal, "on_grid", lambda region: region)  # no art is known that the grid does not help
    bars = shapely.multipolygons([box(0, 0, 20, 0.5), box(19.9, 0.001, 40, 0.501)])
    with pytest.raises(ArtworkError, match=r"cross near (19|20)\.\d\d, 0\.\d\d mm, .*: unite shapes"):
        ridges_of(bars, 1.0)


def test_of_nothing_there_are_none():
    corners, beside = triangulated(np.empty(0, dtype=complex), np.empty((0, 2), dtype=int))
    assert corners.shape == beside.shape == (0, 3)
