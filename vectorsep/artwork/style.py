"""The computed style of an element, as texts (CSS Cascade 4, chapter 4; SVG 2, chapter 6)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from vectorsep.artwork.lengths import Frame, parse_length, parse_number, parse_share
from vectorsep.artwork.properties import INHERITED, NOT_INHERITED
from vectorsep.artwork.variables import Variables


@dataclass(frozen=True, slots=True)
class Style:
    """The computed values on one element, as texts; `own` holds those that children do not inherit."""

    inherited: Mapping[str, str]
    own: Mapping[str, str]
    variables: Variables = field(default_factory=dict)
    unread: str | None = None
    """What is wrong with the first value, here or further out, that means something and cannot be read."""

    def __getitem__(self, name: str) -> str:
        """The computed value of a property."""
        if name in INHERITED:
            return self.inherited[name]
        return self.own.get(name, NOT_INHERITED[name])

    def share(self, name: str) -> float:
        """An opacity, 0 to 1."""
        text = self[name]
        share = 1.0 if text == "1" else parse_share(text)
        return 1.0 if share is None else share

    def length(self, name: str, frame: Frame) -> float | None:
        """A length in user units, or None where it is unreadable."""
        return parse_length(self[name], frame, "diagonal")

    def number(self, name: str) -> float | None:
        """A plain number, or None where it is unreadable."""
        return parse_number(self[name])


ROOT_STYLE = Style(INHERITED, {})
