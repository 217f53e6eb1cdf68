"""Points on straight walls: as many as the engine would set, but only where another wall is near and opposite."""

import math

import numpy as np
import pytest
import shapely
from shapely import affinity, box

from vectorsep.geometry.chordal import ridges_of
from vectorsep.geometry.region import ring_edges
from vectorsep.geometry.wall_points import COARSEST, LONG_MM, WALL_STEP_MM, with_wall_points
from vectorsep.remember import forget

FAR_MM = 30.0


def pointed(area, widest_mm):
    """The area with the points that its walls get."""
    rings = shapely.get_rings(shapely.get_parts(area))
    points, ring = with_wall_points(*ring_edges(rings), widest_mm)
    again = [points[ring == number].view(float).reshape(-1, 2) for number in range(len(rings))]
    of_piece = shapely.get_rings(shapely.get_parts(area), return_index=True)[1]
    pieces = [[again[number] for number in np.flatnonzero(of_piece == piece)] for piece in np.unique(of_piece)]
    return shapely.multipolygons([shapely.Polygon(outer, holes) for outer, *holes in pieces])


def corners(area):
    return int(shapely.get_num_coordinates(area))


@pytest.mark.parametrize("angle", [0, 17, 90, 200])
def test_walls_that_face_each_other_get_the_points_that_the_engine_would_set(angle):
    bars = [affinity.rotate(box(0, 5 * i, 40, 5 * i + 0.4), angle) for i in range(3)]
    framed = box(-9, -9, 49, 39).difference(affinity.rotate(box(5, 5, 30, 20), angle, origin=(17, 12)))
    for area in (shapely.multipolygons(bars), framed):
        ours, theirs = (
            shapely.get_parts(pointed(area, FAR_MM)),
            shapely.segmentize(shapely.get_parts(area), WALL_STEP_MM),
        )
        assert shapely.equals_exact(ours, theirs, tolerance=1e-9).all()  # GEOS by shapely.segmentize


def test_walls_with_nothing_opposite_get_few():
    square, bar = box(0, 0, 50, 50), box(80, 0, 80.5, 50)
    same, close = shapely.get_parts(pointed(shapely.multipolygons([square, bar]), 2.0))
    assert corners(same) == 1 + 4 * math.ceil(50 / (COARSEST * WALL_STEP_MM))
    assert shapely.symmetric_difference(same, square).area < 1e-9
    assert corners(close) > 2 * 50 / WALL_STEP_MM
    assert shapely.symmetric_difference(close, bar).area < 1e-9


def test_shorter_walls_get_theirs_unasked_and_holes_stay():
    ring = box(0, 0, LONG_MM - 0.1, LONG_MM - 0.1).difference(box(1, 1, 2, 2))
    (close,) = shapely.get_parts(pointed(ring, 0.01))
    assert shapely.equals_exact(close, shapely.segmentize(ring, WALL_STEP_MM), tolerance=1e-9)


@pytest.mark.parametrize("seed", range(8))
def test_near_ridges_are_those_of_walls_that_have_points_all_along(seed, monkeypatch):
    rng = np.random.default_rng(seed)
    bars = [
        affinity.rotate(box(x, y, x + rng.uniform(10, 40), y + rng.uniform(0.2, 0.8)), rng.uniform(0, 180))
        for x, y in rng.uniform(0, 60, (12, 2))
    ]
    area = box(-20, -20, 120, 100).difference(shapely.union_all(bars))
    asked = ridges_of(area, 1.0)
    forget()
    monkeypatch.setattr("vectorsep.geometry.wall_points.LONG_MM", np.inf)
    everywhere = ridges_of(area, 1.0)
    near, reference = (
        shapely.multilinestrings(list(ridges.where((ridges.radius_mm < 0.9).all(axis=1)).chains()))
        for ridges in (asked, everywhere)
    )
    assert reference.length > 1
    assert near.length == pytest.approx(reference.length, rel=0.01)
    assert shapely.hausdorff_distance(near, reference) < 0.1
