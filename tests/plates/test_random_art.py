"""Relations that hold for the plates of any art: shapes of arbitrary coordinates, against plain buffers and overlays of
the engine. Drawn designs share points that such shapes do not."""

import dataclasses
import math

import numpy as np
import pytest
import shapely
from shapely import LineString, MultiPoint, Point, Polygon, affinity, box

from vectorsep.geometry import piecewise
from vectorsep.geometry.boolean import HAIRLINE_MM
from vectorsep.geometry.slivers import CORNER
from vectorsep.inks import separate_inks
from vectorsep.mesh import common_mesh
from vectorsep.model import Artwork, Design, InkArea, PaintedShape, Place
from vectorsep.plates import make_stack, sound_roles
from vectorsep.plates.blocker import CROSSING_DOTS
from vectorsep.remember import forget
from vectorsep.settings import Settings

HEXES = ("#ffffff", "#111111", "#d02030", "#2040a0", "#f0c020", "#30a050")
PAGE_MM = 60.0
EDGE_MM = 0.006
"""What is narrower than twice this is the thinning, the grid and the chords of two edges."""
SPREADS, CHOKES = (0.1, 0.3, 0.6, 1.0), (0.1, 0.3, 0.5)


def shape(rng):
    middle = rng.uniform(5, 55, 2)
    drawn = (
        lambda: Point(middle).buffer(rng.uniform(0.2, 14), quad_segs=int(rng.integers(2, 16))),
        lambda: box(*middle, *(middle + rng.uniform(0.1, 18, 2))),
        lambda: LineString(rng.uniform(0, PAGE_MM, (3, 2))).buffer(rng.uniform(0.05, 0.9)),
        lambda: shapely.convex_hull(MultiPoint(middle + rng.uniform(-9, 9, (4, 2)))),
        lambda: Point(middle).buffer(rng.uniform(6, 10)).difference(Point(middle + 1).buffer(rng.uniform(0.5, 5))),
    )
    return drawn[rng.integers(len(drawn))]()


@pytest.fixture(scope="module", params=range(24))
def made(request):
    """A design of random shapes, its settings, roles and stack."""
    rng = np.random.default_rng(request.param)
    shapes = tuple(PaintedShape(shape(rng), str(rng.choice(HEXES)), Place("path")) for _ in range(24))
    settings = Settings(spread_mm=SPREADS[request.param % 4], choke_mm=CHOKES[request.param % 3])
    design = separate_inks(Artwork(PAGE_MM, PAGE_MM, shapes), settings)
    if request.param % 2:
        settings = dataclasses.replace(settings, merge_black=True)
    return design, settings, sound_roles(design, settings), make_stack(design, settings)


def of_role(stack, role):
    return [plate for plate in stack.plates if plate.role == role]


def joined(inks):
    return shapely.union_all([ink.area for ink in inks])


def joined_plates(plates):
    return shapely.union_all([plate.area for plate in plates])


def clear(region):
    """What of a region is more than an edge."""
    return round(region.buffer(-EDGE_MM).area, 6)


def room(stack, settings):
    """Where upper ink may lie, less what films may lose."""
    return stack.plates[0].area.buffer(-settings.clearance_mm - 0.02)


def test_all_art_lies_on_the_blocker(made):
    design, _, _, stack = made
    assert clear(joined(design.inks).difference(stack.plates[0].area)) == 0


def test_the_blocker_goes_no_farther_than_the_spread_and_gaps_that_close(made):
    """These end where a disc of the least gap rests on the grown art; where they cross, what opens of a few such discs
    closes too."""
    design, settings, _, stack = made
    half_gap = settings.min_gap_mm / 2
    closed = joined(design.inks).buffer(settings.spread_mm + half_gap, quad_segs=64).buffer(-half_gap, quad_segs=64)
    edge_mm = 0.01 * (settings.spread_mm + half_gap) + EDGE_MM  # the engine's buffers fall short by up to 1 %
    beyond = stack.plates[0].area.difference(closed.buffer(edge_mm))
    crossings = [Polygon(hole) for piece in shapely.get_parts(closed) for hole in piece.interiors]
    small = [hole for hole in crossings if hole.area < CROSSING_DOTS * math.pi * half_gap**2]
    assert beyond.difference(shapely.union_all(small)).is_empty


def test_every_ink_prints_where_it_may(made):
    _, settings, roles, stack = made
    for ink, plate in zip(roles.trapping, of_role(stack, "colour"), strict=True):
        assert ink.hex == plate.hex
        assert clear(ink.area.intersection(room(stack, settings)).difference(plate.area)) == 0


