"""The demo designs: safe plates, drawn as the art, agreed with by a second engine and a general renderer."""

import io
from pathlib import Path

import numpy as np
import pytest
import resvg_py
import shapely
import svgelements
from PIL import Image
from second_engine import offset

from vectorsep.files import read_job_file
from vectorsep.geometry.curves import FLATNESS_MM
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM, grow, inset
from vectorsep.geometry.refit import REFIT_TOLERANCE_MM
from vectorsep.pipeline import separate
from vectorsep.settings import Settings

FOLDER = Path(__file__).parents[2] / "demo_designs"
NAMES = sorted(path.stem for path in FOLDER.glob("*.svg"))
SCREENS = {"owl_boat": 6, "shortest_night": 6, "lantern_moth": 5}


@pytest.fixture(scope="module", params=NAMES)
def demo(request):
    """(name, Separation, files) of a demo design with its job file."""
    settings = Settings(**read_job_file(FOLDER / f"{request.param}.toml"))
    return request.param, *separate((FOLDER / f"{request.param}.svg").read_bytes(), settings, f"{request.param}.svg")


def test_the_demos_are_safe_with_as_few_screens_as_said(demo):
    name, job, _ = demo
    assert job.check.safe, [f.message for f in job.check.findings if f.severity == "unsafe"]
    assert len(job.films) == SCREENS[name]


def test_the_blockers_have_no_line_and_no_gap_that_their_mesh_loses(demo):
    _, job, _ = demo
    blocker, told = job.films[0].plate.ink, ("thin-line", "narrow-gap", "pinhole", "small-island")
    assert not [f.message for f in job.check.findings if f.plate == blocker and f.code in told]


def test_ink_areas_are_what_a_general_renderer_draws(demo):
    # resvg draws the original; our ink areas are drawn as flat polygons; both at 4 px a mm, without anti-aliasing.
    name, job, _ = demo
    original = (FOLDER / f"{name}.svg").read_text()
    ours = _drawing(job.design)
    one, other = _picture(original, 800), _picture(ours, 800)
    rows = min(len(one), len(other))
    assert abs(len(one) - len(other)) <= 1  # the last row of a page that is no whole number of pixels
    one, other = one[:rows], other[:rows]
    differs = (np.abs(one - other) > 60).any(axis=2)
    solid = differs[:-1, :-1] & differs[1:, :-1] & differs[:-1, 1:] & differs[1:, 1:]
    assert solid.mean() < 2e-4


def test_the_picture_comparison_can_fail(demo):
    _, job, _ = demo
    drawing = _drawing(job.design)
    spoiled = drawing.replace(job.design.inks[0].hex, "#00ff7f")
    differs = (np.abs(_picture(drawing, 800) - _picture(spoiled, 800)) > 60).any(axis=2)
    assert differs.mean() > 1e-3


def test_a_second_engine_grows_and_insets_the_silhouette_alike(demo):
    _, job, _ = demo
    silhouette = shapely.union_all([ink.area for ink in job.design.inks])
    for delta in (job.settings.spread_mm, -job.settings.choke_mm):
        ours = grow(silhouette, delta) if delta > 0 else inset(silhouette, -delta)
        tolerance_mm = abs(delta) * 0.01 + 2 * CHORD_TOLERANCE_MM
        assert abs(offset(silhouette, delta).area - ours.area) <= tolerance_mm * ours.length


def test_no_ink_area_is_lost_or_doubled(demo):
    _, job, _ = demo
    areas = [ink.area for ink in job.design.inks]
    assert sum(area.area for area in areas) == pytest.approx(shapely.union_all(areas).area, rel=1e-9)


def _drawing(design):
    paths = "".join(
        f'<path fill="{ink.hex}" fill-rule="evenodd" shape-rendering="crispEdges" d="{_path(ink.area)}"/>'
        for ink in design.inks
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{design.width_mm}mm" height="{design.height_mm}mm" '
        f'viewBox="0 0 {design.width_mm} {design.height_mm}">{paths}</svg>'
    )


def _path(area):
    rings = shapely.get_rings(shapely.get_parts(area))
    return "".join("M" + "L".join(f"{x:.4f},{y:.4f}" for x, y in ring.coords) + "Z" for ring in rings)


def _picture(svg, width):
    png = resvg_py.svg_to_bytes(svg_string=svg, dpi=96, width=width, background="#808080")
    return np.asarray(Image.open(io.BytesIO(bytes(png))).convert("RGB")).astype(int)


def test_films_hold_a_quarter_of_the_polygons_vertices_within_five_micrometres(demo):
    """Counted by svgelements; distances both ways between the films as read back and the plates as made."""
    _, job, _ = demo
    for film, clearance in zip(job.films, job.check.clearances, strict=True):
        steps = [
            step for path in film.paths for step in svgelements.Path(path) if not isinstance(step, svgelements.Close)
        ]
        assert len(steps) <= shapely.get_num_coordinates(film.plate.area) / 4, film.file
        edges = [area.boundary for area in (film.plate.area, clearance.plate.area)]
        for one, other in (edges, edges[::-1]):
            shapely.prepare(other)
            off_mm = shapely.distance(shapely.points(shapely.get_coordinates(one)), other).max()
            assert off_mm <= REFIT_TOLERANCE_MM + FLATNESS_MM, film.file
