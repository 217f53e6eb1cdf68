"""Tiles against what must hold of any tiling, and against an engine that fails or loses something."""

import numpy as np
import pytest
import shapely
from shapely import Point, Polygon, affinity, box

from vectorsep.errors import ArtworkError
from vectorsep.geometry import tiles
from vectorsep.geometry.tiles import Untiled, _inner_points, tiles_of
from vectorsep.geometry.visible import visible_of_kinds, visible_parts
from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.settings import Settings


def discs(count=40, seed=3):
    rng = np.random.default_rng(seed)
    return np.array([Point(*rng.uniform(0, 100, 2)).buffer(rng.uniform(2, 20)) for _ in range(count)], dtype=object)


def plain_parts(regions):
    return [shapely.difference(region, shapely.union_all(regions[i + 1 :])) for i, region in enumerate(regions)]


def test_tiles_fill_the_frame_and_share_exact_edges():
    tiles = tiles_of(discs())
    left, top, right, bottom = shapely.total_bounds(tiles.polygons)
    assert shapely.area(tiles.polygons).sum() == pytest.approx((right - left) * (bottom - top), abs=1e-9)
    assert shapely.coverage_is_valid(tiles.polygons)
    outline = shapely.length(tiles.polygons).sum() - 2 * (right - left + bottom - top)
    assert tiles.borders.length_mm.sum() == pytest.approx(outline / 2, rel=1e-12)


@pytest.mark.parametrize("turn", [0, 17, 90])
def test_no_better_point_is_looked_for_in_a_gap_of_a_ten_thousandth(monkeypatch, turn):
    asked, widest = [], shapely.maximum_inscribed_circle
    monkeypatch.setattr(shapely, "maximum_inscribed_circle", lambda tight: asked.extend(tight) or widest(tight))
    gaps = np.array([affinity.rotate(box(x, 0, x + 1.3, 1e-4), turn, origin=(0, 0)) for x in range(100)])
    points = shapely.points(_inner_points(gaps))
    assert shapely.distance(points, shapely.boundary(gaps)) == pytest.approx(0.5e-4, abs=1e-9)
    assert not asked
    tapered = affinity.rotate(Polygon([(0, 0), (1, 0), (1, 2e-6), (0.3, 1e-4), (0, 2e-6)]), 17, origin=(0, 0))
    edge, plain = shapely.boundary(tapered), shapely.point_on_surface(tapered)
    monkeypatch.setattr(tiles, "TIGHT_MM", shapely.distance(plain, edge) + 1e-6)
    (better,) = shapely.points(_inner_points(np.array([tapered])))
    assert asked == [tapered] and shapely.distance(better, edge) > shapely.distance(plain, edge)


def test_visible_parts_equal_the_plain_way():
    regions = discs()
    for part, plain in zip(visible_parts(regions), plain_parts(regions), strict=True):
        assert shapely.symmetric_difference(part, plain).area < 1e-9


def engine(monkeypatch, noding):
    """Replace the engine's noding; `noding` gets the lines, the grid and the engine's own union."""
    own = shapely.union_all

    def union_all(lines, grid_size=None):
        is_noding = len(lines) and isinstance(lines[-1], shapely.LinearRing)
        return noding(lines, grid_size, own) if is_noding else own(lines, grid_size=grid_size)

    monkeypatch.setattr("vectorsep.geometry.tiles.shapely.union_all", union_all)


def failing(lines, grid_size, own):
    if grid_size is None:
        raise shapely.GEOSException("side location conflict")
    return own(lines, grid_size=grid_size)


def losing_a_line(lines, grid_size, own):
    return own(lines[1:] if grid_size is None else lines, grid_size=grid_size)


def cutting_nothing(lines, grid_size, own):
    return shapely.MultiLineString(list(lines)) if grid_size is None else own(lines, grid_size=grid_size)


