"""What a part of the chart puts on each of the three plates, and how parts are put together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from vectorsep.films.lettering import strokes, text_width
from vectorsep.geometry.boolean import union
from vectorsep.geometry.pen import pen_strokes
from vectorsep.geometry.region import EMPTY, moved
from vectorsep.model import Region

CAPITAL_MM = 2.8
PEN_MM = 0.45
"""Line of the printed lettering: it must come through the blocker's coarse mesh."""


@dataclass(frozen=True, slots=True)
class Layers:
    """Areas in mm, y down, from the part's own top left corner."""

    blocker: Region = EMPTY
    white: Region = EMPTY
    colour: Region = EMPTY

    def at(self, x_mm: float, y_mm: float) -> Layers:
        """The part, its corner put there."""
        return Layers(*(moved(area, x_mm, y_mm) for area in (self.blocker, self.white, self.colour)))


def together(parts: Iterable[Layers]) -> Layers:
    """Several parts as one, plate by plate."""
    listed = list(parts)
    return Layers(
        union(part.blocker for part in listed),
        union(part.white for part in listed),
        union(part.colour for part in listed),
    )


def lettering(text: str, x_mm: float, y_mm: float, capital_mm: float = CAPITAL_MM) -> Region:
    """A line of text as an area, its capitals' top left there."""
    return pen_strokes(strokes(text, x_mm, y_mm + capital_mm, capital_mm), PEN_MM)


def centred(text: str, middle_mm: float, y_mm: float, capital_mm: float = CAPITAL_MM) -> Region:
    """The same, its middle at a distance from the left."""
    return lettering(text, middle_mm - text_width(text, capital_mm) / 2, y_mm, capital_mm)


def short_mm(length_mm: float) -> str:
    """A length up to 1 mm in no more characters than the chart has room for: `.05`, `.5`, `1`."""
    return f"{length_mm:.2f}".strip("0").rstrip(".")


def words(text: str, x_mm: float, y_mm: float, capital_mm: float = CAPITAL_MM) -> Layers:
    """A line of text on the blocker's plate."""
    return Layers(blocker=lettering(text, x_mm, y_mm, capital_mm))
