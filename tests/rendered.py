"""Rendering what the reader found, and counting the pixels where it differs from a reference picture."""

from __future__ import annotations

import io
import re

import numpy as np
import resvg_py
import shapely
from PIL import Image

from vectorsep.model import Artwork

WIDTH_PX = 300
STRAYING = 60
"""Channel difference, of 255, from which a pixel counts as different."""
PASS_SHARE = 0.002
"""Share of differing pixels below which a picture counts as reproduced."""


def painted_svg(artwork: Artwork, width_px: int = WIDTH_PX, height_px: int | None = None) -> str:
    """The painted shapes as plain paths, one user unit a millimetre, on a picture of whole pixels."""
    paths = "".join(
        f'<path fill="{shape.hex}" fill-opacity="{shape.opacity}" fill-rule="evenodd" d="{_path(shape.area)}"/>'
        for shape in artwork.shapes
    )
    height_px = height_px or round(width_px * artwork.height_mm / artwork.width_mm)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_px}" height="{height_px}" '
        f'preserveAspectRatio="none" viewBox="0 0 {artwork.width_mm!r} {artwork.height_mm!r}">'
        f"{paths}</svg>"
    )


def _path(area: shapely.Geometry) -> str:
    rings = shapely.get_rings(shapely.get_parts(area))
    return "".join("M" + "L".join(f"{x:.5f},{y:.5f}" for x, y in shapely.get_coordinates(ring)) + "Z" for ring in rings)


def in_pixels(data: bytes) -> str:
    """The drawing with its page in pixels as long as its millimetres: the renderer rounds pages to whole pixels."""
    return re.sub(r'(width|height)="(\d+)mm"', r'\1="\2"', data.decode(), count=2)


def rendered(svg: str, width_px: int = WIDTH_PX, **options: object) -> np.ndarray:
    """An RGB picture over white."""
    return over_white(bytes(resvg_py.svg_to_bytes(svg_string=svg, width=width_px, dpi=96, **options)))


def over_white(png: bytes) -> np.ndarray:
    """An RGB picture over white from a PNG."""
    picture = Image.open(io.BytesIO(png)).convert("RGBA")
    ground = Image.new("RGBA", picture.size, "white")
    return np.asarray(Image.alpha_composite(ground, picture).convert("RGB")).astype(int)


def difference_share(one: np.ndarray, other: np.ndarray) -> float:
    """The share of pixels in 2 x 2 blocks whose four pixels all differ; 1 where the sizes do."""
    if one.shape != other.shape:
        return 1.0
    differs = (np.abs(one - other) > STRAYING).any(axis=2)
    blocks = differs[:-1, :-1] & differs[1:, :-1] & differs[:-1, 1:] & differs[1:, 1:]
    spread = np.zeros_like(differs)
    for dy in (0, 1):
        for dx in (0, 1):
            spread[dy : spread.shape[0] - 1 + dy, dx : spread.shape[1] - 1 + dx] |= blocks
    return float(spread.mean())


def artwork_difference(artwork: Artwork, reference_png: bytes) -> float:
    """How far the reader's result is from the reference picture."""
    reference = over_white(reference_png)
    height_px, width_px = reference.shape[:2]
    return difference_share(rendered(painted_svg(artwork, width_px, height_px), width_px), reference)
