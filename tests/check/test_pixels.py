"""Every clearance, choke and gap of the demo designs once more in pixels, at 2,400 dpi around the tightest places.

The oracle is a raster: plates filled row by row with the even-odd rule (numpy) and measured by an exact Euclidean
distance transform (scipy.ndimage). It errs by about a pixel, 0.0106 mm.
"""

from functools import cache
from pathlib import Path

import numpy as np
import pytest
import shapely
from handmade import polygons_of, rings_of
from scipy.ndimage import distance_transform_edt
from shapely import affinity

from vectorsep.artwork import read_artwork
from vectorsep.check import measure_stack
from vectorsep.inks import separate_inks
from vectorsep.job import read_job
from vectorsep.plates import make_stack
from vectorsep.settings import Settings

DEMOS = Path(__file__).parents[2] / "demo_designs"
PIXEL = 25.4 / 2400
ERROR = 1.5 * PIXEL
ROOM = 1.0
"""What a window shows beyond the distance to be measured in it, in mm."""


@cache
def checked(name):
    settings = Settings(**read_job((DEMOS / f"{name}.toml").read_text()))
    art = read_artwork((DEMOS / f"{name}.svg").read_bytes(), settings.art)
    plates = make_stack(separate_inks(art, settings), settings).plates
    return plates, settings, measure_stack(plates, settings)


class Window:
    """A square of pixels around a place; a region becomes the truth of each pixel's middle."""

    def __init__(self, at_mm, half_mm):
        count = int(np.ceil(2 * half_mm / PIXEL))
        self.x = at_mm[0] - half_mm + PIXEL * (np.arange(count) + 0.5)
        self.y = at_mm[1] - half_mm + PIXEL * (np.arange(count) + 0.5)
        self.frame = shapely.box(self.x[0], self.y[0], self.x[-1], self.y[-1])

    def filled(self, area):
        edges = np.concatenate([np.hstack([ring[:-1], ring[1:]]) for ring in rings_of(area)])
        low, high = np.minimum(edges[:, 1], edges[:, 3]), np.maximum(edges[:, 1], edges[:, 3])
        edges = edges[(high > self.y[0]) & (low <= self.y[-1])]
        rows = np.zeros((len(self.y), len(self.x)), dtype=bool)
        for row, y in zip(rows, self.y, strict=True):
            x0, y0, x1, y1 = edges[(edges[:, 1] > y) != (edges[:, 3] > y)].T
            crossed = np.sort(x0 + (y - y0) * (x1 - x0) / (y1 - y0))
            row[:] = np.searchsorted(crossed, self.x) % 2 == 1
        return rows


def demos(*names):
    """All demo designs; the slower ones only with the benchmarks: their plates alone take a quarter of a minute."""
    return [name if name == "shortest_night" else pytest.param(name, marks=pytest.mark.bench) for name in names]


ALL = demos("shortest_night", "owl_boat", "lantern_moth")


@pytest.mark.parametrize("name", ALL)
def test_every_clearance_in_pixels(name):
    plates, settings, check = checked(name)
    assert check.safe
    for clearance in check.clearances[1:]:
        window = Window(clearance.at_mm, clearance.distance_mm + ROOM)
        to_cloth = distance_transform_edt(window.filled(plates[0].area)) * PIXEL
        nearest = to_cloth[window.filled(clearance.plate.area)].min()
        assert nearest == pytest.approx(clearance.distance_mm, abs=ERROR), clearance.plate.ink
        assert nearest > settings.registration_mm - ERROR


