"""Colour arithmetic: sRGB to CIELAB and to Oklab, and the CIEDE2000 difference.

Sources: IEC 61966-2-1 (sRGB; matrix as in CSS Color 4), CIE 15 (CIELAB, white D65: x 0.3127, y 0.3290), CSS Color 4
section 9 (Oklab and Oklch), and Sharma, Wu, Dalal, "The CIEDE2000 color-difference formula", Color Research and
Application 30 (2005) 21-30.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cache
from typing import NamedTuple

JUST_SEEN = 2.0
"""About the least CIEDE2000 difference that two patches side by side show to most people (from memory; no single figure
is agreed in print)."""
GARMENT_DIFFERENCE = JUST_SEEN
"""Art within this difference of the cloth counts as cloth."""

WHITE_LIGHTNESS = 95.0
"""A colour at least this light (CIELAB L*; this and the next from memory of mixed inks, no source) ..."""
WHITE_CHROMA = 6.0
"""... and no more coloured than this is plain white: nobody mixes an ink of its own for it, unless the job lists it."""

LEAST_CONTRAST = 3.0
"""Against what lies beside it, of what must be made out (WCAG 2.2, success criterion 1.4.11)."""


class Lab(NamedTuple):
    """A colour in CIELAB: lightness 0 to 100, then the green-red and blue-yellow axes."""

    lightness: float
    a: float
    b: float

    @property
    def chroma(self) -> float:
        """Distance from grey."""
        return math.hypot(self.a, self.b)


def is_plain_white(hex_colour: str) -> bool:
    """Whether an sRGB colour written `#rrggbb` is white to a printer: what is goes by that name and prints with it."""
    lab = lab_of(hex_colour)
    return lab.lightness >= WHITE_LIGHTNESS and lab.chroma <= WHITE_CHROMA


@cache
def lab_of(hex_colour: str) -> Lab:
    """CIELAB (D65) of an sRGB colour written `#rrggbb`."""
    red, green, blue = _linear_rgb(hex_colour)
    x = 0.41239080 * red + 0.35758434 * green + 0.18048079 * blue
    y = 0.21263901 * red + 0.71516868 * green + 0.07219232 * blue
    z = 0.01933082 * red + 0.11919478 * green + 0.95053215 * blue
    fx, fy, fz = _cube_root(x / 0.95045593), _cube_root(y), _cube_root(z / 1.08905775)
    return Lab(116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz))


def readable_on_white(hex_colour: str) -> str:
    """The colour itself, or as much of its light as leaves it LEAST_CONTRAST against white (WCAG 2.2: luminances, each
    with 0.05 added)."""
    linear = _linear_rgb(hex_colour)
    red, green, blue = linear
    luminance = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    most = 1.05 / LEAST_CONTRAST - 0.05
    if luminance <= most:
        return hex_colour
    darker = (math.floor(255 * _encoded(channel * most / luminance)) for channel in linear)
    return "#" + "".join(f"{channel:02x}" for channel in darker)


class Oklch(NamedTuple):
    """A colour in Oklab by polar coordinates: lightness 0 to 1, chroma, and hue in degrees. Unlike in CIELAB, a tint or
    shade of a blue has the blue's hue."""

    lightness: float
    chroma: float
    hue_deg: float


@cache
def oklch_of(hex_colour: str) -> Oklch:
    """Oklch of an sRGB colour written `#rrggbb`."""
    red, green, blue = _linear_rgb(hex_colour)
    long = math.cbrt(0.4122214708 * red + 0.5363325363 * green + 0.0514459929 * blue)
    medium = math.cbrt(0.2119034982 * red + 0.6806995451 * green + 0.1073969566 * blue)
    short = math.cbrt(0.0883024619 * red + 0.2817188376 * green + 0.6299787005 * blue)
    lightness = 0.2104542553 * long + 0.7936177850 * medium - 0.0040720468 * short
    a = 1.9779984951 * long - 2.4285922050 * medium + 0.4505937099 * short
    b = 0.0259040371 * long + 0.7827717662 * medium - 0.8086757660 * short
    return Oklch(lightness, math.hypot(a, b), math.degrees(math.atan2(b, a)) % 360)


