"""Layers of style sheets, and which of two rules in different ones wins (CSS Cascade 5, 6.4)."""

from __future__ import annotations

import math
import re
from collections import defaultdict
from typing import TypeAlias

from vectorsep.artwork.properties import CSS_WIDE

Layer: TypeAlias = tuple[str, ...]
"""The names from the outermost layer to the innermost; empty for a rule in none."""

_WORD = r"(?:-?(?:[a-zA-Z_]|[^\x00-\x7f]|\\.)|--)(?:[-\w]|\\.)*"
_NAME = re.compile(rf"{_WORD}(?:\.{_WORD})*")


def is_layer_name(text: str) -> bool:
    """Whether this is a layer's name: words joined by dots, none of them of those that all properties take."""
    return _NAME.fullmatch(text) is not None and CSS_WIDE.isdisjoint(text.lower().split("."))


class Layers:
    """All layers of a drawing, in the order in which they are first named."""

    def __init__(self) -> None:
        self._within: dict[Layer, dict[str, int]] = defaultdict(dict)
        self._nameless = 0

    def named(self, around: Layer, name: str) -> Layer:
        """A layer by its name within another, `a.b` for one in one; without a name, a new one at each call."""
        if not name:
            self._nameless += 1
            name = f" {self._nameless}"  # with a space, which no name has
        layer = around
        for part in name.split("."):
            siblings = self._within[layer]
            siblings.setdefault(part, len(siblings))
            layer = (*layer, part)
        return layer

    def rank(self, layer: Layer, *, is_important: bool) -> tuple[float, ...]:
        """Sorts by what wins: later layers, and rules in none; for important rules the other way round."""
        places = [self._within[layer[:depth]][name] for depth, name in enumerate(layer)]
        return tuple(-place if is_important else place for place in (*places, math.inf))
