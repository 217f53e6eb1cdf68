"""Style sheets as rules: what stands in <style>, the conditions and layers around it, and what of it is refused."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import cssselect2
import tinycss2
from tinycss2.ast import AtRule, QualifiedRule
from tinycss2.ast import Node as CssNode

from vectorsep.artwork.css_colours import is_beyond_srgb, parse_colour
from vectorsep.artwork.document import SVG, Element, local_name
from vectorsep.artwork.fonts import font_longhands
from vectorsep.artwork.layers import Layer, Layers, is_layer_name
from vectorsep.artwork.lengths import parse_number
from vectorsep.artwork.media import Media
from vectorsep.artwork.properties import COLOURS, CSS_WIDE, PROPERTIES, REVERT_LAYER, SHORTHANDS
from vectorsep.artwork.supports import is_supported
from vectorsep.artwork.validity import is_passed_over_in_style
from vectorsep.artwork.variables import MAX_BRACKETS, is_custom, names_any

SPACES = " \t\n\r\f"
"""What CSS takes for a space (CSS Syntax 3, 4.2)."""
_XHTML = "{http://www.w3.org/1999/xhtml}"
_OWN_NAMESPACE = tuple(f"{SVG[1:-1]}{end}" for end in (")", "')", '")', "'", '"'))
_UNKNOWN = "hangs on who looks at the drawing: write its rules plainly, or remove them"
_REFUSED_RULES = {
    "import": "@import asks for another file: put its rules into the drawing",
    "property": "@property is not read: remove it, and give what it names a value on the outermost element",
    **{name: f"@{name} is not read: write its rules plainly" for name in ("container", "scope", "keyframes")},
}


@dataclass(frozen=True, slots=True)
class Declarations:
    """What a rule or a style attribute declares: name, value and importance of all that counts, in order."""

    counting: tuple[tuple[str, str, bool], ...] = ()
    falls_back: bool = False
    """Whether a colour is passed over for the one before it."""


@dataclass(frozen=True, slots=True)
class Rule:
    """A style rule, by its selectors and what it declares."""

    text: str
    selectors: Any
    declared: Declarations
    media: Media
    layer: Layer
    sheet: Element


@dataclass(frozen=True, slots=True)
class StyleFault:
    """Something in a style sheet that cannot be honoured: the <style> element and why."""

    element: Element
    reason: str


@dataclass(frozen=True, slots=True)
class _Around:
    """What stands around rules: their sheet, its conditions and layer, and where faults go."""

    element: Element
    media: Media
    layers: Layers
    faults: list[StyleFault]
    layer: Layer = ()

    def refuse(self, reason: str) -> None:
        """List a fault of the sheet."""
        if self.media.art:  # what only a screen shows stops no job
            self.faults.append(StyleFault(self.element, reason))


def rules_of(root: Element, layers: Layers, faults: list[StyleFault]) -> Iterator[Rule]:
    """Every style rule of the drawing that holds for the art or on a screen, in order; faults are listed."""
    for element in root.iter(f"{_XHTML}link"):
        faults.append(StyleFault(element, "it asks for a style sheet in another file: put its rules into the drawing"))
    first_title = ""
    for element in root.iter("{*}style"):
        if str(element.tag).startswith(_XHTML):
            faults.append(StyleFault(element, "a web page's <style> is not read: write it as one of the drawing's"))
        if local_name(element) != "style" or element.get("type", "").lower() not in ("", "text/css"):
            continue
        title = element.get("title", "")
        first_title = first_title or title
        if title not in ("", first_title):
            reason = "its title makes it another choice than the sheet before it, and programs differ: remove the title"
            faults.append(StyleFault(element, reason))
        media = Media().within(element.get("media", ""))
        if media.art is None:
            faults.append(StyleFault(element, f"its media {element.get('media', '')[:60]!r} {_UNKNOWN}"))
        if not media.art and not media.screen:
            continue
        around = _Around(element, media, layers, faults)
        text = "".join(part or "" for part in (element.text, *(child.tail for child in element)))
        if is_too_deep(text):
            around.refuse("the style sheet nests brackets without end: remove it")
            continue
        yield from _rules(tinycss2.parse_stylesheet(text, skip_comments=True, skip_whitespace=True), around)


def is_too_deep(text: str) -> bool:
    """Whether brackets nest beyond MAX_BRACKETS, closed or not."""
    if sum(text.count(bracket) for bracket in "([{") <= MAX_BRACKETS:
        return False
    depth = deepest = 0
    for character in text:
        depth = max(0, depth + (character in "([{") - (character in ")]}"))
        deepest = max(deepest, depth)
    return deepest > MAX_BRACKETS


def _rules(nodes: Iterable[Any], around: _Around) -> Iterator[Rule]:
    """Style rules, those within others that hold included."""
    for node in nodes:
        if node.type == "at-rule":
            yield from _at_rule(node, around)
        elif node.type == "qualified-rule":
            prelude = tinycss2.serialize(node.prelude).strip()
            try:
                selectors = cssselect2.compile_selector_list(node.prelude)
            except (cssselect2.SelectorError, NotImplementedError):  # the latter for an attribute of any namespace
                around.refuse(f"the style sheet's selector {prelude[:60]!r} cannot be read")
                continue
            where = f"the rule for {prelude[:60]!r} on line {node.source_line} of the style sheet"
            if ":lang(" in prelude.lower():
                around.refuse(f"{where} hangs on a language, which is not read: write it plainly")
            if _holds_rules(node):
                around.refuse(f"{where} holds further rules, which are not read: write them apart")
            declared = declarations_in(node.content, in_sheet=True)
            if any(value.lower() == REVERT_LAYER for _, value, _ in declared.counting):
                around.refuse(f"{where} asks for revert-layer, which is not read: write the value")
            yield Rule(prelude, selectors, declared, around.media, around.layer, around.element)
        elif node.type == "error":
            around.refuse(f"the style sheet cannot be read: {node.message}")


def _holds_rules(rule: QualifiedRule) -> bool:
    """Whether rules are nested in a style rule (CSS Nesting 1)."""
    inner = tinycss2.parse_blocks_contents(rule.content)
    return any(node.type in ("qualified-rule", "at-rule") for node in inner)


def _at_rule(node: AtRule, around: _Around) -> Iterator[Rule]:
    name = node.lower_at_keyword
    told = tinycss2.serialize(node.prelude).strip()
    where = f"@{name} {told[:60]} on line {node.source_line} of the style sheet"
    if name == "media" and node.content is not None:
        media = around.media.within(told)
        if media.art is None:
            around.refuse(f"{where} {_UNKNOWN}")
        elif media.art or media.screen:
            yield from _within(node, replace(around, media=media))
    elif name == "supports" and node.content is not None:
        answer = is_supported(node.prelude)
        if answer is None:
            around.refuse(f"{where} {_UNKNOWN}")
        elif answer:
            yield from _within(node, around)
    elif name == "namespace" and not told.lower().endswith(_OWN_NAMESPACE):
        around.refuse(f"{where} names elements of another namespace: remove it")
    elif name == "layer":
        yield from _layered(node, told, where, around)
    elif name in _REFUSED_RULES:
        around.refuse(_REFUSED_RULES[name])


def _layered(node: AtRule, told: str, where: str, around: _Around) -> Iterator[Rule]:
    """The rules of a layer; one without rules names layers in their order."""
    names = [name.strip() for name in told.split(",")]
    if around.media.art != around.media.screen:
        around.refuse(f"{where} stands in a rule for print or for screens alone: write its rules plainly")
    elif not all(map(is_layer_name, names)) and (node.content is None or told):
        around.refuse(f"{where} names no layer, and is passed over: write its rules plainly")
    elif node.content is None:
        for name in names:
            around.layers.named(around.layer, name)
    elif len(names) == 1:
        yield from _within(node, replace(around, layer=around.layers.named(around.layer, names[0])))
    else:
        around.refuse(f"{where} has rules for more than one layer: write them apart")


def _within(node: AtRule, around: _Around) -> Iterator[Rule]:
    yield from _rules(tinycss2.parse_rule_list(node.content, skip_comments=True, skip_whitespace=True), around)


def declarations_in(source: str | list[CssNode], *, in_sheet: bool = False) -> Declarations:
    """Every declaration that counts: of a known or custom property, shorthands expanded.

    In a sheet, no browser takes a font's size without a unit; in a style attribute one does.

    Of two colours for one property the second is for screens of more colours, the first for all others; where sRGB
    does not hold the second, this is one of the others.
    """
    before: defaultdict[str, list[str]] = defaultdict(list)
    counting: list[tuple[str, str, bool]] = []
    falls_back = False
    for name, value, important in _declarations(source):
        if in_sheet and name == "font-size" and parse_number(value):
            continue
        is_beyond = name in COLOURS and is_beyond_srgb(value)
        if is_beyond and any(map(parse_colour, before[name])):
            falls_back = True
        else:
            counting.append((name, value, important))
        before[name].append(value)
    return Declarations(tuple(counting), falls_back)


def _declarations(source: str | list[CssNode]) -> Iterator[tuple[str, str, bool]]:
    """Name, value and importance of every declaration of a known or custom property, shorthands expanded."""
    for node in tinycss2.parse_declaration_list(source, skip_comments=True, skip_whitespace=True):
        if node.type != "declaration":
            continue
        value = tinycss2.serialize(node.value).strip(SPACES)
        if node.lower_name == "all" and value.lower() not in (*CSS_WIDE, REVERT_LAYER) and not names_any(value):
            continue
        if is_custom(node.name):
            yield node.name, value, node.important  # the only names that tell capitals apart
        for name, text in _longhands(node.lower_name, value).items():
            if name in PROPERTIES and not is_passed_over_in_style(name, text):
                yield name, text, node.important


def _longhands(name: str, value: str) -> dict[str, str]:
    """All that one declaration sets."""
    return font_longhands(value) if name == "font" else dict.fromkeys(SHORTHANDS.get(name, (name,)), value)
