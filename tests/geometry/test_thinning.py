"""Fewer vertices, within a tolerance that the engine's own distance measures."""

import numpy as np
import pytest
import shapely
from shapely import MultiPolygon, Point, Polygon, box

from vectorsep.geometry.thinning import COARSE_MM, LEAST_RING, coarsened, thinned

LAST_BITS_MM = 1e-9
BOTH = pytest.mark.parametrize("thin_out", [lambda area: thinned(area, COARSE_MM), coarsened], ids=["plate", "look"])


def farthest_mm(one, other):
    """Along all edges of the one, every 0.2 mm: those of the other have more points."""
    there = shapely.get_coordinates(shapely.segmentize(one, 0.2))
    return shapely.distance(shapely.points(there), shapely.boundary(other)).max()


def ring_by_ring(area):
    """What each ring would be without regard for itself and others."""
    rings, piece = shapely.get_rings(shapely.get_parts(area), return_index=True)
    thin = shapely.simplify(rings, COARSE_MM, preserve_topology=False)
    return shapely.multipolygons(shapely.polygons(thin, indices=piece))


def plate_with_a_thin_rim(holes):
    """Holes in a plate, and one in a disc beside it with a rim of 0.0005 mm left around."""
    dots = shapely.buffer(shapely.points([(20 * i, -20) for i in range(1, holes)]), 5, quad_segs=50)
    plate = box(-10, -60, 20 * holes + 10, -5).difference(shapely.union_all(dots))
    rim = Point(0, 20).buffer(5, quad_segs=200).difference(Point(0, 20).buffer(4.9995, quad_segs=150))
    return shapely.union_all([plate, rim, box(-1, -40, 1, 15.0002)])


@BOTH
def test_of_many_holes_only_those_that_come_to_cross_others_keep_their_points(thin_out):
    area = plate_with_a_thin_rim(100)
    assert not ring_by_ring(area).is_valid
    thin = thin_out(area)
    assert thin.is_valid
    assert farthest_mm(thin, area) <= COARSE_MM + LAST_BITS_MM
    assert shapely.get_num_coordinates(thin) < shapely.get_num_coordinates(area) * 3 / 4


@BOTH
def test_an_outline_that_comes_to_cross_itself_does_not_and_loses_nothing(thin_out):
    """A hairpin of 0.001 mm by which a knob of 2 mm hangs on another."""
    upper, lower = np.linspace(0, 30, 1500), np.linspace(30, 0, 1100)
    x, above = np.append(upper, lower), np.repeat([0.001, 0.0], [1500, 1100])
    hairpin = Polygon(np.stack([x, 0.006 * np.sin(7 * x) + above], axis=1))
    area = shapely.union_all([hairpin, Point(31, 0).buffer(1.2, quad_segs=100), Point(-1, 0).buffer(1.2)])
    assert area.geom_type == "Polygon" and not ring_by_ring(area).is_valid
    thin = thin_out(area)
    assert thin.is_valid
    assert farthest_mm(thin, area) <= COARSE_MM + LAST_BITS_MM
    assert LEAST_RING < shapely.get_num_coordinates(thin) < shapely.get_num_coordinates(area)


def test_what_the_tolerance_leaves_nothing_of_vanishes_from_plates_and_stays_for_looking():
    speck, pinhole = Point(0, 0).buffer(0.001), Point(10, 0).buffer(0.001)
    area = MultiPolygon([speck, Point(10, 0).buffer(4).difference(pinhole)])
    thin, coarse = thinned(area, COARSE_MM), coarsened(area)
    assert [len(piece.interiors) for piece in shapely.get_parts(thin)] == [0]
    assert [len(piece.interiors) for piece in shapely.get_parts(coarse)] == [0, 1]


def test_a_hole_vanishes_with_its_piece():
    """By its corners the hole is wider than the piece is from where its outline begins."""
    long = Polygon(
        [(0, 0), (0.01, -0.0038), (10, -0.0038), (10.01, 0), (10, 0.0038), (0.01, 0.0038)],
        [[(1, -0.0036), (9, -0.0036), (9, 0.0036), (1, 0.0036)]],
    )
    other = Point(30, 0).buffer(5)
    assert shapely.get_num_coordinates(shapely.simplify(long.interiors[0], COARSE_MM, preserve_topology=False)) > 3
    assert thinned(MultiPolygon([long, other]), COARSE_MM).bounds[0] > 24


def test_pieces_stay_in_their_order_and_nothing_stays_nothing():
    pieces = [Point(30 * i, 0).buffer(5, quad_segs=200) for i in range(5)]
    pieces[2] = shapely.transform(plate_with_a_thin_rim(2), lambda xy: xy * 0.2 + [60, 0])
    thin = thinned(MultiPolygon(pieces), 0.01)
    assert [round(piece.centroid.x / 30) for piece in thin.geoms] == [0, 1, 2, 3, 4]
    assert thinned(MultiPolygon(), 0.01).is_empty and coarsened(MultiPolygon()).is_empty
