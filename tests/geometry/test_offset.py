"""Growing and insetting against Steiner's formula and a second engine."""

import math

import numpy as np
import pytest
import shapely
from second_engine import offset
from shapely import LineString, Point, Polygon, box

from vectorsep.errors import ArtworkError
from vectorsep.geometry.measure import edge, smallest_distance
from vectorsep.geometry.offset import (
    CHORD_TOLERANCE_MM,
    ENGINE_SMOOTHING,
    MANY_HOLES,
    UNEVEN_MM,
    _crowded,
    grow,
    grow_part,
    grown_each,
    hold_disc,
    inset,
    inset_at_least,
    inset_each,
    quarter_segments,
)
from vectorsep.geometry.region import polygons

SQUARE = box(0, 0, 10, 10)
TRIANGLE = Polygon([(0, 0), (3, 0), (0, 4)])
CONVEX = [
    # Steiner (1840) for convex bodies: area + perimeter r + pi r^2, and perimeter + 2 pi r.
    (SQUARE, 1.0, 143.14159, 46.28319),
    (TRIANGLE, 0.5, 12.78540, 15.14159),
]


@pytest.mark.parametrize(("body", "radius", "area", "perimeter"), CONVEX)
def test_growth_of_convex_bodies_follows_steiner(body, radius, area, perimeter):
    grown = grow(body, radius)
    # Four quarters of arc, each short by at most the chord tolerance along its length.
    assert 0 <= area - grown.area <= 2 * math.pi * radius * CHORD_TOLERANCE_MM
    assert 0 <= perimeter - grown.length <= 2 * math.pi * CHORD_TOLERANCE_MM


@pytest.mark.parametrize(
    ("body", "depth", "area"),
    [(SQUARE, 1.0, 64.0), (TRIANGLE, 0.25, 3.375), (box(0, 0, 3, 7), 0.4, 2.2 * 6.2)],
)
def test_insets_of_straight_edged_bodies_are_exact(body, depth, area):
    # A triangle with inradius 1 inset by 1/4 keeps (3/4)^2 of its area: 6 x 9/16 = 3.375.
    assert inset(body, depth).area == pytest.approx(area, abs=2 * body.length * UNEVEN_MM)


@pytest.mark.parametrize("depth", [0.05, 0.25, 0.4, 2.0])
def test_an_inset_at_least_keeps_its_distance_at_concave_corners(depth):
    notched = shapely.difference(box(0, 0, 30, 30), shapely.union_all([box(10, 10, 20, 20), Point(15, 28).buffer(4)]))
    kept = inset_at_least(notched, depth)
    distance_mm, _ = smallest_distance(edge(kept), edge(notched))
    assert distance_mm >= depth
    assert distance_mm <= depth * 1.02 + 3 * CHORD_TOLERANCE_MM


def test_the_plain_inset_would_not_keep_it():
    # The same measure finds the plain inset short: the test above can fail.
    notched = shapely.difference(box(0, 0, 30, 30), Point(15, 15).buffer(4, quad_segs=64))
    distance_mm, _ = smallest_distance(edge(inset(notched, 0.4)), edge(notched))
    assert distance_mm < 0.4


@pytest.mark.parametrize("distance", [0.05, 0.5, 2.0, 5.0])
def test_a_part_grows_out_of_the_whole_as_all_of_it_would(distance):
    # Two discs of a grid lie on the whole's edge, two near it, the others deeper inside than most of the distances.
    whole = box(0, 0, 30, 30)
    part = shapely.union_all([Point(x, y).buffer(1.5) for x in (0, 8, 15, 28) for y in (3, 15, 27)]).intersection(whole)
    plain = shapely.union(whole, part.buffer(distance, quad_segs=64))
    grown = grow_part(whole, part, distance)
    assert shapely.symmetric_difference(grown, plain).area <= CHORD_TOLERANCE_MM * plain.length
    assert grown.area > whole.area + 0.05 * distance


def _wobbly(seed):
    rng = np.random.default_rng(seed)
    turn = np.linspace(0, 2 * np.pi, 90, endpoint=False)
    radius = 20 + sum(rng.uniform(0, 3) * np.sin(k * turn + rng.uniform(0, 6)) for k in range(2, 7))
    body = Polygon(np.c_[radius * np.cos(turn), radius * np.sin(turn)])
    return shapely.difference(body, Point(0, 0).buffer(5))


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("delta", [0.4, -0.3, 1.5])
def test_a_second_engine_agrees(seed, delta):
    body = _wobbly(seed)
    ours = grow(body, delta) if delta > 0 else inset(body, -delta)
    theirs = offset(body, delta)
    # Both inscribe arcs and ours smooths its input by up to 1 % of the distance.
    tolerance_mm = abs(delta) * 0.01 + 2 * CHORD_TOLERANCE_MM
    assert shapely.symmetric_difference(ours, theirs).area <= tolerance_mm * ours.length
    assert shapely.hausdorff_distance(edge(ours), edge(theirs), densify=0.2) <= 2 * tolerance_mm


