"""How far a trap may reach into an ink: a share of its local width, told for wedges and strokes of known width."""

import numpy as np
import pytest
import shapely
from scipy.spatial import cKDTree
from shapely import LineString, Polygon, affinity, box

from vectorsep.geometry.borders import borders_of
from vectorsep.plates.trap_reach import EVERY_MM, SHARE_OF_THIN, TRAP_STEP_MM, Hidden, trap_reach

WIDTH_MM = 0.3


def reaches(over, width_mm=WIDTH_MM, beside=None, slip_mm=None):
    """All around an ink or where it meets the part of its surroundings: the middles (n, 2) of the border's edges, and
    how far a trap may reach into the ink there."""
    beside = beside or shapely.difference(over.envelope.buffer(5), over)
    border = borders_of([beside, over]).between([0], [1]).split(EVERY_MM)
    hidden = None if slip_mm is None else Hidden(slip_mm, 0.2)
    return border.middles, trap_reach(border, over, width_mm, hidden)[0]


def test_along_a_wedge_the_reach_is_the_step_below_a_third_of_its_width():
    middles, reach = reaches(Polygon([(0, 0), (40, 1), (40, -1)]))
    x = middles[:, 0]
    third = x / 20 * SHARE_OF_THIN  # the wedge is x / 20 wide at x
    # A disc that fits counts a little way on into the narrower part, by its width: so far a step may come early.
    earlier = (x + 1.0) / 20 * SHARE_OF_THIN
    assert (reach > np.minimum(third, WIDTH_MM) - TRAP_STEP_MM).all()
    assert (reach <= np.minimum(earlier, WIDTH_MM) + 1e-9).all()
    assert sorted(set(reach)) == pytest.approx([0, 0.04, 0.08, 0.12, 0.16, 0.2, 0.24, 0.28, WIDTH_MM])


@pytest.mark.parametrize("seed", range(6))
def test_no_reach_is_more_than_a_third_of_a_strokes_width_and_none_a_step_less(seed):
    rng = np.random.default_rng(seed)
    t = np.linspace(0, 1, 200)
    middle = np.stack([60 * t, 4 * np.sin(2 * np.pi * t * rng.uniform(0.5, 1.5))], axis=1)
    width_mm = rng.uniform(0.3, 0.8)
    stroke = LineString(middle).buffer(width_mm / 2, quad_segs=16)
    _, reach = reaches(stroke)
    outline = shapely.get_coordinates(shapely.segmentize(shapely.boundary(stroke), 0.01))
    off, _ = cKDTree(outline).query(middle[20:-20])  # SciPy tells the local width from the drawn outline
    assert off == pytest.approx(width_mm / 2, rel=0.02)
    third = 2 * off.min() * SHARE_OF_THIN
    assert (reach <= third * 1.02 + 1e-3).all()
    assert (reach > min(third, WIDTH_MM) * 0.98 - TRAP_STEP_MM).all()


def along_a_line(line_mm, width_mm, slip_mm):
    middles, reach = reaches(box(0, 0, 40, line_mm), width_mm, slip_mm=slip_mm)
    return reach[(middles[:, 0] > 2) & (middles[:, 0] < 38)]


@pytest.mark.parametrize("slip_mm", [0.1, 0.25, 0.4])
@pytest.mark.parametrize("line_mm", [0.2, 0.3, 0.37, 0.41, 0.46, 0.5, 0.62, 0.9])
def test_what_hides_a_trap_takes_up_to_half_but_what_shows_beyond_a_slipped_line(line_mm, slip_mm):
    """Half is the bound of published guides. A line that lies off its place by the slip hides so much less of what
    reaches in from one side."""
    most = min(line_mm / 2, max(line_mm / 3, line_mm - slip_mm), WIDTH_MM)
    reach = along_a_line(line_mm, WIDTH_MM, slip_mm)
    assert (reach <= most + 1e-9).all()
    assert (reach > most - TRAP_STEP_MM - 0.003).all()


def test_a_line_twice_the_slip_wide_hides_a_trap_against_all_of_it():
    """Where traps took a third of a 0.5 mm line a slip of 0.25 mm left 0.08 mm bare along all of it."""
    assert along_a_line(0.51, 0.25, 0.25) == pytest.approx(0.25)
    assert along_a_line(0.51, 0.25, None) == pytest.approx(0.16)