@pytest.mark.parametrize("name", ALL)
def test_no_ink_is_nearer_anywhere_else(name):
    """Windows at places along each plate's edge, evenly spread: none shows less than the clearance measured."""
    plates, _, check = checked(name)
    for clearance in check.clearances[1:]:
        outline = clearance.plate.area.boundary
        for share in np.linspace(0, 1, 12, endpoint=False):
            place = outline.interpolate(share, normalized=True) if outline.geom_type == "LineString" else None
            place = place or max(outline.geoms, key=shapely.length).interpolate(share, normalized=True)
            window = Window((place.x, place.y), 1.0)
            blocker, plate = window.filled(plates[0].area), window.filled(clearance.plate.area)
            assert plate.any() and not (plate & ~blocker).any()
            if not blocker.all():
                nearest = distance_transform_edt(blocker)[plate].min() * PIXEL
                assert nearest > min(clearance.distance_mm, 1.0) - ERROR, (clearance.plate.ink, place)


@pytest.mark.parametrize("name", ALL)
def test_every_white_and_gap_case_in_pixels(name):
    """The worst case of each kind: what it spoils in a window around its place, counted in pixels."""
    plates, _, check = checked(name)
    colours = [plate.area for plate in plates if plate.role == "colour"]
    for case in check.register:
        if case.at_mm is None:
            continue
        window = Window(case.at_mm, 1.5)
        moved = affinity.rotate(case.plate.area, case.turn_deg, origin=case.about_mm)
        moved = window.filled(affinity.translate(moved, *case.shift_mm))
        at_home, covered = window.filled(case.plate.area), np.any([window.filled(area) for area in colours], axis=0)
        exact = case.spoilt.intersection(window.frame)
        if case.kind == "white-shows":
            hidden = polygons_of(case.plate.area.intersection(shapely.union_all(colours)))
            hidden = affinity.rotate(hidden, case.turn_deg, origin=case.about_mm)
            spoilt = window.filled(affinity.translate(hidden, *case.shift_mm)) & ~covered & ~at_home
        else:
            others = np.any([window.filled(area) for area in colours if area is not case.plate.area], axis=0)
            beyond = shapely.union_all([area for area in colours if area is not case.plate.area])
            beyond = affinity.rotate(
                polygons_of(beyond.difference(case.plate.area)), case.turn_deg, origin=case.about_mm
            )
            arrived = window.filled(affinity.translate(beyond, *case.shift_mm))
            spoilt = at_home & ~others & ~moved & arrived
        assert spoilt.sum() * PIXEL**2 == pytest.approx(exact.area, abs=exact.length * PIXEL / 4 + 1e-3), case.kind


@pytest.mark.parametrize("name", ALL)
def test_white_keeps_its_choke_where_colour_is_wide(name):
    """Where the check finds no white showing at the whole tolerance, no hidden white is nearer to a colour's edge."""
    plates, settings, check = checked(name)
    white = next(plate.area for plate in plates if plate.role == "white")
    # Holes of a few micrometres, where snapped borders do not quite meet, are closed: no pixel shows them.
    covered = shapely.union_all([plate.area for plate in plates if plate.role in ("colour", "white")])
    covered = covered.buffer(PIXEL / 2).buffer(-PIXEL / 2)
    colours = shapely.union_all([plate.area for plate in plates if plate.role == "colour"])
    # A pixel less all round, which leaves out the slivers along borders with white art.
    hidden = polygons_of(white.intersection(colours).buffer(-PIXEL))
    line = shapely.shortest_line(hidden.boundary, covered.boundary)
    least = line.length
    window = Window(line.coords[0], least + ROOM)
    nearest = distance_transform_edt(window.filled(covered))[window.filled(hidden)].min() * PIXEL
    assert nearest == pytest.approx(least, abs=ERROR)
    (shows,) = [case.area_mm2 > 0 for case in check.register if case.kind == "white-shows"]
    assert shows or nearest > settings.registration_mm - ERROR


def test_the_raster_can_tell():
    window = Window((0, 0), 3)
    square = window.filled(shapely.box(-1, -1, 1, 1))
    assert square.sum() * PIXEL**2 == pytest.approx(4, abs=8 * PIXEL)
    to_edge = distance_transform_edt(window.filled(shapely.box(-2, -2, 2, 1.2)))[square].min() * PIXEL
    assert to_edge == pytest.approx(0.2, abs=ERROR) and to_edge != pytest.approx(0.25, abs=ERROR)
