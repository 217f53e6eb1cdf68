"""How far a trap may reach into an ink: a third of its local width, told for wedges and strokes of known width."""

import numpy as np
import pytest
import shapely
from scipy.spatial import cKDTree
from shapely import LineString, Polygon, box

from vectorsep.plates.trap_zones import NEIGHBOUR_SHARE, TRAP_STEP_MM, trap_zones

WIDTH_MM = 0.3


def reach_at(zones, points):
    """The reach at each point (n, 2), 0 where there is no trap."""
    reach = np.zeros(len(points))
    for zone in zones:
        reach[shapely.contains_xy(zone.area, *points.T)] = zone.reach_mm
    return reach


def test_zones_are_disjoint_parts_of_the_ink_and_fall():
    wedge = Polygon([(0, 0), (40, 1), (40, -1)])
    zones = trap_zones(wedge, WIDTH_MM)
    assert [zone.reach_mm for zone in zones] == pytest.approx([WIDTH_MM, 0.28, 0.24, 0.2, 0.16, 0.12, 0.08, 0.04])
    whole = shapely.union_all([zone.area for zone in zones])
    assert sum(zone.area.area for zone in zones) == pytest.approx(whole.area)
    assert shapely.difference(whole, wedge).area < 1e-9


def test_along_a_wedge_the_reach_is_the_step_below_a_third_of_its_width():
    wedge = Polygon([(0, 0), (40, 1), (40, -1)])
    x = np.linspace(0.5, 39, 400)
    reach = reach_at(trap_zones(wedge, WIDTH_MM), np.stack([x, np.zeros_like(x)], axis=1))
    third = x / 20 * NEIGHBOUR_SHARE  # the wedge is x / 20 wide at x
    # A disc that fits reaches a little way on into the narrower part, by half its width: so far a step may come early.
    earlier = (x + 1.0) / 20 * NEIGHBOUR_SHARE
    assert (reach > np.minimum(third, WIDTH_MM) - TRAP_STEP_MM).all()
    assert (reach <= np.minimum(earlier, WIDTH_MM) + 1e-9).all()


@pytest.mark.parametrize("seed", range(6))
def test_no_reach_is_more_than_a_third_of_a_strokes_width(seed):
    rng = np.random.default_rng(seed)
    t = np.linspace(0, 1, 200)
    middle = np.stack([60 * t, 4 * np.sin(2 * np.pi * t * rng.uniform(0.5, 1.5))], axis=1)
    width_mm = rng.uniform(0.3, 0.8)
    stroke = LineString(middle).buffer(width_mm / 2, quad_segs=16)
    zones = trap_zones(stroke, WIDTH_MM)
    inner = middle[20:-20]
    outline = shapely.get_coordinates(shapely.segmentize(shapely.boundary(stroke), 0.01))
    off, _ = cKDTree(outline).query(inner)  # SciPy tells the local width from the drawn outline
    assert off == pytest.approx(width_mm / 2, rel=0.02)
    assert (reach_at(zones, inner) <= 2 * off * NEIGHBOUR_SHARE * 1.02 + 1e-3).all()


def test_a_broad_ink_is_one_zone_and_a_hairline_none():
    (zone,) = trap_zones(box(0, 0, 30, 30), WIDTH_MM)
    assert zone.reach_mm == WIDTH_MM
    assert zone.area.area == pytest.approx(900)
    assert trap_zones(box(0, 0, 30, 0.1), WIDTH_MM) == ()


@pytest.mark.parametrize("line_mm", [0.5, 0.7, 1.06])
def test_a_wider_trap_is_never_narrower_in_the_end_and_takes_what_a_third_allows(line_mm):
    line = box(0, 0, 40, line_mm)
    middle = np.array([[20.0, line_mm / 2]])
    given = [reach_at(trap_zones(line, asked), middle)[0] for asked in (0.25, 0.3, 0.4, 0.5, 0.6)]
    third = line_mm * NEIGHBOUR_SHARE
    for asked, reach in zip((0.25, 0.3, 0.4, 0.5, 0.6), given, strict=True):
        assert min(asked, third - TRAP_STEP_MM) <= reach <= min(asked, third)
    assert given == sorted(given)