def test_the_comparison_with_the_second_engine_can_fail():
    body = _wobbly(1)
    theirs = offset(body, 0.42)
    ours = grow(body, 0.4)
    assert shapely.symmetric_difference(ours, theirs).area > 0.006 * ours.length
    assert len(polygons(ours)) == 1


# The largest disc in each is known from elementary geometry: half the shorter side of a rectangle, the inradius of a
# right triangle (a + b - c) / 2, half the difference of a ring's radii.
@pytest.mark.parametrize(
    ("piece", "largest_mm"),
    [
        (box(0, 0, 8, 2), 1.0),
        (box(0, 0, 0.4, 0.4), 0.2),
        (Polygon([(0, 0), (3, 0), (0, 4)]), 1.0),
        (Point(0, 0).buffer(2, quad_segs=64).difference(Point(0, 0).buffer(1.5, quad_segs=64)), 0.25),
        (box(0, 0, 30, 0.02), 0.01),
    ],
)
def test_a_piece_holds_a_disc_as_large_as_its_largest(piece, largest_mm):
    assert hold_disc(np.array([piece]), 0.97 * largest_mm).all()
    assert not hold_disc(np.array([piece]), 1.03 * largest_mm).any()


def sieve(seed, holes):
    """A plate with holes of all shapes, some of them near each other, some near its edge, some wide."""
    rng = np.random.default_rng(seed)
    side = math.ceil(math.sqrt(holes))
    at = np.stack(np.divmod(np.arange(holes), side), axis=1) * 4.0 + rng.uniform(1.6, 2.4, (holes, 2))
    dots = shapely.buffer(shapely.points(at[::2]), rng.uniform(0.3, 1.5, len(at[::2])))
    boxes = shapely.box(*(at[1::2] - 1.2).T, *(at[1::2] + rng.uniform(0.2, 1.4, at[1::2].shape)).T)
    return box(0, 0, 4 * side, 4 * side).difference(shapely.union_all([*dots, *boxes]))


@pytest.mark.parametrize("distance", [0.05, 0.25, 0.6, 1.5])
@pytest.mark.parametrize("seed", range(3))
def test_a_piece_with_many_holes_grows_and_is_inset_as_the_engine_does_it_as_a_whole(seed, distance):
    area = sieve(seed, 300)
    assert len(area.interiors) > MANY_HOLES
    uneven = distance + UNEVEN_MM
    for ours, signed in ((grow(area, distance), uneven), (inset(area, distance), -uneven)):
        whole = shapely.buffer(area, signed, quad_segs=quarter_segments(distance))
        assert ours.is_valid
        assert shapely.symmetric_difference(ours, whole).area < 1e-9
    # The second engine, which offsets all rings at once.
    assert inset(area, distance).area == pytest.approx(offset(area, -distance).area, rel=2e-3, abs=1e-3)


def test_each_piece_with_many_holes_is_offset_apart_and_in_its_place():
    plates = [shapely.transform(sieve(seed, 200), lambda xy, by=seed: xy + 100 * by) for seed in range(3)]
    pieces = np.array([box(-9, -9, -1, -1), plates[0], shapely.MultiPolygon(plates[1:]), Point(-30, 0).buffer(0.1)])
    grown, inner = grown_each(pieces, 0.3), inset_each(pieces, 0.3)
    for piece, larger, smaller in zip(pieces, grown, inner, strict=True):
        for ours, signed in ((larger, 0.3 + UNEVEN_MM), (smaller, -0.3 - UNEVEN_MM)):
            whole = shapely.buffer(piece, signed, quad_segs=quarter_segments(0.3))
            assert shapely.symmetric_difference(ours, whole).area < 1e-9
    assert shapely.is_empty(inner).tolist() == [False, False, False, True]


def with_lines(rng, width_mm):
    """A disc with lines that are so wide, in parts half as wide, hung on or across it."""
    shapes = [Point(rng.uniform(0, 20, 2)).buffer(rng.uniform(1, 4), quad_segs=int(rng.integers(3, 16)))]
    for _ in range(rng.integers(1, 5)):
        line = LineString(rng.uniform(0, 20, (int(rng.integers(2, 4)), 2)))
        wide = width_mm / 2 * rng.choice([1, 1, 1, 0.5])
        caps, joins = (str(rng.choice(kinds)) for kinds in (["round", "flat", "square"], ["round", "mitre"]))
        shapes.append(line.buffer(wide, quad_segs=int(rng.choice([2, 4, 8, 16])), cap_style=caps, join_style=joins))
    return shapely.union_all(shapes)


