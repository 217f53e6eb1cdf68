"""Which declarations win on each element: presentation attributes, style sheets, style attributes (CSS Cascade 4)."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

import cssselect2
import tinycss2
import tinycss2.ast
from tinycss2.color3 import parse_color

from vectorsep.artwork.document import Element, local_name, place_of
from vectorsep.artwork.properties import ATTRIBUTE_HOSTS, CSS_ONLY, CSS_WIDE, PROPERTIES, SHORTHANDS
from vectorsep.artwork.variables import MAX_BRACKETS, is_custom, names_any
from vectorsep.errors import ArtworkError
from vectorsep.model import Notice
from vectorsep.units import counted

_MEDIA_TYPES: dict[str, bool] = {
    "": True,
    "all": True,
    "print": True,
    "screen": True,
    **dict.fromkeys(("aural", "braille", "embossed", "handheld", "projection", "speech", "tty", "tv"), False),
}
"""Media types (CSS 2, 7.3), and whether art that is looked at on a screen and on its way to print is one of them."""
_ON_SCREEN = _MEDIA_TYPES | {"print": False}
"""The same of a screen alone, where the designer saw the art."""
MAX_LOOKS = 2_000_000
"""Looks of selectors at elements; a thousand shapes under a hundred plain rules take 100,000 at most."""
_LOOKS_ASIDE = re.compile(r"~|:(?:nth|last|only|has)", re.IGNORECASE)
"""Selectors that look at an element's siblings."""
_MEDIA_UNKNOWN = "hangs on who looks at the drawing: write its rules plainly, or remove them"
_Declared: TypeAlias = list[tuple[Any, ...]]
"""Declarations of one element with their ranks."""


@dataclass(frozen=True, slots=True)
class _Media:
    """Where a rule holds: for the art, and on a screen alone."""

    art: bool | None = True
    screen: bool | None = True

    def within(self, query: str) -> _Media:
        """The same for rules that a media query holds (Media Queries 4, 2)."""
        art, screen = _media_holds(query, _MEDIA_TYPES), _media_holds(query, _ON_SCREEN)
        return _Media(art and self.art, screen and self.screen)


@dataclass(frozen=True, slots=True)
class _Rule:
    text: str
    selectors: Any
    declarations: list[tuple[str, str, bool]]
    media: _Media


@dataclass(frozen=True, slots=True)
class StyleFault:
    """Something in a style sheet that cannot be honoured: the <style> element and why."""

    element: Element
    reason: str


@dataclass(frozen=True, slots=True, eq=False)
class Cascade:
    """The winning style-sheet declarations by element, and what in the sheets is refused."""

    matched: Mapping[Element, _Declared]
    faults: tuple[StyleFault, ...] = ()
    on_screen: Mapping[Element, _Declared] | None = None
    """What would match on a screen alone; None where no rule tells screen and print apart."""

    def declared(self, element: Element) -> dict[str, str]:
        """Winning declarations of one element, shorthands expanded, values as written."""
        return _winning(element, self.matched.get(element, ()))

    def print_notices(self) -> Iterator[Notice]:
        """At most one, where the art is painted by rules for print that differ from what a screen shows."""
        unlike = [(element, change) for element in self.on_screen or () if (change := self._change(element))]
        if unlike:
            element, (name, value, seen) = unlike[0]
            more = f", and {counted(len(unlike) - 1, 'more element')}" if len(unlike) > 1 else ""
            message = (
                f"@media rules paint {place_of(element)}{more} otherwise than on a screen: {name} is {value} here, "
                f"{seen} there; if the screen is right, remove the rules for print, if not, write them plainly"
            )
            yield Notice("print-rules", message, "warning")

    def _change(self, element: Element) -> tuple[str, str, str] | None:
        """The first property that is not the same on a screen, with both values."""
        here, there = self.declared(element), _winning(element, (self.on_screen or {}).get(element, ()))
        for name in sorted(here | there):
            value, seen = here.get(name, "not set"), there.get(name, "not set")
            if not _is_same(value, seen):
                return name, value, seen
        return None


def _is_same(value: str, other: str) -> bool:
    """Whether two values are written alike, or are one colour."""
    colour = parse_color(value)
    return value.lower() == other.lower() or (colour is not None and colour == parse_color(other))