def _linear_rgb(hex_colour: str) -> tuple[float, float, float]:
    red, green, blue = (_linear(int(hex_colour[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return red, green, blue


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4


def _encoded(linear: float) -> float:
    return 12.92 * linear if linear <= 0.0031308 else 1.055 * linear ** (1 / 2.4) - 0.055


def _cube_root(ratio: float) -> float:
    delta = 6 / 29
    return math.cbrt(ratio) if ratio > delta**3 else ratio / (3 * delta**2) + 4 / 29


def ciede2000(one: Lab, other: Lab) -> float:
    """The CIEDE2000 colour difference with unit weights, by the 2005 paper's equations 2 to 22."""
    mean_chroma = (one.chroma + other.chroma) / 2
    stretch = 0.5 * (1 - math.sqrt(mean_chroma**7 / (mean_chroma**7 + 25**7)))
    a1, a2 = one.a * (1 + stretch), other.a * (1 + stretch)
    chroma1, chroma2 = math.hypot(a1, one.b), math.hypot(a2, other.b)
    hue1, hue2 = _hue(a1, one.b), _hue(a2, other.b)
    d_light, d_chroma = other.lightness - one.lightness, chroma2 - chroma1
    turn = 0.0 if chroma1 * chroma2 == 0 else (hue2 - hue1 + 180) % 360 - 180
    d_hue = 2 * math.sqrt(chroma1 * chroma2) * math.sin(math.radians(turn / 2))
    light, chroma = (one.lightness + other.lightness) / 2, (chroma1 + chroma2) / 2
    hue = _mean_hue(hue1, hue2, chroma1 * chroma2)
    s_light = 1 + 0.015 * (light - 50) ** 2 / math.sqrt(20 + (light - 50) ** 2)
    s_chroma, s_hue = 1 + 0.045 * chroma, 1 + 0.015 * chroma * _hue_weight(hue)
    rotation = -math.sin(math.radians(60 * math.exp(-(((hue - 275) / 25) ** 2)))) * 2
    rotation *= math.sqrt(chroma**7 / (chroma**7 + 25**7))
    dl, dc, dh = d_light / s_light, d_chroma / s_chroma, d_hue / s_hue
    return math.sqrt(max(0.0, dl**2 + dc**2 + dh**2 + rotation * dc * dh))


def _hue(a: float, b: float) -> float:
    return math.degrees(math.atan2(b, a)) % 360 if (a, b) != (0, 0) else 0.0


def _mean_hue(hue1: float, hue2: float, chroma_product: float) -> float:
    total = hue1 + hue2
    if chroma_product == 0:
        return total
    if abs(hue1 - hue2) <= 180:
        return total / 2
    return (total + 360) / 2 if total < 360 else (total - 360) / 2


def _hue_weight(hue: float) -> float:
    terms = ((-0.17, 1, -30), (0.24, 2, 0), (0.32, 3, 6), (-0.20, 4, -63))
    return 1 + sum(weight * math.cos(math.radians(times * hue + shift)) for weight, times, shift in terms)


def difference_of(one_hex: str, other_hex: str) -> float:
    """CIEDE2000 difference of two sRGB colours written `#rrggbb`."""
    return ciede2000(lab_of(one_hex), lab_of(other_hex))


def hosts_of_alike(areas_mm2: Mapping[str, float], listed: Sequence[str], largest: float) -> dict[str, str]:
    """What each colour becomes where those no farther apart than a CIEDE2000 difference become one, in the order in
    which that is decided.

    A listed colour takes in what looks like it, itself painted or not, and stays; otherwise the larger area does.
    """
    hosts, become = list(listed), {}
    for hex_ in sorted(areas_mm2, key=lambda hex_: (hex_ not in listed, -areas_mm2[hex_], hex_)):
        host = min(hosts, key=lambda other: difference_of(hex_, other), default=None)
        if host is None or difference_of(hex_, host) > largest:
            host = hex_
            hosts.append(hex_)
        become[hex_] = host
    return become


def merging(apart: float) -> float:
    """The least setting, in tenths of a CIEDE2000 difference, that makes one ink of colours so far apart."""
    return math.ceil(10 * apart) / 10
