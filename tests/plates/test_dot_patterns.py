"""Halftone dots, tiles and rings with gaps between them: what opens, what fills, and what it costs the art. Against
plain overlays and openings by the engine's own buffers."""

from itertools import combinations

import numpy as np
import pytest
import shapely
from shapely import Point, affinity, box

from vectorsep.check.detail import detail_findings
from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place, Plate
from vectorsep.plates import make_stack
from vectorsep.settings import Settings

RED = "#c81e28"
SETTINGS = Settings()
LINE_MM = 0.3
"""What a mesh of 86 threads per inch holds of a line, in hundredths: two threads and one opening, from its figures."""


def plates_of(art, **values):
    placed, areas = separated(art, Settings(**values))
    return placed, areas["blocker"], areas["colour"]


def separated(art, settings=SETTINGS):
    left, top, right, bottom = art.bounds
    placed = affinity.translate(art, 5 - left, 5 - top)
    artwork = Artwork(right - left + 10, bottom - top + 10, (PaintedShape(placed, RED, Place("path")),))
    stack = make_stack(separate_inks(artwork, settings), settings)
    return placed, {plate.role: plate.area for plate in stack.plates}


def in_rows(shape, pitch, columns=4, rows=4, turn=0):
    grid = shapely.union_all(
        [affinity.translate(shape, x * pitch, y * pitch) for x in range(columns) for y in range(rows)]
    )
    return affinity.rotate(grid, turn, origin=(0, 0))


def dot(radius):
    return Point(0, 0).buffer(radius, quad_segs=24)


def rounded_tile(size, corner):
    return box(corner, corner, size - corner, size - corner).buffer(corner, quad_segs=8)


def necks(region, width_mm=LINE_MM):
    """What an opening by a width takes away between two parts of what it leaves: corners hang on one."""
    radius_mm = width_mm / 2 - 0.01
    opened = region.buffer(-radius_mm, quad_segs=16).buffer(radius_mm, quad_segs=16)
    parts = shapely.get_parts(opened)
    return [
        piece
        for piece in shapely.get_parts(region.difference(opened))
        if piece.area > 1e-4 and sum(piece.distance(part) < 0.005 for part in parts) > 1
    ]


@pytest.mark.parametrize("turn", [0, 17, 45])
@pytest.mark.parametrize(
    ("shape", "gap"),
    [(dot(8), 0.45), (dot(5), 0.5), (dot(6), 0.7), (rounded_tile(14, 0.5), 0.5), (rounded_tile(14, 2), 0.5)],
    ids=["dots of 16", "dots of 10", "dots of 12", "tiles", "round tiles"],
)
def test_gaps_that_stay_open_between_round_shapes_meet_where_these_leave_room(shape, gap, turn):
    """Each stayed a hole of its own, with a neck of 0.03 to 0.2 mm of blocker to the room between four of them."""
    size = shape.bounds[2] - shape.bounds[0]
    _, blocker, _ = plates_of(in_rows(shape, size + gap, turn=turn))
    assert len(shapely.get_parts(blocker)) == 16
    assert not necks(blocker)


@pytest.mark.parametrize("seed", range(12))
def test_gaps_between_tiles_that_lie_a_little_askew_have_no_pinches(seed):
    """A gap was led on past places that are too narrow for it."""
    rng = np.random.default_rng(seed)
    tile = rounded_tile(14, rng.uniform(0.2, 1))
    tiles = [
        affinity.translate(affinity.rotate(tile, rng.uniform(-2.5, 2.5)), x * 14.6, y * 14.6)
        for x in range(4)
        for y in range(4)
    ]
    _, blocker, _ = plates_of(shapely.union_all(tiles))
    assert not necks(blocker)
    assert not necks(blocker.buffer(3).difference(blocker), Settings().min_gap_mm)


@pytest.mark.parametrize("gap", [0.42, 0.5, 0.6, 0.8])
@pytest.mark.parametrize("radius", [0.2, 0.3, 0.5, 0.8, 1.2])
def test_small_dots_keep_their_size_and_shape(radius, gap):
    """Dots of 2 mm came out as squares, those of 0.4 mm as specks of a tenth of their area."""
    art, blocker, colour = plates_of(in_rows(dot(radius), 2 * radius + gap, 6, 6))
    assert all(dot_.intersection(colour).area > 0.9 * dot_.area for dot_ in shapely.get_parts(art))
    assert not necks(blocker)


@pytest.mark.parametrize("gap", [0.3, 0.36, 0.395])
def test_a_gap_between_two_dots_that_closes_leaves_no_hole_and_no_dent(gap):
    """The short ends of it, on both sides of the narrowest place, were holes with necks at their mouths."""
    art, blocker, colour = plates_of(in_rows(dot(1), 2 + gap, 2, 1))
    assert shapely.difference(art, colour).area < 0.01
    assert len(shapely.get_parts(blocker)) == 1
    assert not shapely.get_parts(blocker)[0].interiors
    assert not necks(blocker)


