"""The timings' own footing: the inputs are what they are said to be, the table tells a shortfall.

The ratios themselves are measured on request: `python tests/bench`, or `pytest -m bench -s tests/bench`.
"""

import re
import time

import inputs
import numpy as np
import pytest
import shapely
from plain_way import plain_plates
from ratios import at_least, at_most, by_turns, table

from vectorsep.artwork import read_artwork
from vectorsep.geometry.visible import visible_parts
from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_plates
from vectorsep.settings import ReadOptions, Settings

PATH = Place("path")
SIDE_BY_SIDE = ((10, "#f2c230"), (30, "#1e3cc8"))


@pytest.mark.parametrize("count", [200, 1000])
def test_blobs_are_as_deep_and_as_many_as_named(count):
    art = inputs.blobs(count)
    areas = np.array([shape.area for shape in art.shapes])
    assert len(areas) == count
    assert set(shapely.get_num_coordinates(areas)) == {inputs.POINTS + 1}
    assert len({shape.hex for shape in art.shapes}) == 8
    assert shapely.area(areas).sum() / inputs.PAGE_MM**2 == pytest.approx(inputs.DEPTH, rel=0.1)
    assert shapely.is_valid(areas).all()


def test_glyphs_have_holes_and_outlines():
    art = inputs.glyphs(100)
    holes = [shapely.get_num_interior_rings(shape.area) for shape in art.shapes]
    assert len(art.shapes) == 200
    assert set(holes) == {1, 2}
    for outlined, face in zip(art.shapes[::2], art.shapes[1::2], strict=True):
        assert outlined.area.contains(face.area)


def test_the_plainest_plates_of_bold_art_are_ours():
    # Two squares side by side, the light one printed first: nothing is thin, and no gap is near.
    art = Artwork(60, 40, tuple(PaintedShape(shapely.box(x, 10, x + 20, 30), ink, PATH) for x, ink in SIDE_BY_SIDE))
    design = separate_inks(art, Settings())
    made = make_plates(design, Settings())
    areas = {ink.hex: ink.area for ink in design.inks}
    plain = plain_plates([areas[plate.hex] for plate in made if plate.role == "colour"], Settings())
    assert [plate.role for plate in made] == ["blocker", "white", "colour", "colour"]
    for ours, theirs in zip(made, plain, strict=True):
        assert shapely.symmetric_difference(ours.area, theirs).area < 0.001


def test_strokes_cross_and_enclose_cloth():
    art = inputs.strokes(200)
    drawn = shapely.union_all([shape.area for shape in art.shapes])
    assert len(art.shapes) == 200 and len({shape.hex for shape in art.shapes}) == 3
    assert sum(shapely.get_num_interior_rings(shapely.get_parts(drawn))) > 100
    assert 0.5 < drawn.area / sum(shape.area.area for shape in art.shapes) < 0.95  # what is crossed is drawn twice


def test_the_curved_design_has_the_segments_named():
    svg = inputs.curved_svg(1000)
    commands = re.findall(rb"[A-Za-z]", b"".join(re.findall(rb' d="([^"]*)"', svg)))
    assert len([command for command in commands if command not in b"MZz"]) == 1000
    assert len(read_artwork(svg, ReadOptions()).shapes) == 20


def test_the_largest_art_is_cut_where_an_edge_ends_a_micrometre_past_a_crossing():
    blobs = np.array([shape.area for shape in inputs.blobs(20_000).shapes], dtype=object)
    around = blobs[shapely.intersects(blobs, shapely.box(243.245, -1.118, 244.245, -0.118))]
    assert len(around) == 6
    areas = [part.area for part in visible_parts(around)]
    plain = [shapely.difference(blob, shapely.union_all(around[i + 1 :])).area for i, blob in enumerate(around)]
    assert areas == pytest.approx(plain, abs=1e-6)


def test_inputs_are_the_same_on_every_run():
    assert inputs.curved_svg(500) == inputs.curved_svg(500)
    assert inputs.blobs(50) == inputs.blobs(50)


def test_turns_are_timed_apart():
    slow_s, quick_s = by_turns(lambda: time.sleep(0.05), lambda: None, 3, time.perf_counter)
    assert slow_s > 0.05 > quick_s


def test_a_shortfall_is_told():
    assert at_most("m", 2.0, 1.0, 3).reached
    assert not at_most("m", 4.0, 1.0, 3).reached
    assert at_least("m", 1.0, 6.0, 5).reached
    assert not at_least("m", 1.0, 4.0, 5).reached
    lines = table([at_most("one", 4.0, 1.0, 3), at_most("two", 0.002, 0.001, 3)]).splitlines()
    assert "4.00 times" in lines[1]
    assert lines[1].endswith("SHORT")
    assert lines[2].endswith("ok")


@pytest.mark.bench
def test_every_ratio_reaches_what_was_asked(capsys):
    from measures import MEASURES  # noqa: PLC0415 # needs what only the timings need

    measures = [line for measure in MEASURES.values() for line in measure()]
    with capsys.disabled():
        print("\n" + table(measures))
    assert [line.name for line in measures if not line.reached] == []