def _winning(element: Element, matched: Iterable[tuple[Any, ...]]) -> dict[str, str]:
    ranked: list[tuple[Any, ...]] = []
    tag = local_name(element)
    for name, value in element.attrib.items():
        if name in PROPERTIES and name not in CSS_ONLY and tag in ATTRIBUTE_HOSTS.get(str(name), (tag,)):
            ranked.append(((False, 0, (0, 0, 0), -1), name, str(value)))
    ranked += matched
    style = element.get("style")
    if style and not _is_too_deep(style):
        ranked += _ranked(_declarations(style), 1, (0, 0, 0), 0)
    if len(ranked) > 1:
        ranked.sort(key=lambda entry: entry[0])
    return {name: value for _, name, value in ranked}


def build_cascade(root: Element) -> Cascade:
    """Parse every <style> of the drawing and match its rules against all elements."""
    faults: list[StyleFault] = []
    matcher, patience = cssselect2.Matcher(), _Patience(root)
    order, differs = 0, False
    for element in root.iter("{*}style"):
        if local_name(element) != "style" or element.get("type", "text/css").strip() not in ("", "text/css"):
            continue
        media = _Media().within(element.get("media", ""))
        if media.art is None:
            faults.append(StyleFault(element, f"its media {element.get('media', '')[:60]!r} {_MEDIA_UNKNOWN}"))
        if not media.art and not media.screen:
            continue
        told = faults if media.art else []  # what only a screen shows stops no job
        text = "".join(map(str, element.itertext()))
        if _is_too_deep(text):
            told.append(StyleFault(element, "the style sheet nests brackets without end: remove it"))
            continue
        sheet = tinycss2.parse_stylesheet(text, skip_comments=True, skip_whitespace=True)
        for rule in _rules(sheet, element, media, told):
            order += 1
            differs |= rule.media.art != rule.media.screen
            for selector in rule.selectors:
                selector.test = patience.counted(selector.test, rule.text)
                matcher.add_selector(selector, (order, rule))
    for element in root.iter():
        if _is_too_deep(str(element.get("style", ""))):
            faults.append(StyleFault(element, "its style nests brackets without end: remove it"))
    matched, on_screen = _match(root, matcher) if order else ({}, {})
    return Cascade(matched, tuple(faults), on_screen if differs else None)


def _is_too_deep(text: str) -> bool:
    """Whether brackets nest beyond MAX_BRACKETS, closed or not."""
    if sum(text.count(bracket) for bracket in "([{") <= MAX_BRACKETS:
        return False
    depth = deepest = 0
    for character in text:
        depth = max(0, depth + (character in "([{") - (character in ")]}"))
        deepest = max(deepest, depth)
    return deepest > MAX_BRACKETS


def _rules(nodes: Iterable[Any], element: Element, media: _Media, faults: list[StyleFault]) -> Iterator[_Rule]:
    """Every style rule that holds for the art or on a screen, those in @media included."""
    for node in nodes:
        if node.type == "at-rule":
            yield from _at_rule(node, element, media, faults)
        elif node.type == "qualified-rule":
            prelude = tinycss2.serialize(node.prelude).strip()
            try:
                selectors = cssselect2.compile_selector_list(node.prelude)
            except cssselect2.SelectorError:
                faults.append(StyleFault(element, f"the style sheet's selector {prelude[:60]!r} cannot be read"))
                continue
            if _holds_rules(node):
                where = f"the rule for {prelude[:60]!r} on line {node.source_line} of the style sheet"
                faults.append(StyleFault(element, f"{where} holds further rules, which are not read: write them apart"))
            yield _Rule(prelude, selectors, list(_declarations(node.content)), media)
        elif node.type == "error":
            faults.append(StyleFault(element, f"the style sheet cannot be read: {node.message}"))


def _holds_rules(rule: tinycss2.ast.QualifiedRule) -> bool:
    """Whether rules are nested in a style rule (CSS Nesting 1)."""
    inner = tinycss2.parse_blocks_contents(rule.content)
    return any(node.type in ("qualified-rule", "at-rule") for node in inner)


