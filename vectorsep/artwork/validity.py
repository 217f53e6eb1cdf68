"""Declarations that programs pass over, so that one before them holds (CSS Syntax 3, 9.2; CSS Cascade 5, 4.1).

What may be a number or a length to some program is never among them: if it cannot be read here, it is refused
(`unread.py`).
"""

from __future__ import annotations

import re
from collections.abc import Callable

import tinycss2

from vectorsep.artwork.fonts import SIZES
from vectorsep.artwork.lengths import SHARES, ends_in_dot, is_measure_like, parse_length, parse_number, parse_share
from vectorsep.artwork.properties import (
    CSS_WIDE,
    KEYWORDS,
    NEVER_NEGATIVE,
    OPACITIES,
    ORIGIN_KEYWORDS,
    REVERT_LAYER,
)
from vectorsep.artwork.sums import is_sum

_NOT_CSS = frozenset({"d", "transform"})
"""Attributes that have grammars of their own."""
_DISPLAYS = re.compile(
    r"block|compact|contents|flow(-root)?|list-item|marker|math|none|ruby(-base|-text)?|run-in"
    r"|(inline-)?(flex|grid|table)|inline(-block)?"
    r"|table-(caption|cell|column(-group)?|footer-group|header-group|row(-group)?)"
)
"""What `display` takes, by CSS Display 3, and by SVG 1.1, which had a few more."""


def without_comments(name: str, text: str) -> str:
    """The value of an attribute as CSS reads it: comments off, escapes resolved."""
    if name in _NOT_CSS or not ("\\" in text or "/*" in text):
        return text
    return str(tinycss2.serialize(tinycss2.parse_component_value_list(text, skip_comments=True)))


def is_passed_over_in_style(name: str, text: str) -> bool:
    """Whether a property takes no such value in a style. Sides below zero are in error there alone; an attribute's
    stands, and shows nothing."""
    length = parse_length(text, SHARES, "x") if name in NEVER_NEGATIVE and not is_sum(text) else None
    return is_passed_over(name, text) or (length is not None and length < 0)


def is_passed_over(name: str, text: str) -> bool:
    """Whether a property takes no such value, in any program."""
    word = text.strip().lower()
    if word in CSS_WIDE or word == REVERT_LAYER or "(" in word:
        return False
    if name in KEYWORDS:
        return word not in KEYWORDS[name] and not (name == "overflow" and " " in word)
    judge = _JUDGES.get(name)
    return not word or (judge is not None and judge(word))


def _no_share(word: str) -> bool:
    return parse_share(word) is None and not ends_in_dot(word)


def _no_length(word: str) -> bool:
    return not is_measure_like(word)


def _no_width(word: str) -> bool:
    length = parse_length(word, SHARES, "x")
    return _no_length(word) or (length is not None and length < 0)


def _no_font_size(word: str) -> bool:
    return word not in SIZES and word not in ("larger", "smaller") and _no_width(word)


def _no_limit(word: str) -> bool:
    limit = parse_number(word)
    return not ends_in_dot(word) and (limit is None or limit < 0)


def _no_display(word: str) -> bool:
    return not _DISPLAYS.fullmatch(word) and " " not in word and not word.startswith("-")


def _no_origin(word: str) -> bool:
    return not any(part in ORIGIN_KEYWORDS or is_measure_like(part) for part in word.split())


_JUDGES: dict[str, Callable[[str], bool]] = {
    **dict.fromkeys(OPACITIES, _no_share),
    "display": _no_display,
    "font-size": _no_font_size,
    "stroke-dashoffset": _no_length,
    "stroke-miterlimit": _no_limit,
    "stroke-width": _no_width,
    "transform-origin": _no_origin,
}
