"""The graded inset on bars, wedges, rings and combs of known widths."""

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from shapely import Point, Polygon, box

from vectorsep.geometry.graded import _crossed, graded_inset
from vectorsep.geometry.measure import edge, smallest_distance
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM, ENGINE_SMOOTHING, inset

CHOKE, LINE, LEAST = 0.3, 0.3, 0.1
"""Full inset, least width kept, least inset (mm): a bar keeps all of CHOKE from 0.9 up and nothing below 0.5."""

EXACT_MM = 0.002
"""Two chord tolerances."""
JUMP_MM = 0.01
"""The width of what is kept changes by less than this over a twentieth of a millimetre."""


def width_at(region, x):
    """Height of the region on the vertical line at x."""
    return shapely.intersection(region, shapely.LineString([(x, -100), (x, 100)])).length


@pytest.mark.parametrize("width", [0.55, 0.6, 0.7, 0.8, 0.89])
def test_a_thin_bar_keeps_the_least_width_of_white(width):
    kept = graded_inset(box(0, 0, 40, width), CHOKE, LINE, LEAST).area
    assert LINE - 3 * CHORD_TOLERANCE_MM <= width_at(kept, 20) <= LINE + EXACT_MM
    assert kept.centroid.y == pytest.approx(width / 2, abs=1e-3)


@pytest.mark.parametrize("width", [0.95, 1.0, 3.0])
def test_a_wide_bar_is_plainly_inset(width):
    kept = graded_inset(box(0, 0, 40, width), CHOKE, LINE, LEAST)
    assert shapely.symmetric_difference(kept.area, inset(box(0, 0, 40, width), CHOKE)).area < 1e-6
    assert not len(kept.lost.ends)


@pytest.mark.parametrize("width", [0.2, 0.4, 0.48])
def test_a_bar_below_the_least_is_dropped_and_told(width):
    kept = graded_inset(box(0, 0, 40, width), CHOKE, LINE, LEAST)
    assert kept.area.is_empty
    (loss,) = kept.lost.strips()
    assert loss.length_mm == pytest.approx(40, abs=0.1)
    assert loss.width_mm == pytest.approx(width, abs=1e-3)


def test_a_tapered_bar_keeps_white_down_to_its_least_width():
    # Local width of a wedge of half-angle a at distance x from its tip, as an inscribed disc: 2 x sin(a).
    half_angle = math.atan(1 / 20)
    wedge = Polygon([(0, 0), (40, 2), (40, -2)])
    kept = graded_inset(wedge, CHOKE, LINE, LEAST)
    ends_at = kept.area.bounds[0] + LINE / 2
    assert ends_at * math.sin(half_angle) == pytest.approx(LEAST + LINE / 2, abs=EXACT_MM)
    for x in (7, 8, 9):
        assert width_at(kept.area, x) >= LINE * 0.95
    assert width_at(kept.area, 30) == pytest.approx(2 * (30 / 20 - CHOKE / math.cos(half_angle)), abs=2e-3)
    widths = [width_at(kept.area, 5.5 + i / 20) for i in range(300)]
    assert max(abs(b - a) for a, b in pairwise(widths)) < JUMP_MM


@pytest.mark.parametrize("corner", [90, 60, 45])
def test_the_corner_of_a_wide_shape_stays_a_plain_inset(corner):
    half = math.radians(corner / 2)
    body = Polygon([(0, 0), (20, 20 * math.tan(half)), (20, -20 * math.tan(half))])
    kept = graded_inset(body, CHOKE, LINE, LEAST).area
    plain = inset(body, CHOKE)
    # The outline is thinned out within the chord tolerance.
    assert shapely.symmetric_difference(kept, plain).area < CHORD_TOLERANCE_MM * plain.length


def test_a_thin_ring_keeps_a_ring():
    ring = shapely.difference(Point(0, 0).buffer(5, quad_segs=64), Point(0, 0).buffer(4.3, quad_segs=64))
    kept = graded_inset(ring, CHOKE, LINE, LEAST).area
    assert len(shapely.get_parts(kept)) == 1
    assert len(kept.interiors) == 1
    assert width_at(kept, 0) / 2 == pytest.approx(LINE, abs=EXACT_MM)