@pytest.mark.parametrize("noding", [failing, losing_a_line, cutting_nothing])
def test_an_engine_that_fails_once_is_rescued_on_a_grid(monkeypatch, noding):
    regions = discs()
    plain = plain_parts(regions)
    engine(monkeypatch, noding)
    for part, whole, region in zip(visible_parts(regions), plain, regions, strict=True):
        assert shapely.symmetric_difference(part, whole).area < 1e-6 * region.length
    with pytest.raises(Untiled):
        tiles_of(regions, rescue=False)


def test_an_engine_that_drops_a_tile_is_found_out(monkeypatch):
    own = shapely.polygonize_full

    def dropping(lines):
        faces, *unused = own(lines)
        return shapely.GeometryCollection(list(faces.geoms)[1:]), *unused

    monkeypatch.setattr("vectorsep.geometry.tiles.shapely.polygonize_full", dropping)
    with pytest.raises(Untiled):
        tiles_of(discs())


def test_an_edge_that_falls_short_of_its_crossing_is_found_out(monkeypatch):
    # All corners of the middle block are corners of its neighbours too.
    left, middle, *upper = box(-5, 0, 0, 10), box(0, 0, 10, 10), box(5, -5, 15, 3), box(5, 7, 15, 15)

    def falling_short(lines, grid_size, own):
        noded = own(lines, grid_size=grid_size)
        if grid_size is not None:
            return noded
        others = [line for line in noded.geoms if not line.covers(shapely.Point(10, 5))]
        return shapely.MultiLineString([*others, [(10, 3), (10, 7 - 1e-9)]])

    engine(monkeypatch, falling_short)
    assert [part.area for part in visible_parts([left, middle, *upper])] == [50, 100 - 2 * 15, 80, 80]


def test_an_engine_that_always_fails_is_told_of(monkeypatch):
    def always(lines, grid_size, own):
        return losing_a_line(lines, None, own)

    engine(monkeypatch, always)
    with pytest.raises(Untiled, match="gives up on painter's order"):
        tiles_of(discs())


def test_edges_that_get_in_each_others_way_on_one_grid_are_cut_on_the_next(monkeypatch):
    def failing_twice(lines, grid_size, own):
        if grid_size is None or grid_size < 1e-6:
            raise shapely.GEOSException("side location conflict")
        return own(lines, grid_size=grid_size)

    regions = discs()
    plain = plain_parts(regions)
    engine(monkeypatch, failing_twice)
    for part, whole, region in zip(visible_parts(regions), plain, regions, strict=True):
        assert shapely.symmetric_difference(part, whole).area < 1e-6 * region.length


def test_joining_survives_an_engine_that_drops_tiles(monkeypatch):
    regions = discs()
    kinds = [i % 3 for i in range(len(regions))]
    plain = visible_of_kinds(regions, kinds, 3)

    def dropping(tiles, axis):
        return shapely.points(np.zeros((len(tiles), 2)))

    monkeypatch.setattr("vectorsep.geometry.tiles.shapely.coverage_union_all", dropping)
    for area, whole in zip(visible_of_kinds(regions, kinds, 3), plain, strict=True):
        assert shapely.symmetric_difference(area, whole).area < 1e-9


def test_a_spike_of_no_width_is_no_loss():
    spike = [(10, 5), (20, 5), (10, 5 + 1e-15)]
    spiked = shapely.Polygon([(0, 0), (10, 0), *spike, (10, 10), (0, 10)])
    [part] = visible_parts([spiked])
    assert part.area == pytest.approx(100, abs=1e-9)


@pytest.mark.parametrize(("width", "inks"), [(1e-15, 2), (5e-5, 2), (5e-4, 3)])
def test_a_sliver_of_what_lies_below_is_art_only_from_some_width_on(width, inks):
    below, left, right = box(0, 0, 20, 10), box(0, 0, 10, 10), box(10 + width, 0, 20, 10)
    areas = visible_of_kinds([below, left, right], [0, 1, 2], 3)
    assert sum(not area.is_empty for area in areas) == inks
    assert sum(area.area for area in areas) == pytest.approx(200, abs=1e-9)


