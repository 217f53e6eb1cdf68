"""Media queries, and where a rule of a style sheet holds by them (CSS 2, 7.3; Media Queries 4, chapter 2)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

_MEDIA_TYPES: dict[str, bool] = {
    "all": True,
    "print": True,
    "screen": True,
    **dict.fromkeys(("aural", "braille", "embossed", "handheld", "projection", "speech", "tty", "tv"), False),
}
"""Media types, and whether art that is looked at on a screen and on its way to print is one of them."""
_ON_SCREEN = _MEDIA_TYPES | {"print": False}
"""The same of a screen alone, where the designer saw the art."""


@dataclass(frozen=True, slots=True)
class Media:
    """Where a rule holds: for the art, and on a screen alone. None where that hangs on who looks at the art."""

    art: bool | None = True
    screen: bool | None = True

    def within(self, query: str) -> Media:
        """The same for rules that a media query holds."""
        art, screen = _holds(query, _MEDIA_TYPES), _holds(query, _ON_SCREEN)
        return Media(art and self.art, screen and self.screen)


def _holds(query: str, types: Mapping[str, bool]) -> bool | None:
    if not query.strip():
        return True
    answers = [_medium_holds(part.lower().split(), types) for part in query.split(",")]
    return True if True in answers else None if None in answers else False


def _medium_holds(words: list[str], types: Mapping[str, bool]) -> bool | None:
    if words[:1] in (["only"], ["not"]) and len(words) > 1:
        answer = types.get(" ".join(words[1:]))
        return answer if words[0] == "only" or answer is None else not answer
    return types.get(" ".join(words))
