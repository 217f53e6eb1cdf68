"""Narrow places, looked for only where edges face each other, against the plain way that sweeps the whole region."""

import math
from itertools import combinations

import numpy as np
import pytest
import shapely
from shapely import affinity, box

from vectorsep.geometry import sweep as sweeping
from vectorsep.geometry import thin
from vectorsep.geometry.measure import Strip
from vectorsep.geometry.sweep import Disc, across_mm, are_narrow, sweep
from vectorsep.geometry.thin import facing_at, narrow_gaps, thin_places
from vectorsep.geometry.thinning import COARSE_MM, coarsened

DISC = Disc(0.3)
TIE_MM = 0.01
"""What is within the engine's errors of being told may be told or not: a hundredth of the farthest distance that the
plain way grows by, and a chord."""


def plainly_narrow(area, slack_mm, least_side_mm=0.0, leeway_mm=0.0):
    """All of it, looked at everywhere: no windows, no facing edges, no distances from points. Pieces that hang by more
    than one side as long as the least, or stick out, give or take the leeway."""
    middles = area.buffer(-DISC.radius_mm, quad_segs=16)
    swept = middles.buffer(DISC.radius_mm + slack_mm, quad_segs=16)
    along, far = swept.buffer(DISC.slack_mm), middles.buffer(DISC.spur_mm + leeway_mm, quad_segs=32)
    for piece in shapely.get_parts(area.difference(swept)):
        if piece.geom_type == "Polygon" and 2 * piece.area > TIE_MM * piece.length:
            stretches = shapely.get_parts(shapely.line_merge(piece.boundary.intersection(along)))
            sides = sum(stretch.length > least_side_mm for stretch in stretches)
            if sides > 1 or piece.disjoint(along) or not piece.difference(far).is_empty:
                yield piece


def drawing(seed):
    """Strokes of all widths and blots with sharp points, some of them cut out."""
    rng = np.random.default_rng(seed)

    def stroke():
        line = shapely.LineString(rng.uniform(0, 12, (3, 2)))
        return line.buffer(
            rng.uniform(0.02, 0.4), cap_style=rng.choice(["round", "flat", "square"]), join_style="mitre"
        )

    def blot():
        angles = np.sort(rng.uniform(0, 2 * np.pi, 11))
        radii = rng.uniform(0.3, 3, 11)
        ring = np.stack([radii * np.cos(angles), radii * np.sin(angles)], axis=1) + rng.uniform(2, 10, 2)
        return shapely.Polygon(ring).buffer(0)

    drawn = shapely.union_all([*(stroke() for _ in range(6)), *(blot() for _ in range(3))])
    return drawn.difference(shapely.union_all([stroke(), stroke(), blot()]))


def differences(area, found):
    """Places that must be among the found ones and are not, and found ones that must not be."""
    points = [shapely.Point(strip.at_mm) for strip in found if strip.width_mm > TIE_MM]
    smaller = shapely.union_all(list(plainly_narrow(area, DISC.slack_mm + TIE_MM / 2, 3 * TIE_MM, TIE_MM)))
    for piece in plainly_narrow(area, DISC.slack_mm, 3 * TIE_MM, TIE_MM):
        hits = [strip for strip in found if piece.dwithin(shapely.Point(strip.at_mm), TIE_MM)]
        if piece.intersects(smaller) and not hits:
            yield "passed over", piece.representative_point().coords[0]
    told = list(plainly_narrow(area, DISC.slack_mm, 0.0, -TIE_MM))
    for point in points:
        if not any(piece.dwithin(point, TIE_MM) for piece in told):
            yield "no such place", point.coords[0]


def free_around(area):
    return shapely.box(*area.bounds).buffer(2).difference(area)