def _at_rule(node: tinycss2.ast.AtRule, element: Element, media: _Media, faults: list[StyleFault]) -> Iterator[_Rule]:
    name = node.lower_at_keyword
    if name == "media" and node.content is not None:
        query = tinycss2.serialize(node.prelude).strip()
        inner_media = media.within(query)
        if inner_media.art is None:
            where = f"@media {query[:60]} on line {node.source_line} of the style sheet"
            faults.append(StyleFault(element, f"{where} {_MEDIA_UNKNOWN}"))
        elif inner_media.art or inner_media.screen:
            inner = tinycss2.parse_rule_list(node.content, skip_comments=True, skip_whitespace=True)
            yield from _rules(inner, element, inner_media, faults if inner_media.art else [])
    elif name == "import":
        faults.append(StyleFault(element, "@import asks for another file: put its rules into the drawing"))
    elif name == "property":
        reason = "@property is not read: remove it, and give what it names a value on the outermost element"
        faults.append(StyleFault(element, reason))
    elif name in ("supports", "layer", "container", "scope", "keyframes"):
        faults.append(StyleFault(element, f"@{name} is not read: write its rules plainly"))


def _media_holds(query: str, types: Mapping[str, bool]) -> bool | None:
    """Whether a media query holds for media of these types; None where that hangs on who looks at the art."""
    answers = [_medium_holds(part.lower().split(), types) for part in query.split(",")]
    return True if True in answers else None if None in answers else False


def _medium_holds(words: list[str], types: Mapping[str, bool]) -> bool | None:
    if words[:1] in (["only"], ["not"]) and len(words) > 1:
        answer = types.get(" ".join(words[1:]))
        return answer if words[0] == "only" or answer is None else not answer
    return types.get(" ".join(words))


def _declarations(source: str | list[tinycss2.ast.Node]) -> Iterator[tuple[str, str, bool]]:
    """Name, value and importance of every declaration of a known or custom property, shorthands expanded."""
    for node in tinycss2.parse_declaration_list(source, skip_comments=True, skip_whitespace=True):
        if node.type != "declaration":
            continue
        value = tinycss2.serialize(node.value).strip()
        if node.lower_name == "all" and value.lower() not in CSS_WIDE and not names_any(value):
            continue
        if is_custom(node.name):
            yield node.name, value, node.important  # the only names that tell capitals apart
        for name in SHORTHANDS.get(node.lower_name, (node.lower_name,)):
            if name in PROPERTIES:
                yield name, value, node.important


def _ranked(
    declarations: Iterable[tuple[str, str, bool]], origin: int, specificity: tuple[int, ...], order: int
) -> Iterator[tuple[tuple[Any, ...], str, str]]:
    for name, value, important in declarations:
        yield (important, origin, specificity, order), name, value


def _match(root: Element, matcher: cssselect2.Matcher) -> tuple[dict[Element, _Declared], dict[Element, _Declared]]:
    """Ranked declarations of each element that some rule matches, for the art and as on a screen.

    Ranks sort by importance, origin, specificity. Both have the same elements.
    """
    matched: dict[Element, _Declared] = {}
    on_screen: dict[Element, _Declared] = {}
    for wrapper in cssselect2.ElementWrapper.from_xml_root(root).iter_subtree():
        here: _Declared = []
        there: _Declared = []
        for specificity, _, pseudo, (order, rule) in matcher.match(wrapper):
            if pseudo is None:
                ranked = list(_ranked(rule.declarations, 0, specificity, order))
                here += ranked if rule.media.art else []
                there += ranked if rule.media.screen else []
        if here or there:
            matched[wrapper.etree_element], on_screen[wrapper.etree_element] = here, there
    return matched, on_screen


class _Patience:
    """Counts how often selectors look at elements, and gives up on style sheets that would take minutes."""

    def __init__(self, root: Element) -> None:
        self._left = MAX_LOOKS
        self._siblings = max(map(len, root.iter()), default=0)

    def counted(self, test: Callable[[Any], bool], selector_text: str) -> Callable[[Any], bool]:
        """The test, counted; one that looks at all siblings counts as often as there are."""
        looks = 1 + (self._siblings if _LOOKS_ASIDE.search(selector_text) else 0)

        def look(wrapper: object) -> bool:
            self._left -= looks
            if self._left < 0:
                raise ArtworkError("the style sheets ask too much of so many elements: write the colours on the shapes")
            return test(wrapper)

        return look