@pytest.mark.parametrize(("radius", "gap"), [(0.6, 0.3), (0.65, 0.2), (0.55, 0.42), (0.65, 0.45)])
def test_nothing_opens_amid_four_dots_whose_gaps_close(radius, gap):
    """Where the least gap just fits, single dots of cloth took bites out of halftone dots, here and there."""
    art, blocker, colour = plates_of(in_rows(dot(radius), 2 * radius + gap, 8, 8))
    (piece,) = shapely.get_parts(blocker)
    assert not piece.interiors
    assert shapely.difference(art, colour).area < 0.01 * art.area


@pytest.mark.parametrize("pitch", [1.2, 1.4, 1.5])
def test_nothing_opens_amid_dots_that_grow(pitch):
    """As in a halftone: some of the gaps close, others fill."""
    grown = [
        affinity.translate(dot(pitch * (0.2 + 0.02 * x + 0.005 * y)), x * pitch, y * pitch)
        for x in range(14)
        for y in range(14)
    ]
    _, blocker, _ = plates_of(shapely.union_all(grown))
    openings = [shapely.Polygon(hole).area for piece in shapely.get_parts(blocker) for hole in piece.interiors]
    assert not [mm2 for mm2 in openings if mm2 < 3 * np.pi * (Settings().min_gap_mm / 2) ** 2]


def test_bold_art_pays_for_a_gap_that_stays_open():
    """A piece that loses less than a tenth recedes; tiles of 14 mm lose a fourteenth."""
    tiles, blocker, colour = plates_of(in_rows(box(0, 0, 14, 14), 14.5))
    assert len(shapely.get_parts(blocker)) == 16
    assert 0.04 * tiles.area < shapely.difference(tiles, colour).area < 0.1 * tiles.area


@pytest.mark.parametrize("neck", [0.3, 0.5, 0.62, 0.66, 0.7, 0.74])
@pytest.mark.parametrize("radius", [0.7, 1, 1.5, 2.5])
@pytest.mark.parametrize("turn", [0, 31])
def test_white_of_joined_dots_ends_before_necks_too_narrow_for_it(radius, neck, turn):
    """It ran through some of them, by 0.06 to 0.18 mm, and before others it had nibs, and horns beside them. Against
    the engine's own opening of a plain inset; slow tapers may stay sharp."""
    pitch = 2 * np.sqrt(radius**2 - neck**2 / 4)
    art, areas = separated(in_rows(dot(radius), pitch, 3, 2, turn))
    radius_mm = SETTINGS.min_line_mm / 2 - 0.002
    inner = art.buffer(-SETTINGS.choke_mm, quad_segs=24).buffer(-radius_mm, quad_segs=24)
    ideal = inner.buffer(radius_mm, quad_segs=24)
    assert len(shapely.get_parts(areas["white"])) == 6
    assert shapely.hausdorff_distance(areas["white"], ideal) < 0.165
    assert least_apart(areas["white"]) > 0.6 * least_apart(ideal)


def least_apart(region):
    return min(one.distance(other) for one, other in combinations(shapely.get_parts(region), 2))


def test_lone_dots_of_white_are_no_smaller_than_the_check_asks():
    """Each dot of 0.8 mm, the least that takes white, was warned of as an island smaller than its mesh holds."""
    _, areas = separated(in_rows(dot(0.405), 3))
    white = Plate("white", "white", "#ffffff", areas["white"])
    assert len(shapely.get_parts(white.area)) == 16
    assert not list(detail_findings([white], SETTINGS))


@pytest.mark.parametrize(("across", "opens"), [(0.3, False), (0.5, False), (0.68, False), (0.78, True), (1.0, True)])
def test_a_speck_of_cloth_opens_where_it_shows_half_of_what_it_costs_the_art(across, opens):
    """Around a speck of 0.5 mm colour receded to 0.9 mm, for 0.4 mm of cloth. Reckoned by circles: the opening is as
    wide as the least gap, and no colour lies within the clearance of it."""
    gap, clearance = SETTINGS.min_gap_mm, SETTINGS.clearance_mm
    assert opens == ((gap + 2 * clearance) ** 2 - across**2 < 2 * gap**2)
    art, blocker, colour = plates_of(box(0, 0, 30, 30).difference(affinity.translate(dot(across / 2), 15, 15)))
    assert bool(shapely.get_parts(blocker)[0].interiors) == opens
    if not opens:
        assert shapely.difference(art, colour).area < 0.01


@pytest.mark.parametrize("radius", [0.62, 0.7])
def test_an_open_gap_that_ends_amid_three_dots_leads_to_both_others(radius):
    """Both are as near but for rounding: only one was led to, and each fork of a halftone had a bump on one side."""
    below = dot(radius + 0.116)
    three = [affinity.translate(dot(radius), 0, -2.4), affinity.translate(below, -1.3), affinity.translate(below, 1.3)]
    values = {"registration_mm": 0.4, "spread_mm": 0.6, "choke_mm": 0.5, "fill_gaps": False}
    placed, blocker, _ = plates_of(shapely.union_all(three), **values)
    middle = (placed.bounds[0] + placed.bounds[2]) / 2
    mirrored = affinity.scale(blocker, -1, 1, origin=(middle, 0))
    assert shapely.symmetric_difference(blocker, mirrored).buffer(-0.006).area < 1e-3
