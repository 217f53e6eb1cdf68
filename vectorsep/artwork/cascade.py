"""Which declarations win on each element: presentation attributes, style sheets, style attributes (CSS Cascade 4)."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

import cssselect2
import tinycss2
import tinycss2.ast

from vectorsep.artwork.document import Element, local_name
from vectorsep.artwork.properties import ATTRIBUTE_HOSTS, CSS_ONLY, CSS_WIDE, PROPERTIES, SHORTHANDS
from vectorsep.errors import ArtworkError

_MEDIA_TYPES = {
    "": True,
    "all": True,
    "print": True,
    "screen": True,
    **dict.fromkeys(("aural", "braille", "embossed", "handheld", "projection", "speech", "tty", "tv"), False),
}
"""Media types (CSS 2, 7.3), and whether art that is looked at on a screen and on its way to print is one of them."""
MAX_BRACKETS = 60
"""Brackets within brackets in a style; no style needs ten, and the parser's own stack is finite."""
MAX_LOOKS = 2_000_000
"""Looks of selectors at elements; a thousand shapes under a hundred plain rules take 100,000 at most."""
_LOOKS_ASIDE = re.compile(r"~|:(?:nth|last|only|has)", re.IGNORECASE)
"""Selectors that look at an element's siblings."""
_MEDIA_UNKNOWN = "hangs on who looks at the drawing: write its rules plainly, or remove them"
_Rule: TypeAlias = tuple[str, Any, list[tuple[str, str, bool]]]


@dataclass(frozen=True, slots=True)
class StyleFault:
    """Something in a style sheet that cannot be honoured: the <style> element and why."""

    element: Element
    reason: str


@dataclass(frozen=True, slots=True, eq=False)
class Cascade:
    """The winning style-sheet declarations by element, and what in the sheets is refused."""

    matched: Mapping[Element, list[tuple[Any, ...]]]
    faults: tuple[StyleFault, ...] = ()

    def declared(self, element: Element) -> dict[str, str]:
        """Winning declarations of one element, shorthands expanded, values as written."""
        ranked: list[tuple[tuple[Any, ...], str, str]] = []
        tag = local_name(element)
        for name, value in element.attrib.items():
            if name in PROPERTIES and name not in CSS_ONLY and tag in ATTRIBUTE_HOSTS.get(str(name), (tag,)):
                ranked.append(((False, 0, (0, 0, 0), -1), name, str(value)))
        ranked += self.matched.get(element, ())
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
    order = 0
    for element in root.iter("{*}style"):
        if local_name(element) != "style" or element.get("type", "text/css").strip() not in ("", "text/css"):
            continue
        holds = _media_holds(element.get("media", ""))
        if holds is None:
            faults.append(StyleFault(element, f"its media {element.get('media', '')[:60]!r} {_MEDIA_UNKNOWN}"))
        if not holds:
            continue
        text = "".join(map(str, element.itertext()))
        if _is_too_deep(text):
            faults.append(StyleFault(element, "the style sheet nests brackets without end: remove it"))
            continue
        sheet = tinycss2.parse_stylesheet(text, skip_comments=True, skip_whitespace=True)
        for prelude, selectors, declarations in _rules(sheet, element, faults):
            order += 1
            for selector in selectors:
                selector.test = patience.counted(selector.test, prelude)
                matcher.add_selector(selector, (order, declarations))
    for element in root.iter():
        if _is_too_deep(str(element.get("style", ""))):
            faults.append(StyleFault(element, "its style nests brackets without end: remove it"))
    matched = _match(root, matcher) if order else {}
    return Cascade(matched, tuple(faults))


def _is_too_deep(text: str) -> bool:
    """Whether brackets nest beyond MAX_BRACKETS, closed or not."""
    if sum(text.count(bracket) for bracket in "([{") <= MAX_BRACKETS:
        return False
    depth = deepest = 0
    for character in text:
        depth = max(0, depth + (character in "([{") - (character in ")]}"))
        deepest = max(deepest, depth)
    return deepest > MAX_BRACKETS


