"""Strokes of one pen are widened together: each must cover what it covers alone."""

import numpy as np
import pytest
import shapely
from svg import drawing, shapes_of

from vectorsep.artwork import read_artwork
from vectorsep.errors import ArtworkError
from vectorsep.settings import ReadOptions

PENS = (
    'stroke-width=".4" stroke-linecap="round" stroke-linejoin="round"',
    'stroke-width=".7" stroke-linecap="square" stroke-linejoin="miter" stroke-miterlimit="9"',
    'stroke-width=".5" stroke-dasharray="2 .8 0 1" stroke-linejoin="bevel"',
    'stroke-width="1.2" stroke-linecap="butt"',
)
MAPS = ("", ' transform="rotate(20 50 50)"', ' transform="matrix(1.3 .2 0 .6 -5 9)"')


def strokes(count, seed):
    """Elements of random lines of several subpaths, open and closed, some of one point, some drawn twice."""
    rng = np.random.default_rng(seed)
    elements = []
    for nth in range(count):
        path = ""
        for _ in range(rng.integers(1, 4)):
            x, y = rng.uniform(20, 80, 2)
            steps = rng.uniform(-12, 12, (rng.integers(0, 4), 6)).round(3)
            path += f"M{x:.3f} {y:.3f}" + "".join("c" + " ".join(map(str, step)) for step in steps)
            path += rng.choice(["", "z", "h3v2z"])
        elements.append(f'<path d="{path}" {PENS[nth % 4]}{MAPS[nth % 3]}/>')
    return [*elements, *elements[:5]]


def group(elements):
    return f'<g fill="none" stroke="#123456">{"".join(elements)}</g>'


@pytest.mark.parametrize("seed", range(4))
def test_each_of_many_covers_what_it_covers_alone(seed):
    elements = strokes(120, seed)
    together = [shape.area for shape in shapes_of(group(elements))]
    alone = [shape.area for element in elements for shape in shapes_of(group([element]))]
    assert len(together) == len(alone) > 100
    apart_mm2 = [shapely.symmetric_difference(one, other).area for one, other in zip(together, alone, strict=True)]
    assert max(apart_mm2) < 1e-9  # last bits of curves, which are flattened together


def test_the_union_of_many_is_the_engines_own_buffer_of_their_lines():
    """Shapely's buffer of line strings, round caps and joins."""
    rng = np.random.default_rng(7)
    lines = [shapely.LineString(rng.uniform(10, 90, (4, 2)).round(3)) for _ in range(100)]
    elements = [f'<polyline points="{" ".join(f"{x},{y}" for x, y in line.coords)}" {PENS[0]}/>' for line in lines]
    for line, shape in zip(lines, shapes_of(group(elements)), strict=True):
        assert shapely.symmetric_difference(shape.area, line.buffer(0.2, quad_segs=32)).area < 2e-3 * line.length * 0.4


def test_the_one_that_cannot_be_computed_is_named_among_many():
    tight = '<path id="tight" d="M10 10H90" stroke-width=".5" stroke-dasharray=".0001"/>'
    with pytest.raises(ArtworkError) as refused:
        read_artwork(drawing(group([*strokes(80, 1), tight])), ReadOptions())
    assert "tight" in str(refused.value)
    assert "dashes" in str(refused.value)


def test_more_knots_than_are_widened_together(monkeypatch):
    elements = strokes(90, 2)
    whole = [shape.area for shape in shapes_of(group(elements))]
    monkeypatch.setattr("vectorsep.artwork.areas.MOST_KNOTS", 7)
    parted = [shape.area for shape in shapes_of(group(elements))]
    assert max(shapely.symmetric_difference(one, other).area for one, other in zip(parted, whole, strict=True)) < 1e-9