@pytest.mark.parametrize("seed", range(8, 20))
def test_looking_only_where_edges_face_each_other_finds_what_looking_everywhere_finds(seed):
    area = drawing(seed)
    facing = facing_at(area, DISC.width_mm)
    lines, gaps = (find(area, DISC.width_mm, facing) for find in (thin_places, narrow_gaps))
    assert lines and gaps
    assert list(differences(area, lines)) == []
    assert list(differences(free_around(area), gaps)) == []
    assert "passed over" in {what for what, _ in differences(area, lines[1:])}
    assert "no such place" in {what for what, _ in differences(area, [*lines, Strip((50.0, 50.0), 1.0, 0.1)])}


@pytest.mark.parametrize("degrees", [5, 20, 45, 80])
@pytest.mark.parametrize("turn", [0, 33, 117])
def test_a_gap_between_the_tip_of_a_wedge_and_a_wall_is_found(degrees, turn):
    """The tip faces every way between its two edges: here the edges themselves do not face the wall at all."""
    half = 5 * math.tan(math.radians(degrees / 2))
    wedge = shapely.Polygon([(0, 0.1), (half, 5.1), (-half, 5.1)])
    art = affinity.rotate(shapely.union_all([wedge, shapely.box(-6, -2, 6, 0)]), turn, origin=(0, 0))
    (gap,) = narrow_gaps(art, DISC.width_mm)
    assert math.dist(gap.at_mm, (0, 0)) < 2 * DISC.width_mm
    (neck,) = thin_places(free_around(art), DISC.width_mm)
    assert neck == pytest.approx(gap) or math.dist(neck.at_mm, gap.at_mm) < TIE_MM


def test_a_gap_shut_in_by_pieces_that_only_touch_is_found():
    """A triangle without a ring of its own: three pieces touch in its corners, with wedges of 20 degrees outside."""
    corners = [np.array([math.cos(angle), math.sin(angle)]) * 0.28 for angle in np.radians([90, 210, 330])]
    out = [[affinity.rotate(shapely.Point(9 * at), turn, origin=tuple(at)) for turn in (-10, 10)] for at in corners]
    art = shapely.MultiPolygon(
        [
            shapely.Polygon(
                [corners[i], corners[j], out[j][0], shapely.Point(9 * (corners[i] + corners[j])), out[i][1]]
            )
            for i, j in ((0, 1), (1, 2), (2, 0))
        ]
    )
    assert art.is_valid
    assert min(math.hypot(*strip.at_mm) for strip in narrow_gaps(art, DISC.width_mm)) < 0.14


def test_a_pinhole_is_far_from_free_cloth_when_its_middle_is():
    """In a square dot 1.3 mm wide: its middle is 0.65 mm from the cloth and half a disc more from the disc's middles;
    its edge is 0.1 mm nearer, and no farther than a spur."""
    dot = shapely.box(-0.65, -0.65, 0.65, 0.65).difference(shapely.box(-0.1, -0.1, 0.1, 0.1))
    assert 0.7 < DISC.spur_mm < 0.8
    (pinhole,) = narrow_gaps(dot, DISC.width_mm)
    assert pinhole.at_mm == pytest.approx((0, 0), abs=TIE_MM)


def test_a_long_hairline_is_one_strip_however_far_it_reaches():
    line = shapely.LineString([(0, 0), (40, 3), (80, -30)]).buffer(0.05, cap_style="flat", join_style="mitre")
    (strip,) = thin_places(line, DISC.width_mm)
    assert (strip.length_mm, strip.width_mm) == pytest.approx((line.length / 2 - 0.1, 0.1), abs=TIE_MM)


@pytest.mark.parametrize("rooms", [(0.5, 1.0), (0.5, 16.0), (40.0, 50.0)])
def test_where_windows_cut_missed_pieces_wider_ones_are_opened(monkeypatch, rooms):
    area = drawing(8)
    expected = [thin_places(area, DISC.width_mm), narrow_gaps(area, DISC.width_mm)]
    monkeypatch.setattr(thin, "ROOMS", rooms)
    monkeypatch.setattr(thin, "LEAST_ROOM_MM", 0.0)
    for found, strips in zip(
        [thin_places(area, DISC.width_mm), narrow_gaps(area, DISC.width_mm)], expected, strict=True
    ):
        assert [strip.length_mm for strip in found] == pytest.approx([strip.length_mm for strip in strips], abs=TIE_MM)
        assert all(math.dist(one.at_mm, other.at_mm) < 0.2 for one, other in zip(found, strips, strict=True))


