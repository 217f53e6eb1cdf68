"""The resolved drawing: what is painted where and how, before any region is computed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from vectorsep.artwork.css_colours import Solid
from vectorsep.geometry.affine import Affine
from vectorsep.geometry.bends import Pen
from vectorsep.geometry.curves import Outline
from vectorsep.model import Place


@dataclass(frozen=True, slots=True, eq=False)
class ClipPart:
    """One shape of a clip: its outline in user units, the map to the page, the fill rule, and its own clips."""

    outline: Outline
    to_page: Affine
    even_odd: bool = False
    clips: tuple[Clip, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Clip:
    """The union of its parts, cut by the clips of the clip itself. Without parts it hides everything."""

    parts: tuple[ClipPart, ...]
    clips: tuple[Clip, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class MaskPart:
    """One fill or stroke of a mask, which opens it where it lies or closes it."""

    node: Fill | Stroke
    opens: bool


@dataclass(frozen=True, slots=True, eq=False)
class Mask:
    """What its parts leave open, painted in order from the lowest, within the region."""

    region: Clip
    parts: tuple[MaskPart, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Fill:
    """The inside of an outline in one colour."""

    paint: Solid
    outline: Outline
    to_page: Affine
    even_odd: bool
    clips: tuple[Clip | Mask, ...]
    place: Place


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """An outline widened by a pen, in one colour. The pen works in the outline's own units, before the map."""

    paint: Solid
    outline: Outline
    to_page: Affine
    pen: Pen
    clips: tuple[Clip | Mask, ...]
    place: Place


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """Nodes that are painted together and then let through by one opacity below 1."""

    opacity: float
    nodes: tuple[Node, ...]
    place: Place


Node: TypeAlias = Fill | Stroke | Group