@pytest.mark.parametrize("seed", range(120))
def test_lines_twice_as_wide_as_an_inset_and_gaps_twice_as_wide_as_a_growth_lose_nothing_else(seed):
    """Told by the distances of points. The engine lost all of 5.6 % of such shapes, and of 6.7 % with lines cut out."""
    rng = np.random.default_rng(seed)
    depth = float(rng.choice([0.15, 0.2, 0.25, 0.3]))
    drawn = with_lines(rng, 2 * depth)
    cut_out = box(-3, -3, 23, 23).difference(drawn)
    points = shapely.points(rng.uniform(-4, 24, (4000, 2)))
    clear_mm = ENGINE_SMOOTHING * depth + 2 * CHORD_TOLERANCE_MM
    for ours, from_mm in (
        (inset(drawn, depth), shapely.distance(points, box(-9, -9, 29, 29).difference(drawn)) - depth),
        (grow(cut_out, depth), depth - shapely.distance(points, cut_out)),
    ):
        sure = np.abs(from_mm) > clear_mm
        assert (shapely.intersects(ours, points[sure]) == (from_mm[sure] > 0)).all()


def traced(seed, pixel_mm):
    """A wobbly ring with a thin tail, traced pixel by pixel: only level and upright steps."""
    rng = np.random.default_rng(seed)
    middles = (np.arange(-1000, 1000) + 0.5) * pixel_mm
    x, y = np.meshgrid(middles, middles)
    turn, waves = np.arctan2(y, x), rng.uniform(-0.1, 0.1, 4)
    radius = 700 * pixel_mm * (1 + sum(wave * np.sin(k * turn) for k, wave in enumerate(waves, 2)))
    inked = (np.hypot(x, y) < radius) & (np.hypot(x, y) > radius / 3) | (np.abs(y - 0.2 * x) < 30 * pixel_mm)
    changes = np.diff(np.pad(inked, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    (rows, starts), (_, ends) = np.nonzero(changes == 1), np.nonzero(changes == -1)
    runs = shapely.box(starts, rows, ends, rows + 1)
    return shapely.transform(shapely.union_all(runs), lambda xy: pixel_mm * (xy - 1000))


@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("depth", [0.25, 0.6])
def test_rough_outlines_of_many_points_keep_the_distance_by_stages(seed, depth):
    """Told by the distances of points, as closely as an offset in one."""
    drawn = traced(seed, 0.005)
    assert _crowded(np.array([drawn]), depth).all()
    points = shapely.points(np.random.default_rng(seed).uniform(-5, 5, (6_000, 2)))
    inside_mm, outside_mm = (shapely.distance(points, area) for area in (box(-9, -9, 9, 9).difference(drawn), drawn))
    clear_mm = ENGINE_SMOOTHING * depth + 2 * CHORD_TOLERANCE_MM
    for ours, from_mm in ((inset(drawn, depth), inside_mm - depth), (grow(drawn, depth), depth - outside_mm)):
        sure = np.abs(from_mm) > clear_mm
        assert (shapely.intersects(ours, points[sure]) == (from_mm[sure] > 0)).all()


def test_smooth_outlines_are_offset_in_one_stage():
    # Each a point every 0.16 mm, or 240 in a dot; and steps that the engine smooths away.
    disc, dot = Point(0, 0).buffer(20, quad_segs=200), Point(0, 0).buffer(0.1, quad_segs=60)
    fine = traced(1, 0.001)
    assert not _crowded(np.array([disc, dot, fine]), 0.6).any()


class Losing:
    """The engine's buffer, which loses a piece at each of its first calls."""

    def __init__(self, calls):
        self.calls, self.engine = calls, shapely.buffer

    def __call__(self, pieces, *args, **kwargs):
        outcome = np.array(self.engine(pieces, *args, **kwargs), dtype=object)
        if self.calls > 0:
            self.calls -= 1
            outcome[0] = self.lost(pieces[0], outcome[0])
        return outcome

    @staticmethod
    def lost(piece, outcome):
        return Polygon()


class Filling(Losing):
    """The same, but it fills all holes and dents of what it should grow or inset."""

    @staticmethod
    def lost(piece, outcome):
        return shapely.convex_hull(piece)


FRAME = box(0, 0, 20, 20).difference(box(4, 4, 16, 16))


@pytest.mark.parametrize("engine", [Losing, Filling])
@pytest.mark.parametrize(
    ("ours", "area"), [(inset, 18**2 - 12**2 - 4 * 12 - math.pi), (grow, 20**2 + 4 * 20 + math.pi - 10**2)]
)
def test_what_the_engine_loses_by_one_distance_is_had_by_the_next(monkeypatch, engine, ours, area):
    monkeypatch.setattr(shapely, "buffer", engine(2))
    assert ours(FRAME, 1.0).area == pytest.approx(area, abs=0.01)


@pytest.mark.parametrize("engine", [Losing, Filling])
@pytest.mark.parametrize("ours", [inset, grow])
def test_what_the_engine_loses_every_time_is_no_smaller_design(monkeypatch, engine, ours):
    monkeypatch.setattr(shapely, "buffer", engine(9))
    with pytest.raises(ArtworkError, match=r"loses art around 0\.00, 0\.00 mm"):
        ours(FRAME, 1.0)