def test_traps_lie_under_later_inks_or_over_the_blockers_black_and_no_farther_than_asked(made):
    _, settings, roles, stack = made
    half_slot_mm = common_mesh(settings.colour_mesh_per_inch).finest_detail_mm / 2  # slots between traps fill
    for place, plate in enumerate(of_role(stack, "colour")):
        own = roles.trapping[place].area
        over = joined([*roles.trapping[place + 1 :], *([roles.black] if roles.black else [])])
        assert clear(plate.area.difference(own.union(over).buffer(0.003))) == 0
        assert clear(plate.area.difference(own.buffer(settings.trap_mm + half_slot_mm + 0.01))) == 0


def test_white_lies_under_all_that_is_deep_inside_colours_and_under_all_white_art(made):
    _, settings, roles, stack = made
    white = shapely.union_all([plate.area for plate in of_role(stack, "white")])
    carried = joined(roles.carried).intersection(room(stack, settings))
    depth_mm = max(settings.choke_mm, settings.min_choke_mm) + settings.min_line_mm / 2
    missing = carried.buffer(-1.02 * depth_mm - 0.03).difference(white)
    assert missing.buffer(-0.05).is_empty  # the end of what is dropped in a neck may reach into the open
    assert clear(joined(roles.white_art).intersection(room(stack, settings)).difference(white)) == 0


def test_white_keeps_its_least_choke_but_beside_white_art(made):
    _, settings, roles, stack = made
    white = shapely.union_all([plate.area for plate in of_role(stack, "white")])
    own_edge = joined(roles.carried).intersection(stack.plates[0].area.buffer(-settings.clearance_mm))
    near = white.difference(own_edge.buffer(0.012 - min(settings.choke_mm, settings.min_choke_mm)))
    assert clear(near.difference(joined(roles.white_art).buffer(settings.choke_mm + 0.01))) == 0


@pytest.mark.parametrize("seed", [84, 133, 177, 232, 247, 272])
def test_no_trap_grows_where_ink_is_a_line_of_no_width(seed):
    """Boxes and triangles of a turned grid, flush with each other: rounding leaves spikes and necks of a nanometre. Of
    a spike between two others, which goes to these, as much is left as a corner may reach, and a trap beside that."""
    rng = np.random.default_rng(seed)
    turn_deg, shapes = rng.uniform(0, 90), []
    for _ in range(16):
        (x, y), (width, height) = rng.integers(5, 50, 2), rng.integers(1, 14, 2)
        drawn = (
            box(x, y, x + width, y + height) if rng.integers(3) else Polygon([(x, y), (x + width, y), (x, y + height)])
        )
        turned = affinity.rotate(drawn, turn_deg, origin=(30, 30))
        shapes.append(PaintedShape(turned, str(rng.choice(HEXES)), Place("path")))
    settings = Settings(merge_black=bool(seed % 2))
    design = separate_inks(Artwork(PAGE_MM, PAGE_MM, tuple(shapes)), settings)
    for ink, plate in zip(
        sound_roles(design, settings).trapping, of_role(make_stack(design, settings), "colour"), strict=True
    ):
        wide = ink.area.buffer(-1e-4, quad_segs=2).buffer(1e-4 + settings.trap_mm + 0.01)
        false = plate.area.difference(wide).difference(ink.area.buffer(1e-3))
        assert false.area < CORNER * HAIRLINE_MM * settings.trap_mm


@pytest.mark.parametrize("spike_mm", [0.5, 2.0])
def test_no_blocker_is_spread_past_its_black_by_a_spike_of_no_width(spike_mm):
    """Rounding leaves such along a clip that cuts a colour and black: rims went on as far past their colour."""
    red = Polygon([(10, 10), (20, 10), (20, 20), (10, 20), (10, 20 + spike_mm), (10 - 1e-12, 20)])
    inks = InkArea("red", HEXES[2], red), InkArea("black", HEXES[1], box(10, 20, 20, 30))
    assert red.is_valid
    settings = Settings(merge_black=True)
    blocker = make_stack(Design(30.0, 40.0, inks), settings).plates[0].area
    due = box(10, 10, 20, 30) | box(10, 10, 20, 20).buffer(settings.spread_mm, quad_segs=64)
    assert clear(blocker.symmetric_difference(due)) == 0


def test_white_shaped_in_halves_is_the_white_of_the_whole(made, monkeypatch):
    design, settings, _, stack = made
    monkeypatch.setattr(piecewise, "WORTH_HALVING", 0)
    forget()
    halved = of_role(make_stack(design, settings), "white")
    assert [
        clear(plate.area.symmetric_difference(whole.area))
        for plate, whole in zip(halved, of_role(stack, "white"), strict=True)
    ] == [0.0] * len(halved)


def test_no_place_without_white_lies_on_white(made):
    """Cores beside a line too thin for one may cover it, and so does white art."""
    _, _, _, stack = made
    white = joined_plates(of_role(stack, "white"))
    told = [notice.at_mm for notice in stack.notices if notice.code == "no-white"]
    assert [at_mm for at_mm in told if white.contains(Point(at_mm))] == []
