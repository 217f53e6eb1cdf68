"""What an element inherits from its surroundings while the drawing is walked."""

from __future__ import annotations

from dataclasses import dataclass, replace

from vectorsep.artwork.css_colours import Solid
from vectorsep.artwork.document import Element
from vectorsep.artwork.drawing import Clip, Mask
from vectorsep.artwork.lengths import Frame
from vectorsep.artwork.style import Style
from vectorsep.geometry.affine import Affine


@dataclass(frozen=True, slots=True)
class Context:
    """The parent's style, the map from user units to the page, the frame of lengths, the clips in force.

    `chain` holds the references being followed, to find circles; `context_fill` and `context_stroke` are the paints
    of the shape or use that brought the element in, or why they are no colours. While `measuring`, shapes are
    wanted for their bounds alone.
    """

    style: Style
    to_page: Affine
    frame: Frame
    clips: tuple[Clip | Mask, ...] = ()
    chain: tuple[Element, ...] = ()
    depth: int = 0
    context_fill: Solid | ValueError | None = None
    context_stroke: Solid | ValueError | None = None
    measuring: bool = False

    def apart(self) -> Context:
        """The context of what is drawn for itself, and takes no paint of the shape that asks for it."""
        return replace(self, context_fill=None, context_stroke=None)

    def following(self, target: Element) -> Context:
        """The context one level down, in what a reference brings in."""
        return replace(self, chain=(*self.chain, target), depth=self.depth + 1)

    def inside(self, to_parent: Affine) -> Context:
        """The context within a further transform."""
        return replace(self, to_page=self.to_page @ to_parent)