@pytest.mark.parametrize("seed", range(3))
def test_coarsened_outlines_lie_within_their_tolerance(seed):
    area = drawing(seed).buffer(0.05, quad_segs=64)
    coarse = coarsened(area)
    assert coarse.is_valid
    assert shapely.get_num_coordinates(coarse) < shapely.get_num_coordinates(area) / 3
    assert shapely.hausdorff_distance(coarse.boundary, area.boundary, densify=0.01) < COARSE_MM + 1e-9


def test_coarsening_loses_no_piece_and_lets_none_cross():
    dots = [shapely.Point(3 * i, 0).buffer(0.0005 * (i + 1)) for i in range(6)]
    arcs = shapely.Point(0, 20).buffer(5, quad_segs=200)
    inner = shapely.Point(0, 20).buffer(4.9985, quad_segs=200)
    area = shapely.MultiPolygon([*dots, arcs.difference(shapely.Point(0, 20).buffer(4.999, quad_segs=200)), inner])
    coarse = coarsened(area)
    assert coarse.is_valid and len(shapely.get_parts(coarse)) == len(shapely.get_parts(area))
    *_, outer, inner, _ = shapely.simplify(shapely.get_rings(area.geoms), COARSE_MM, preserve_topology=False)
    assert outer.crosses(inner)


def test_a_sliver_that_rounding_leaves_among_missed_pieces_counts_as_the_others_do():
    """It was left of a film with a pen's line around its ink, and is 1e-14 mm wide."""
    corners = [(40.61136893170366, 25.110456862128984), (40.40402931947162, 24.670137518042083)]
    sliver = shapely.Polygon([*corners, (40.611368931703666, 25.110456862129013)])
    island = shapely.box(38, 24, 38.1, 24.1)
    around = sweep(shapely.box(39, 24, 41, 26), DISC)
    assert sliver.is_valid
    assert are_narrow(np.array([island, sliver]), around).tolist() == [True, False]  # it lies in what is swept


def test_a_net_is_as_wide_as_the_least_of_its_lines():
    """By its drawn widths, and by the plain distances of all pairs of its holes, whose edges are its sides."""
    lines = [box(0, 2 * i, 30, 2 * i + 0.1) for i in range(15)] + [box(2 * i, 0, 2 * i + 0.1, 29) for i in range(15)]
    lines[7] = box(0, 14, 30, 14.06)
    net = shapely.union_all(lines)
    swept = sweep(net, Disc(0.3))
    [width_mm] = across_mm(swept.missed, swept)
    holes = shapely.polygons(shapely.get_rings(net)[1:])
    apart_mm = [shapely.distance(one, other) for one, other in combinations(holes, 2)]
    assert width_mm == pytest.approx(min(apart_mm), abs=1e-9)
    assert width_mm == pytest.approx(0.06, abs=1e-9)


@pytest.mark.parametrize(("points", "is_long"), [(100, False), (1500, True)])
def test_sides_that_wind_over_a_page_are_as_far_apart_as_the_engine_says(monkeypatch, points, is_long):
    turn = np.linspace(0, 12 * math.pi, points)
    sides = []
    for radius in (2 + turn, 2.25 + turn + 0.1 * np.sin(3.7 * turn)):
        xy = np.stack([radius * np.cos(turn), radius * np.sin(turn)], axis=1)
        sides.append(shapely.multilinestrings(shapely.linestrings(np.stack([xy[:-1], xy[1:]], axis=1))))
    by_parts, asked = sweeping._nearest_mm, []
    monkeypatch.setattr(sweeping, "_nearest_mm", lambda *pair: asked.append(pair) or by_parts(*pair))
    assert sweeping._least_apart(np.array(sides)) == shapely.distance(*sides)
    assert bool(asked) == is_long
