"""Path data of outlines: absolute commands on the plates' grid, in the fewest digits that say it."""

import numpy as np
import pytest
import shapely
import svgelements

from vectorsep.films.pathdata import path_data, region_path
from vectorsep.geometry.curves import CURVE, LINE, MOVE, Outline, polyline_outline


@pytest.mark.parametrize(
    ("mm", "written"),
    [
        (0.0, "0"),
        (-0.0, "0"),
        (-0.00004, "0"),
        (0.0001, "0.0001"),
        (-0.0001, "-0.0001"),
        (0.1 + 0.2, "0.3"),
        (12.34996, "12.35"),
        (100.0, "100"),
        (-1234.5678, "-1234.5678"),
        (99_999.9999, "99999.9999"),
    ],
)
def test_numbers_have_four_decimals_at_most_and_no_needless_zeros(mm, written):
    assert path_data(polyline_outline(np.array([[mm, 1.0]]), closed=False)) == f"M {written} 1"


def test_a_general_reader_finds_every_grid_place_again():
    """Read by svgelements: random places on the grid come back as the nearest floats to their decimals."""
    steps = np.random.default_rng(2).integers(-9_999_999, 9_999_999, (500, 2))
    drawn = svgelements.Path(path_data(polyline_outline(steps / 10_000, closed=False)))
    points = np.array([[point.x, point.y] for point in (segment.end for segment in drawn)])
    assert (points == steps / 10_000).all()


def test_letters_are_not_repeated_and_subpaths_close():
    knots = np.array([[0, 0], [1, 0], [1, 1], [2, 2], [0, 0], [5, 5], [6, 5]], dtype=float)
    steps = np.array([MOVE, LINE, LINE, CURVE, CURVE, MOVE, LINE], dtype=np.uint8)
    handles = np.array([[[1, 2], [2, 1]], [[3, 3], [4, 4]]], dtype=float)
    outline = Outline(knots, steps, handles, np.array([True, False]))
    assert path_data(outline) == "M 0 0 L 1 0 1 1 C 1 2 2 1 2 2 3 3 4 4 0 0 Z M 5 5 L 6 5"


def test_regions_are_written_ring_by_ring():
    """Area by the shoelace formula over svgelements' reading: pieces add, holes take away."""
    holed = shapely.box(0, 0, 4, 4).difference(shapely.box(1, 1, 2, 3))
    region = shapely.MultiPolygon([holed, shapely.box(10, 0, 11, 1)])
    loops = list(svgelements.Path(region_path(region)).as_subpaths())
    points = [np.array([[step.end.x, step.end.y] for step in loop]) for loop in loops]
    areas = [abs(np.sum(p[:, 0] * np.roll(p[:, 1], -1) - p[:, 1] * np.roll(p[:, 0], -1))) / 2 for p in points]
    assert sorted(areas) == [1, 2, 16]
    assert region_path(shapely.Polygon()) == region_path(shapely.MultiPolygon()) == ""
