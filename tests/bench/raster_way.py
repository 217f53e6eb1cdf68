"""The other way to make plates, for comparison: pixels at film quality, dilated and eroded.

Written as well as its tools allow: rendered without anti-aliasing, one mask an ink, round brushes, the same plates.
"""

from __future__ import annotations

import cv2
import lxml.etree
import numpy as np
import resvg_py

from vectorsep.colour import lab_of
from vectorsep.settings import Settings
from vectorsep.units import MM_PER_INCH

DPI = 1440


def pixels(length_mm: float) -> int:
    """A length in whole pixels."""
    return round(length_mm * DPI / MM_PER_INCH)


def render(svg: bytes, width_mm: float, height_mm: float) -> np.ndarray:
    """The art as an array of (row, column, blue-green-red-alpha), edges hard.

    The size in pixels is written into the art: asked to scale, the renderer first rounds the page to whole pixels.
    """
    art = lxml.etree.fromstring(svg)
    art.set("width", str(pixels(width_mm)))
    art.set("height", str(pixels(height_mm)))
    png = resvg_py.svg_to_bytes(
        svg_string=lxml.etree.tostring(art).decode(), dpi=96, shape_rendering="crisp_edges", skip_system_fonts=True
    )
    return cv2.imdecode(np.frombuffer(bytes(png), np.uint8), cv2.IMREAD_UNCHANGED)


def ink_masks(image: np.ndarray, hexes: list[str]) -> dict[str, np.ndarray]:
    """One mask an ink, 255 where it shows."""
    masks = {}
    for hex_ in hexes:
        red, green, blue = bytes.fromhex(hex_[1:])
        masks[hex_] = cv2.inRange(image, (blue, green, red, 255), (blue, green, red, 255))
    return masks


def brush(radius_mm: float) -> np.ndarray:
    """A round brush."""
    radius = pixels(radius_mm)
    return cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * radius + 1, 2 * radius + 1))


def plates(svg: bytes, size_mm: tuple[float, float], hexes: list[str], settings: Settings) -> list[np.ndarray]:
    """Blocker, white and colours, as masks, for the job's distances.

    Room for the blocker around the page, black merging, gaps, thin lines and every paper are left out: all to the
    advantage of this way.
    """
    masks = ink_masks(render(svg, *size_mm), hexes)
    silhouette = np.bitwise_or.reduce(list(masks.values()))
    blocker = cv2.dilate(silhouette, brush(settings.spread_mm))
    keep_in = cv2.erode(blocker, brush(settings.clearance_mm))
    white = cv2.erode(silhouette, brush(settings.choke_mm)) & keep_in
    by_lightness = sorted(hexes, key=lambda hex_: lab_of(hex_)[0])
    colours, darker = [], np.zeros_like(silhouette)
    for hex_ in by_lightness:
        trapped = masks[hex_] | (cv2.dilate(masks[hex_], brush(settings.trap_mm)) & darker)
        colours.append(trapped & keep_in)
        darker |= masks[hex_]
    return [blocker, white, *colours]


def edge_error_mm(mask: np.ndarray, centre_mm: float, radius_mm: float) -> float:
    """How far the mask's edge lies from the true circle, at worst: by the middle of each pixel side on the edge."""
    down_y, down_x = np.nonzero(mask[1:] != mask[:-1])
    across_y, across_x = np.nonzero(mask[:, 1:] != mask[:, :-1])
    x = np.concatenate([down_x + 0.5, across_x + 1.0])
    y = np.concatenate([down_y + 1.0, across_y + 0.5])
    size_mm = MM_PER_INCH / DPI
    return float(np.abs(np.hypot(x * size_mm - centre_mm, y * size_mm - centre_mm) - radius_mm).max())
