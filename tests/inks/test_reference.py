"""Ink areas against a plain, slow reading of painter's order: each shape less one union of *all* shapes above it."""

import numpy as np
import pytest
import shapely

from vectorsep.geometry.boolean import HAIRLINE_MM
from vectorsep.inks.separate import visible_areas
from vectorsep.model import Artwork, PaintedShape, Place

PAGE_MM = 300.0
TOLERANCE_MM2 = 1e-6
"""A square of one micrometre: what rounding may move, and nothing more."""
HEXES = tuple(f"#{i}0{i}0{i}0" for i in range(1, 9))


def blob(rng, points, reach_mm):
    angle = np.linspace(0, 2 * np.pi, points, endpoint=False)
    radius = 1 + sum(rng.uniform(-0.12, 0.12) * np.sin(k * angle + rng.uniform(0, 6)) for k in (2, 3, 4))
    centre = rng.uniform(0, PAGE_MM, 2)
    scale = rng.uniform(0.3, 1) * reach_mm
    return shapely.Polygon(centre + scale * radius[:, None] * np.column_stack([np.cos(angle), np.sin(angle)]))


def ring(rng, points, reach_mm):
    outer = blob(rng, points, reach_mm)
    return shapely.difference(outer, shapely.affinity.scale(outer, 0.5, 0.5))


def bar(rng, points, reach_mm):
    x, y = rng.uniform(0, PAGE_MM, 2)
    upright = shapely.box(x, y, x + rng.uniform(0.5, 2) * reach_mm, y + rng.uniform(0.1, 0.5) * reach_mm)
    return shapely.affinity.rotate(upright, rng.uniform(0, 180))


def random_art(seed, kinds, count, depth):
    """Shapes in painter's order, each place of the page under about `depth` of them."""
    rng = np.random.default_rng(seed)
    reach_mm = PAGE_MM * np.sqrt(depth / count / 1.4)  # pi times the mean square of the scale, about
    shapes = [kinds[i % len(kinds)](rng, int(rng.integers(12, 64)), reach_mm) for i in range(count)]
    hexes = rng.choice(HEXES, count)
    return [PaintedShape(area, str(hex_), Place("path")) for area, hex_ in zip(shapes, hexes, strict=True)]


def plain_areas(shapes):
    """The reference. Quadratic on purpose: no index, no order of work, no shortcut to get wrong."""
    areas = {shape.hex: [] for shape in shapes}
    for i, shape in enumerate(shapes):
        above = shapely.union_all([upper.area for upper in shapes[i + 1 :]])
        areas[shape.hex].append(shapely.difference(shape.area, above))
    return {hex_: shapely.union_all(parts) for hex_, parts in areas.items()}


def largest_difference_mm2(found, expected, filled):
    """The largest area, of any ink, on which the two do not agree; hairlines that were filled do not count."""
    empty = shapely.MultiPolygon()
    return max(
        shapely.difference(shapely.symmetric_difference(found.get(hex_, empty), expected.get(hex_, empty)), filled).area
        for hex_ in {*found, *expected}
    )


def separated(shapes):
    """Our areas, and what they cover beyond the art: the hairlines."""
    found = visible_areas(Artwork(PAGE_MM, PAGE_MM, tuple(shapes)))
    painted = shapely.union_all([shape.area for shape in shapes])
    return found, shapely.difference(shapely.union_all(list(found.values())), painted)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(
    ("kinds", "count", "depth"),
    [((blob,), 150, 10), ((blob,), 120, 2), ((ring, bar), 120, 4), ((blob, ring, bar), 40, 30)],
    ids=["blobs, deep", "blobs, sparse", "rings and bars", "few and very deep"],
)
def test_areas_equal_the_plain_way(seed, kinds, count, depth):
    shapes = random_art(seed, kinds, count, depth)
    found, filled = separated(shapes)
    assert largest_difference_mm2(found, plain_areas(shapes), filled) < TOLERANCE_MM2
    assert shapely.buffer(filled, -HAIRLINE_MM / 2).area < TOLERANCE_MM2, "only hairlines are filled"


def test_shapes_that_share_edges_and_repeat_exactly():
    tiles = [shapely.box(x, y, x + 10, y + 10) for x in range(0, 60, 10) for y in range(0, 60, 10)]
    repeated = [*tiles, *tiles[::2], shapely.box(5, 5, 45, 45), *tiles[::3]]
    shapes = [PaintedShape(area, HEXES[i % 5], Place("rect")) for i, area in enumerate(repeated)]
    found, filled = separated(shapes)
    assert filled.area < TOLERANCE_MM2
    assert largest_difference_mm2(found, plain_areas(shapes), filled) < TOLERANCE_MM2


def test_the_comparison_can_fail():
    shapes = random_art(0, (blob,), 30, 5)
    found, filled = separated(shapes)
    assert largest_difference_mm2(found, plain_areas(shapes[::-1]), filled) > 1
    *lower, top = shapes
    grown = PaintedShape(shapely.buffer(top.area, 1e-5), top.hex, top.place)
    assert largest_difference_mm2(found, plain_areas([*lower, grown]), filled) > TOLERANCE_MM2