def _rules(nodes: Iterable[Any], element: Element, faults: list[StyleFault]) -> Iterator[_Rule]:
    """Every style rule: its selector text, compiled selectors and declarations, those in @media that hold included."""
    for node in nodes:
        if node.type == "at-rule":
            yield from _at_rule(node, element, faults)
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
            yield prelude, selectors, list(_declarations(node.content))
        elif node.type == "error":
            faults.append(StyleFault(element, f"the style sheet cannot be read: {node.message}"))


def _holds_rules(rule: tinycss2.ast.QualifiedRule) -> bool:
    """Whether rules are nested in a style rule (CSS Nesting 1)."""
    inner = tinycss2.parse_blocks_contents(rule.content)
    return any(node.type in ("qualified-rule", "at-rule") for node in inner)


def _at_rule(node: tinycss2.ast.AtRule, element: Element, faults: list[StyleFault]) -> Iterator[_Rule]:
    name = node.lower_at_keyword
    if name == "media" and node.content is not None:
        query = tinycss2.serialize(node.prelude).strip()
        holds = _media_holds(query)
        if holds is None:
            where = f"@media {query[:60]} on line {node.source_line} of the style sheet"
            faults.append(StyleFault(element, f"{where} {_MEDIA_UNKNOWN}"))
        elif holds:
            inner = tinycss2.parse_rule_list(node.content, skip_comments=True, skip_whitespace=True)
            yield from _rules(inner, element, faults)
    elif name == "import":
        faults.append(StyleFault(element, "@import asks for another file: put its rules into the drawing"))
    elif name in ("supports", "layer", "container", "scope", "keyframes"):
        faults.append(StyleFault(element, f"@{name} is not read: write its rules plainly"))


def _media_holds(query: str) -> bool | None:
    """Whether a media query holds for the art; None where that hangs on who looks at it (Media Queries 4, 2)."""
    answers = [_medium_holds(part.lower().split()) for part in query.split(",")]
    return True if True in answers else None if None in answers else False


def _medium_holds(words: list[str]) -> bool | None:
    if words[:1] in (["only"], ["not"]) and len(words) > 1:
        answer = _MEDIA_TYPES.get(" ".join(words[1:]))
        return answer if words[0] == "only" or answer is None else not answer
    return _MEDIA_TYPES.get(" ".join(words))


def _declarations(source: str | list[tinycss2.ast.Node]) -> Iterator[tuple[str, str, bool]]:
    """Name, value and importance of every declaration of a known property, shorthands expanded."""
    for node in tinycss2.parse_declaration_list(source, skip_comments=True, skip_whitespace=True):
        if node.type != "declaration":
            continue
        value = tinycss2.serialize(node.value).strip()
        if node.lower_name == "all" and value.lower() not in CSS_WIDE:
            continue
        for name in SHORTHANDS.get(node.lower_name, (node.lower_name,)):
            if name in PROPERTIES:
                yield name, value, node.important


def _ranked(
    declarations: Iterable[tuple[str, str, bool]], origin: int, specificity: tuple[int, ...], order: int
) -> Iterator[tuple[tuple[Any, ...], str, str]]:
    for name, value, important in declarations:
        yield (important, origin, specificity, order), name, value


def _match(root: Element, matcher: cssselect2.Matcher) -> dict[Element, list[tuple[Any, ...]]]:
    """Ranked declarations of each element that some rule matches. Ranks sort by importance, origin, specificity."""
    matched: dict[Element, list[tuple[Any, ...]]] = {}
    for wrapper in cssselect2.ElementWrapper.from_xml_root(root).iter_subtree():
        found: list[tuple[Any, ...]] = []
        for specificity, _, pseudo, (order, declarations) in matcher.match(wrapper):
            if pseudo is None:
                found += _ranked(declarations, 0, specificity, order)
        if found:
            matched[wrapper.etree_element] = found
    return matched


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