@pytest.mark.parametrize("slip_mm", [0.15, 0.2, 0.25, 0.3])
@pytest.mark.parametrize("turn", range(0, 90, 7))
def test_all_sides_of_an_outline_just_twice_the_slip_wide_hide_the_same_trap(slip_mm, turn):
    """So are outlines drawn as a rule; rounding had the trap step by 0.04 mm from side to side, and along one."""
    tile = affinity.rotate(box(0, 0, 20, 20), turn)
    inside = tile.buffer(-2 * slip_mm, join_style="mitre")
    _, reach = reaches(tile.difference(inside), slip_mm, inside, slip_mm)
    assert len(reach) > 200
    assert (reach == slip_mm).all()


@pytest.mark.parametrize("hidden", [None, Hidden(0.25, 0.2), Hidden(2.0, 0.2)])
@pytest.mark.parametrize(("line_mm", "thin"), [(0.5, True), (2.0, False)])
def test_only_what_lies_under_thin_ink_is_looked_at_for_slots(line_mm, thin, hidden):
    """Two traps of 0.25 mm and a slot of 0.2 between them lie under 2 mm."""
    over = box(0, 0, 40, line_mm)
    border = borders_of([shapely.difference(over.buffer(5), over), over]).between([0], [1]).split(EVERY_MM)
    along = (border.middles[:, 0] > 2) & (border.middles[:, 0] < 38)
    assert (trap_reach(border, over, 0.25, hidden)[1][along] == thin).all()


def test_a_broad_ink_takes_the_whole_trap_and_a_hairline_none():
    assert (reaches(box(0, 0, 30, 30))[1] == WIDTH_MM).all()
    assert (reaches(box(0, 0, 30, 0.1))[1] == 0).all()


@pytest.mark.parametrize("line_mm", [0.5, 0.7, 1.06])
def test_a_wider_trap_is_never_narrower_in_the_end_and_takes_what_a_third_allows(line_mm):
    third = line_mm * SHARE_OF_THIN
    before = 0.0
    for asked in (0.25, 0.3, 0.4, 0.5, 0.6):
        middles, reach = reaches(box(0, 0, 40, line_mm), asked)
        along = reach[(middles[:, 0] > 2) & (middles[:, 0] < 38)]
        assert (min(asked, third - TRAP_STEP_MM) <= along).all()
        assert (along <= min(asked, third)).all()
        assert (along >= before).all()
        before = along.max()


def test_what_is_wide_across_a_gap_does_not_widen_a_thin_line():
    line, broad = box(0, 0, 0.3, 20), box(0.5, 0, 10, 20)
    over = shapely.union(shapely.union(line, broad), box(0, -5, 10, 0))  # joined far away below
    middles, reach = reaches(over)
    beside_line = (middles[:, 0] == 0) & (middles[:, 1] > 5)
    assert beside_line.sum() > 20
    assert reach[beside_line] == pytest.approx(0.08)  # a third of 0.3 mm, by steps


def test_a_neck_is_found_in_the_midst_of_a_long_edge():
    over = shapely.difference(box(0, 0, 60, 10), box(25, 0.45, 35, 9))
    middles, reach = reaches(over, beside=box(0, -5, 60, 0))
    assert len(middles) >= 60 / EVERY_MM
    x = middles[:, 0]
    assert reach[(x > 27) & (x < 33)] == pytest.approx(0.12)  # a third of 0.45 mm, by steps
    assert reach[(x < 24) | (x > 36)] == pytest.approx(WIDTH_MM)


@pytest.mark.parametrize("angle", [62, 90, 150, 220, 300])
def test_no_corner_of_a_wide_ink_is_thin(angle):
    turn = np.radians(np.linspace(0, angle, 50))
    corner = Polygon([(0, 0), *(30 * np.stack([np.cos(turn), np.sin(turn)], axis=1))])
    middles, reach = reaches(corner)
    assert (reach[np.hypot(*middles.T) < 10] == WIDTH_MM).all()


def test_a_sharp_corner_is_thin():
    turn = np.radians(np.linspace(0, 40, 20))
    corner = Polygon([(0, 0), *(30 * np.stack([np.cos(turn), np.sin(turn)], axis=1))])
    middles, reach = reaches(corner)
    assert reach[np.hypot(*middles.T) < 0.5].max() < WIDTH_MM
