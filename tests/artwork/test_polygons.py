"""Films are read back by this reader: polygons must come through unchanged."""

import numpy as np
import pytest
import shapely
from svg import drawing, shapes_of

from vectorsep.artwork import read_artwork


def grid_polygons(seed, count):
    """Valid polygons with holes on a grid of 1e-4 mm, and their path data."""
    rng = np.random.default_rng(seed)
    cells, path = [], ""
    for i in range(count):
        x, y = 4 + 8 * (i % 12), 4 + 8 * (i // 12 % 12)
        rings = []
        for radius in (3.5, 1.5):
            angles = np.sort(rng.uniform(0, 2 * np.pi, 40))
            radii = radius * rng.uniform(0.8, 1, 40)
            points = np.round(np.stack([x + radii * np.cos(angles), y + radii * np.sin(angles)], axis=1), 4)
            rings.append(points)
        cells.append(shapely.Polygon(rings[0], [rings[1]]))
        path += "".join("M" + "L".join(f"{a:.4f},{b:.4f}" for a, b in ring) + "Z" for ring in rings)
    return cells, path


def sorted_points(region):
    points = shapely.get_coordinates(region)
    return points[np.lexsort(points.T)]


@pytest.mark.parametrize("seed", range(3))
def test_compound_polygons_come_back_unchanged(seed):
    cells, path = grid_polygons(seed, 100)
    whole = shapely.MultiPolygon(cells)
    assert whole.is_valid
    [shape] = shapes_of(f'<path fill-rule="evenodd" d="{path}"/>')
    assert np.abs(sorted_points(shape.area) - sorted_points(whole)).max() < 1e-9
    assert shapely.symmetric_difference(shape.area, whole).area == 0


def test_a_moved_and_scaled_page_costs_one_rounding():
    cells, path = grid_polygons(9, 30)
    page = 'width="200mm" height="200mm" viewBox="-50 -50 100 100"'
    [shape] = shapes_of(f'<g transform="translate(-50,-50)"><path fill-rule="evenodd" d="{path}"/></g>', page)
    expected = shapely.transform(shapely.MultiPolygon(cells), lambda points: points * 2)
    assert np.abs(sorted_points(shape.area) - sorted_points(expected)).max() < 1e-9


def test_holes_that_touch_and_islands_keep_their_area():
    path = "M0 0H90V90H0ZM10 10H50V50H10ZM50 50H80V80H50ZM20 20H40V40H20Z"
    [shape] = shapes_of(f'<path fill-rule="evenodd" d="{path}"/>')
    assert shape.area.is_valid
    assert shape.area.area == 90 * 90 - 40 * 40 - 30 * 30 + 20 * 20


def test_equal_rings_cancel_by_even_odd_and_stay_by_nonzero():
    twice = "M10 10H50V50H10ZM10 10H50V50H10Z"
    assert not shapes_of(f'<path fill-rule="evenodd" d="{twice}"/>')
    assert [shape.area.area for shape in shapes_of(f'<path d="{twice}"/>')] == [1600]


@pytest.mark.parametrize(("inner", "area"), [("V40H40V20Z", 8100 - 400), ("H40V40H20Z", 8100)])
def test_winding_decides_by_nonzero(inner, area):
    assert [shape.area.area for shape in shapes_of(f'<path d="M0 0H90V90H0ZM20 20{inner}"/>')] == [area]


def test_a_plate_of_half_a_million_points_is_read():
    cells, path = grid_polygons(4, 144)
    body = f'<path fill-rule="evenodd" d="{path}"/>' * 45
    artwork = read_artwork(drawing(body))
    assert sum(len(shapely.get_coordinates(shape.area)) for shape in artwork.shapes) > 500_000
    assert all(shape.area.is_valid for shape in artwork.shapes)
    assert artwork.shapes[0].area.area == pytest.approx(shapely.MultiPolygon(cells).area)


def test_a_hole_in_a_ring_that_crosses_another_stays_a_hole():
    # By the non-zero rule (SVG 2, 13.4.2), worked out by hand: the second ring runs against the first and cancels it
    # where they overlap; the third runs against the second and cancels it.
    path = "M0 0H60V60H0ZM80 10H30V50H80ZM65 20H75V40H65Z"
    [shape] = shapes_of(f'<path d="{path}"/>')
    whole, crossing, hole = shapely.box(0, 0, 60, 60), shapely.box(30, 10, 80, 50), shapely.box(65, 20, 75, 40)
    expected = shapely.difference(shapely.symmetric_difference(whole, crossing), hole)
    assert shapely.symmetric_difference(shape.area, expected).area < 1e-9
