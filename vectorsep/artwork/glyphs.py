"""Letters set with a font file: outlines and advances, and what such a file cannot give.

HarfBuzz shapes a run at a time, in one direction and one script.
"""

from __future__ import annotations

import io
import math
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import uharfbuzz
from fontTools.pens.svgPathPen import SVGPathPen
from fontTools.ttLib import TTFont, TTLibError
from fontTools.unicodedata import script

from vectorsep.artwork.lengths import parse_number
from vectorsep.artwork.pathdata import parse_path
from vectorsep.artwork.style import Style
from vectorsep.geometry.affine import Affine
from vectorsep.geometry.curves import NO_OUTLINE, Outline, joined

_WEIGHTS = {"normal": 400.0, "bold": 700.0, "bolder": 700.0, "lighter": 300.0}
SAME_WEIGHT = 100
"""Weights that differ by no more stand for each other where a family lacks one (CSS Fonts 4, 5.2)."""
_STRETCHES = (
    "ultra-condensed", "extra-condensed", "condensed", "semi-condensed", "normal",
    "semi-expanded", "expanded", "extra-expanded", "ultra-expanded",
)  # fmt: skip
"""Widths of letters, by the classes 1 to 9 of the OpenType table `OS/2`."""
_ITALIC, _OBLIQUE = 1 << 0, 1 << 9
"""Bits of `fsSelection` in the same table."""
_RIGHT_TO_LEFT, _LEFT_TO_RIGHT = {"R", "AL"}, {"L", "EN", "AN"}
"""Classes of letters and digits by the direction that they are read in (Unicode Standard Annex 9, table 4)."""
_ANY_SCRIPT = {"Zyyy", "Zinh", "Zzzz"}
_PLAIN_SCRIPTS = {"Armn", "Bopo", "Cyrl", "Geor", "Grek", "Hang", "Hani", "Hira", "Kana", "Latn"}
"""Scripts whose letters keep their shapes whatever stands beside them, so that they may share a run."""


class MissingLetterError(ValueError):
    """A letter that the font file lacks."""

    def __init__(self, letter: str) -> None:
        super().__init__(letter)
        self.letter = letter


@dataclass(frozen=True, slots=True, eq=False)
class Shaped:
    """A run's outline in user units, with its origin on the baseline, and how far it moves on."""

    outline: Outline
    advance: float


NO_GLYPHS = Shaped(NO_OUTLINE, 0.0)
UNKNOWN_GLYPHS = Shaped(NO_OUTLINE, math.nan)
"""A run in a font that nobody gave, that shows nothing or is only measured: where it ends is not known."""


def font_for(fonts: Mapping[str, bytes], style: Style) -> tuple[str, bytes | None]:
    """The first family of the style that the job has a file for. Names compare without quotes and case."""
    known = {name.casefold(): (name, data) for name, data in fonts.items()}
    for family in style["font-family"].split(","):
        found = known.get(family.strip().strip("'\"").casefold())
        if found is not None:
            return found
    return "", None


def shaped_letters(text: str, data: bytes, font_size: float) -> Shaped:
    """A run shaped with a font file. Raises MissingLetterError."""
    font = _opened(data)
    buffer = uharfbuzz.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    uharfbuzz.shape(font, buffer)
    scale = font_size / font.face.upem
    outlines, pen_x = [], 0.0
    for info, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        if info.codepoint == 0:
            raise MissingLetterError(text[info.cluster])
        glyph = _glyph(data, info.codepoint)
        x, y = pen_x + position.x_offset, position.y_offset
        outlines.append(glyph.mapped(Affine(scale, 0.0, 0.0, -scale, x * scale, -y * scale)))
        pen_x += position.x_advance
    return Shaped(joined(outlines), pen_x * scale)


def mixture_in(runs: Sequence[str]) -> str | None:
    """What keeps the runs of a text from being set one after the other from the left, each by one set of rules."""
    directions = {unicodedata.bidirectional(letter) for run in runs for letter in run}
    if directions & _RIGHT_TO_LEFT and (directions & _LEFT_TO_RIGHT or len(runs) > 1):
        return "that runs both ways, or from the right in several parts, is not read"
    for run in runs:
        scripts = {script(letter) for letter in run} - _ANY_SCRIPT
        if len(scripts) > 1 and not scripts <= _PLAIN_SCRIPTS:
            return f"of several scripts in a row ({run[:20]!r}) is not read"
    return None


def traits_missed(style: Style, data: bytes) -> Iterator[str]:
    """The weight, slant and width that a style asks for and the font file has not."""
    traits = _traits(data)
    if traits is None:
        return
    weight, is_slanted, stretch = traits
    asked = _WEIGHTS.get(style["font-weight"], parse_number(style["font-weight"]) or weight)
    if abs(asked - weight) > SAME_WEIGHT:
        yield f"font-weight {style['font-weight']}"
    if (style["font-style"] != "normal") != is_slanted:
        yield f"font-style {style['font-style']}"
    if style["font-stretch"] != stretch:
        yield f"font-stretch {style['font-stretch']}"


@lru_cache(maxsize=8)
def _traits(data: bytes) -> tuple[int, bool, str] | None:
    """Weight, whether it is slanted, and width of a font file; None for one that does not tell."""
    try:
        table: Any = TTFont(io.BytesIO(data), lazy=True)["OS/2"]
    except (KeyError, TTLibError):
        return None
    stretch = _STRETCHES[min(max(table.usWidthClass, 1), 9) - 1]
    return table.usWeightClass, bool(table.fsSelection & (_ITALIC | _OBLIQUE)), stretch


@lru_cache(maxsize=8)
def _opened(data: bytes) -> Any:  # noqa: ANN401 - the binding has no types
    return uharfbuzz.Font(uharfbuzz.Face(data))


@lru_cache(maxsize=4096)
def _glyph(data: bytes, index: int) -> Outline:
    """A glyph's outline in font units, y up."""
    pen = SVGPathPen(None)
    _opened(data).draw_glyph_with_pen(index, pen)
    return parse_path(pen.getCommands())[0]
