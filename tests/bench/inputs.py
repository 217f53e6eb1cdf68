"""Generated art for the timings: as dense, as many-coloured and as curved as named, and the same on every run."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import Polygon

from vectorsep.model import Artwork, PaintedShape, Place

PAGE_MM = 300.0
HEXES = ("#c81e28", "#f2c230", "#1e3cc8", "#20a040", "#ffffff", "#141418", "#e87820", "#7a3c96")
POINTS = 64
DEPTH = 10.0
STROKE_MM, STROKE_PITCH_MM = 24.0, 6.0
"""How long drawn lines are, and the side of the page for each of them."""


def _ripples(rng: np.random.Generator, angle: np.ndarray) -> np.ndarray:
    """A smooth closed outline's radius, about 1."""
    waves = [rng.uniform(-0.1, 0.1) * np.sin(k * angle + rng.uniform(0, 2 * np.pi)) for k in (2, 3, 4)]
    return 1 + np.sum(waves, axis=0)


def _outline(rng: np.random.Generator, radius_mm: float, points: int) -> np.ndarray:
    angle = np.linspace(0, 2 * np.pi, points, endpoint=False)
    radius = radius_mm * _ripples(rng, angle)
    centre = rng.uniform(0, PAGE_MM, 2)
    return centre + radius[:, None] * np.column_stack([np.cos(angle), np.sin(angle)])


def _typical_radius(count: int, depth: float) -> float:
    """The radius (mm) at which so many round shapes lie so deep on the page, sizes spread by half either way."""
    mean_square = 1 + 0.5**2 / 3
    return PAGE_MM * float(np.sqrt(depth / (count * np.pi * mean_square)))


def blobs(count: int, depth: float = DEPTH) -> Artwork:
    """Smooth blobs of 64 points in 8 inks on one page, each place under about ten of them. Fewer are larger."""
    rng = np.random.default_rng(count)
    radius_mm = _typical_radius(count, depth)
    shapes = [Polygon(_outline(rng, radius_mm * rng.uniform(0.5, 1.5), POINTS)) for _ in range(count)]
    return _painted(shapes)


def glyphs(count: int = 2000) -> Artwork:
    """Outlined shapes such as letters: a dark outline all round, a light face on it, a hole or two through both."""
    rng = np.random.default_rng(count)
    columns = int(np.ceil(np.sqrt(count)))
    pitch_mm = PAGE_MM / columns
    painted = []
    for i in range(count):
        corner = np.array([i % columns, i // columns]) * pitch_mm
        face = _glyph(rng, corner, pitch_mm)
        outlined = shapely.buffer(face, pitch_mm * 0.04, join_style="mitre")
        painted.append(PaintedShape(outlined, HEXES[5], Place("path")))
        painted.append(PaintedShape(face, HEXES[i % 5], Place("path")))
    return Artwork(PAGE_MM, PAGE_MM, tuple(painted))


def strokes(count: int) -> Artwork:
    """Drawn lines in 3 inks that cross each other, 24 mm long and 0.4 to 2 mm wide, as in hatching or a scribble: one
    piece with thousands of holes. More take a larger page."""
    rng = np.random.default_rng(count)
    side_mm = STROKE_PITCH_MM * float(np.sqrt(count))
    along = np.linspace(0, 1, POINTS)
    painted = []
    for i in range(count):
        way, bend = rng.uniform(0, 2 * np.pi), rng.uniform(-3, 3, 2)
        across = bend[0] * np.sin(np.pi * along) + bend[1] * np.sin(2 * np.pi * along)
        line = np.column_stack([STROKE_MM * along, across]) @ [[np.cos(way), np.sin(way)], [-np.sin(way), np.cos(way)]]
        path = shapely.LineString(line + rng.uniform(0, side_mm, 2))
        painted.append(PaintedShape(path.buffer(rng.uniform(0.2, 1.0)), HEXES[i % 3], Place("path")))
    return Artwork(side_mm, side_mm, tuple(painted))


def _glyph(rng: np.random.Generator, corner: np.ndarray, pitch_mm: float) -> Polygon:
    """A bowl or a frame with one hole or two, well inside its cell."""
    left, top = corner + 0.15 * pitch_mm
    wide, high = rng.uniform(0.55, 0.7, 2) * pitch_mm
    body = shapely.box(left, top, left + wide, top + high)
    if rng.random() < 0.5:
        body = shapely.buffer(shapely.buffer(body, -0.25 * pitch_mm), 0.25 * pitch_mm, quad_segs=16)
    holes = 1 + int(rng.random() < 0.4)
    gap = 0.1 * pitch_mm
    hole_high = (high - gap * (holes + 1)) / holes
    for k in range(holes):
        hole_top = top + gap + k * (hole_high + gap)
        hole = shapely.box(left + gap, hole_top, left + wide - gap, hole_top + hole_high)
        body = shapely.difference(body, hole)
    return body


def _painted(polygons: list[Polygon]) -> Artwork:
    shapes = [PaintedShape(polygon, HEXES[i % len(HEXES)], Place("path")) for i, polygon in enumerate(polygons)]
    return Artwork(PAGE_MM, PAGE_MM, tuple(shapes))


def curved_svg(segments: int, per_path: int = 50, depth: float = 3.0, seed: int = 1) -> bytes:
    """An SVG of about so many path segments, written as drawing programs do: cubics, some quadratics and lines,
    relative and absolute, in 8 inks, about three deep."""
    rng = np.random.default_rng(seed)
    count = max(1, segments // per_path)
    radius_mm = _typical_radius(count, depth)
    paths = [
        f'<path fill="{HEXES[i % len(HEXES)]}" d="{_path_data(rng, radius_mm * rng.uniform(0.5, 1.5), per_path)}"/>'
        for i in range(count)
    ]
    size = f'width="{PAGE_MM:g}mm" height="{PAGE_MM:g}mm" viewBox="0 0 {PAGE_MM:g} {PAGE_MM:g}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>\n{chr(10).join(paths)}\n</svg>\n'.encode()


def _path_data(rng: np.random.Generator, radius_mm: float, segments: int) -> str:
    """A closed smooth outline; the closing line is not counted as a segment."""
    points = _outline(rng, radius_mm, 3 * segments)
    knots, first, second = points[::3], points[1::3], points[2::3]
    parts = [f"M{_numbers(knots[0])}"]
    for i in range(segments):
        start, end = knots[i], knots[(i + 1) % segments]
        match i % 5:
            case 0 | 3:
                parts.append(f"C{_numbers(first[i], second[i], end)}")
            case 1:
                parts.append(f"c{_numbers(first[i] - start, second[i] - start, end - start)}")
            case 2:
                parts.append(f"Q{_numbers((first[i] + second[i]) / 2, end)}")
            case 4:
                parts.append(f"L{_numbers(end)}")
    return "".join(parts) + "z"


def _numbers(*points: np.ndarray) -> str:
    return " ".join(f"{x:.3f},{y:.3f}" for x, y in points)


def disc_svg(radius_mm: float, page_mm: float) -> bytes:
    """One disc in the middle of a page: its plates' edges are known exactly."""
    middle = page_mm / 2
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{page_mm:g}mm" height="{page_mm:g}mm" '
        f'viewBox="0 0 {page_mm:g} {page_mm:g}"><circle cx="{middle:g}" cy="{middle:g}" r="{radius_mm:g}" '
        f'fill="{HEXES[0]}"/></svg>'
    ).encode()