def test_dust_on_bare_cloth_goes():
    hair, dot = box(0, 0, 10, 1e-4), box(0, 5, 1e-3, 5.001)
    assert [round(area.area, 9) for area in visible_of_kinds([hair, dot], [0, 1], 2)] == [0, 1e-6]


def test_enclosed_cloth_narrower_than_a_hairline_is_filled():
    frame = box(0, 0, 30, 10).difference(box(9.99, 2, 20, 8))
    for width, pieces in ((0.012, 1), (0.05, 2)):
        areas = visible_of_kinds([frame, box(9.99 + width, 2, 20, 8)], [0, 1], 2)
        silhouette = shapely.union_all(areas)
        assert silhouette.area == pytest.approx(300 - (pieces - 1) * width * 6, abs=1e-9)


def test_corners_apart_by_noise_alone_do_not_join_tiles_across_a_corner():
    squares = [box(0, 0, 1.9, 1.9), box(1.9 - 4e-16, 1.9 - 4e-16, 4, 4), box(1.9, 0, 4, 1.9), box(0, 1.9, 1.9, 4)]
    areas = visible_of_kinds(squares, [0, 0, 1, 1], 2)
    assert [len(shapely.get_parts(area)) for area in areas] == [2, 2]
    assert all(area.is_valid for area in areas)


def turned_blocks(rng):
    """Blocks on a common grid, turned and shifted to and fro, so that shared edges differ by noise."""
    blocks = []
    for _ in range(int(rng.integers(10, 30))):
        x, y, wide, high = 10 * rng.integers((0, 0, 1, 1), (7, 7, 4, 4))
        block = shapely.affinity.rotate(box(x, y, x + wide, y + high), 37, origin=(3.3, 7.7))
        blocks.append(shapely.affinity.translate(shapely.affinity.translate(block, 1 / 3, 1 / 7), -1 / 3, -1 / 7))
    return blocks


def slipped_blocks(rng):
    """Blocks whose edges miss each other by anything from noise to a few micrometres."""
    slips = (0, 1e-12, 1e-7, 1e-4, 0.003, -0.002)
    blocks = []
    for _ in range(int(rng.integers(10, 30))):
        x, y, wide, high = 10 * rng.integers((0, 0, 1, 1), (7, 7, 4, 4))
        blocks.append(box(x + rng.choice(slips), y + rng.choice(slips), x + wide, y + high))
    return blocks


@pytest.mark.parametrize("kind", [turned_blocks, slipped_blocks])
def test_edges_that_almost_coincide_lose_no_art(kind):
    # Oracle: the last block that holds a sample point, away from all edges.
    for seed in range(150):
        rng = np.random.default_rng(seed)
        blocks = np.array(kind(rng), dtype=object)
        sample = rng.uniform(-50, 110, (400, 2))
        edges = shapely.multilinestrings([block.exterior for block in blocks])
        sample = sample[shapely.distance(shapely.points(sample), edges) > 0.02]
        on_top = np.full(len(sample), -1)
        for i, block in enumerate(blocks):
            on_top[shapely.contains_xy(block, *sample.T)] = i
        shown = np.full(len(sample), -1)
        for i, part in enumerate(visible_of_kinds(blocks, range(len(blocks)), len(blocks))):
            shown[shapely.contains_xy(part, *sample.T)] = i
        assert (shown == on_top).all(), seed


def test_a_failing_engine_is_told_as_art_to_be_mended(monkeypatch):
    def always(lines, grid_size, own):
        raise shapely.GEOSException("side location conflict")

    engine(monkeypatch, always)
    painted = tuple(PaintedShape(disc, "#c81e28", Place("path")) for disc in discs())
    with pytest.raises(ArtworkError, match="gives up on painter's order: unite shapes"):
        separate_inks(Artwork(100.0, 100.0, painted), Settings())