def test_a_dumb_bell_stays_in_one_piece():
    bell = shapely.union_all([Point(-6, 0).buffer(3), Point(6, 0).buffer(3), box(-6, -0.35, 6, 0.35)])
    kept = graded_inset(bell, CHOKE, LINE, LEAST).area
    assert len(shapely.get_parts(kept)) == 1
    plain = inset(bell, CHOKE)
    assert width_at(plain, 0) == pytest.approx(0.1, abs=1e-6)


def scattered(seed):
    """Discs, rings, bars and triangles of all sizes, thrown over each other: necks and mouths of every kind."""
    rng = np.random.default_rng(seed)
    shapes = []
    for _ in range(20):
        middle = Point(*rng.uniform(5, 55, 2))
        shapes += [
            middle.buffer(rng.uniform(1, 6)).difference(middle.buffer(rng.uniform(0.5, 4))),
            shapely.LineString(rng.uniform(0, 60, (3, 2))).buffer(rng.uniform(0.1, 1)),
            shapely.convex_hull(shapely.MultiPoint(rng.uniform(0, 12, (3, 2)) + rng.uniform(0, 48, 2))),
        ]
    return shapely.union_all(shapes)


@pytest.mark.parametrize("seed", range(12))
def test_what_lies_deep_inside_is_kept(seed):
    area, least = scattered(seed), 0.25
    deep = inset(area, (CHOKE + LINE / 2) * (1 + ENGINE_SMOOTHING) + EXACT_MM)
    missing = shapely.difference(deep, graded_inset(area, CHOKE, LINE, least).area)
    # Where a neck opens, the end of what is dropped in it reaches into the open: half a disc.
    bite = math.pi * (least + LINE / 2 - CHOKE + EXACT_MM) ** 2 / 2
    assert max(shapely.area(shapely.get_parts(missing)), default=0.0) <= bite


def test_the_least_inset_is_never_undercut():
    comb = shapely.union_all([box(0, 0, 20, 2), *(box(i, 2, i + 0.3 + i / 20, 8) for i in range(20))])
    kept = graded_inset(comb, CHOKE, LINE, LEAST).area
    distance_mm, _ = smallest_distance(edge(kept), edge(comb))
    assert distance_mm >= LEAST - 2 * CHORD_TOLERANCE_MM


@pytest.mark.parametrize(("depth", "least"), [(0.25, 0.25), (0.3, 0.25), (0.15, 0.25), (0.35, 0.35), (0.1, 0.1)])
@pytest.mark.parametrize("share", [0.7, 0.9, 0.97])
@pytest.mark.parametrize("turn", [0, 17])
def test_what_joins_a_bar_too_thin_for_a_core_ends_as_round_as_one(depth, least, share, turn):
    """Against the engine's own opening of a plain inset. Where the inset was the least there was a bite before the
    bar as large as half a core's disc, or a whole one before the prongs of a fork: 1.5 mm² over 400 random designs."""
    width = share * (2 * min(depth, least) + LINE)
    fork = shapely.union_all([box(0, 0, 10, 10), box(9, 4, 16, 4 + width), box(4, -5, 4 + width, 1)])
    art = shapely.affinity.rotate(fork, turn)
    radius = LINE / 2 - EXACT_MM
    ideal = art.buffer(-depth, quad_segs=32).buffer(-radius, quad_segs=32).buffer(radius, quad_segs=32)
    lost = shapely.difference(ideal, graded_inset(art, depth, LINE, least).area.buffer(2 * EXACT_MM))
    assert lost.area < 1e-4


@pytest.mark.parametrize("seed", range(6))
def test_rooms_that_lines_run_through_are_told_as_by_asking_each_of_each(seed):
    """Rings one in the other, crossed at all or not, and lines that are nearest to a ring's start but outside of it."""
    rng = np.random.default_rng(seed)
    rings = [Point(0, 0).buffer(2 * nth + 1).difference(Point(0, 0).buffer(2 * nth)) for nth in range(1, 12)]
    rooms = np.array([*rings, *(box(x, 40, x + 1, 41) for x in range(0, 20, 2))], dtype=object)
    start, way = rng.uniform((-25, -25), (25, 45), (12, 2)), rng.normal(scale=0.6, size=(12, 2))
    lines = shapely.linestrings(np.stack([start, start + way], axis=1))
    expected = shapely.intersects(rooms[:, None], lines[None]).any(axis=1)
    assert _crossed(rooms, lines).tolist() == expected.tolist()
    assert 0 < expected.sum() < len(rooms)
    assert not _crossed(rooms, lines[:0]).any()
