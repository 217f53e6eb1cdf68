"""Which declarations win on each element: presentation attributes, style sheets, style attributes (CSS Cascade 5)."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, TypeAlias

import cssselect2
from tinycss2.color3 import parse_color

from vectorsep.artwork.document import Element, local_name, place_of
from vectorsep.artwork.layers import Layers
from vectorsep.artwork.properties import ATTRIBUTE_HOSTS, CSS_ONLY, PROPERTIES
from vectorsep.artwork.report import told_in_sum
from vectorsep.artwork.sheets import Declarations, Rule, StyleFault, declarations_in, is_too_deep, rules_of
from vectorsep.artwork.validity import is_passed_over, without_comments
from vectorsep.errors import ArtworkError
from vectorsep.model import Notice
from vectorsep.units import counted

MAX_LOOKS = 2_000_000
"""Looks of selectors at elements; a thousand shapes under a hundred plain rules take 100,000 at most."""
KEPT_PIECES = 4000
"""Declarations of style attributes that are remembered: programs write the same few on thousands of shapes."""
_APART = re.compile(r"""[^"'\\(){}\[\]@/]*+""")
"""Styles whose declarations each semicolon parts from the next (CSS Syntax 3, 5.4.4)."""
_LOOKS_ASIDE = re.compile(r"~|:(?:nth|last|only|has)", re.IGNORECASE)
"""Selectors that look at an element's siblings."""
_LOOKS_AROUND = re.compile(r"[^\s,]\s+[^\s,]|[>+~:]")
"""Selectors that may look at what stands around an element: by a combinator or a pseudo-class."""
_OUTERMOST = re.compile(r":(?:root|scope)", re.IGNORECASE)
_FALLEN_BACK = (
    "colours that sRGB does not hold are printed as the ones written before them, and may look duller than on the "
    "designer's screen"
)
_ATTRIBUTE, _SHEET, _STYLE = range(3)
"""Where a declaration stands, by what goes before what (CSS Cascade 5, 6.1; SVG 2, 6.6)."""
_Rank: TypeAlias = tuple[bool, int, tuple[float, ...], tuple[int, ...], int]
"""Importance, where it stands, layer, specificity and order of a declaration: the greatest wins."""
_Ranked: TypeAlias = tuple[_Rank, str, str]
"""A declaration by its rank, name and value."""


@dataclass(frozen=True, slots=True, eq=False)
class Cascade:
    """What the style sheets of a drawing declare on each element, and what in them is refused."""

    matched: Mapping[Element, Sequence[_Ranked]]
    faults: tuple[StyleFault, ...] = ()
    on_screen: Mapping[Element, Sequence[_Ranked]] | None = None
    """What would match on a screen alone; None where no rule tells screen and print apart."""
    fallen_back: tuple[Element, ...] = ()
    """What names colours that sRGB does not hold, and others in their place."""
    brought_in: _BroughtIn | None = None
    """What the sheets declare on what a reference brings in; None where that is what they declare where it stands."""

    def declared(self, element: Element) -> dict[str, str]:
        """What wins on one element of sheets, its attributes and its style: shorthands expanded, values as written."""
        return _winning(element, self.matched.get(element, ()))

    def told_by_surroundings(self, target: Element) -> Element | None:
        """The first of an element and all within it on which sheets declare something else once it stands by itself, as
        a `use` brings it in: nothing around the original stands around its copy in SVG 2, 5.6, and in browsers, all of
        it counted in SVG 1.1, 5.6 (both from memory). None where there is none."""
        if self.brought_in is None:
            return None
        if target not in self.brought_in.unlike:
            ranked = self.brought_in.ranked_of(target)
            doubtful = (one for one in target.iter() if ranked.get(one, ()) != self.matched.get(one, ()))
            unlike = (one for one in doubtful if _winning(one, ranked.get(one, ())) != self.declared(one))
            self.brought_in.unlike[target] = next(unlike, None)
        return self.brought_in.unlike[target]

    def notices(self) -> Iterator[Notice]:
        """What is worth telling of the styles."""
        yield from self._print_notices()
        places = list(map(place_of, self.fallen_back))
        yield from told_in_sum("beyond-srgb", "warning", _FALLEN_BACK, places, "element")

    def _print_notices(self) -> Iterator[Notice]:
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


def _winning(element: Element, matched: Sequence[_Ranked]) -> dict[str, str]:
    ranked: list[_Ranked] = []
    tag = local_name(element)
    for name, value in element.attrib.items():
        if name in PROPERTIES and name not in CSS_ONLY and tag in ATTRIBUTE_HOSTS.get(str(name), (tag,)):
            text = without_comments(str(name), str(value))
            if not is_passed_over(str(name), text):
                ranked.append(((False, _ATTRIBUTE, (), (), 0), name, text))
    ranked += matched
    for name, value, important in _of_attribute(str(element.get("style", ""))):
        ranked.append(((important, _STYLE, (), (), 0), name, value))
    if len(ranked) > 1:
        ranked.sort(key=lambda entry: entry[0])
    return {name: value for _, name, value in ranked}


def _of_attribute(style: str) -> Iterator[tuple[str, str, bool]]:
    """Name, value and importance of what a style attribute declares."""
    for piece in style.split(";") if _APART.fullmatch(style) else (style,):
        yield from _declared(piece).counting


@lru_cache(maxsize=KEPT_PIECES)
def _declared(style: str) -> Declarations:
    """What a style attribute, or one declaration of it, declares; nothing where it nests brackets without end."""
    return Declarations() if is_too_deep(style) else declarations_in(style)


def build_cascade(root: Element) -> Cascade:
    """Parse every <style> of the drawing and match its rules against all elements."""
    faults: list[StyleFault] = []
    matcher, apart, patience, layers = cssselect2.Matcher(), cssselect2.Matcher(), _Patience(root), Layers()
    order, differs, looks_around = 0, False, False
    fallen: dict[Element, None] = {}
    for rule in rules_of(root, layers, faults):
        order += 1
        if rule.declared.falls_back and rule.media.art:
            fallen[rule.sheet] = None
        differs |= rule.media.art != rule.media.screen
        looks_around |= _LOOKS_AROUND.search(rule.text) is not None
        for selector in rule.selectors:
            selector.test = patience.counted(selector.test, rule.text)
            matcher.add_selector(selector, (order, rule))
            if not _OUTERMOST.search(rule.text):
                apart.add_selector(selector, (order, rule))
    for element in root.iter():
        style = str(element.get("style", ""))
        if is_too_deep(style):
            faults.append(StyleFault(element, "its style nests brackets without end: remove it"))
        elif "(" in style and _declared(style).falls_back:
            fallen[element] = None
    matched, on_screen = _match(root, matcher, layers) if order else ({}, {})
    brought_in = _BroughtIn(apart, layers) if looks_around else None
    return Cascade(matched, tuple(faults), on_screen if differs else None, tuple(fallen), brought_in)


def _match(
    root: Element, matcher: cssselect2.Matcher, layers: Layers
) -> tuple[dict[Element, list[_Ranked]], dict[Element, list[_Ranked]]]:
    """Ranked declarations of each element that some rule matches, for the art and as on a screen: of the same
    elements."""
    matched: dict[Element, list[_Ranked]] = {}
    on_screen: dict[Element, list[_Ranked]] = {}
    for wrapper in cssselect2.ElementWrapper.from_xml_root(root).iter_subtree():
        here: list[_Ranked] = []
        there: list[_Ranked] = []
        for specificity, _, pseudo, (order, rule) in matcher.match(wrapper):
            if pseudo is None:
                ranked = _ranked(rule, layers, specificity, order)
                here += ranked if rule.media.art else []
                there += ranked if rule.media.screen else []
        if here or there:
            matched[wrapper.etree_element], on_screen[wrapper.etree_element] = here, there
    return matched, on_screen


def _ranked(rule: Rule, layers: Layers, specificity: tuple[int, ...], order: int) -> list[_Ranked]:
    by_importance = [layers.rank(rule.layer, is_important=important) for important in (False, True)]
    return [
        ((important, _SHEET, by_importance[important], specificity, order), name, value)
        for name, value, important in rule.declared.counting
    ]


class _BroughtIn:
    """Matches rules with what stands by itself, as what a reference brings in does."""

    def __init__(self, matcher: cssselect2.Matcher, layers: Layers) -> None:
        self._matcher = matcher
        self._layers = layers
        self.unlike: dict[Element, Element | None] = {}
        """Of what was looked at already, the first element that is not as it is where it stands."""

    def ranked_of(self, target: Element) -> Mapping[Element, Sequence[_Ranked]]:
        """Ranked declarations of it and of what stands within; nothing of it is the outermost element."""
        return _match(target, self._matcher, self._layers)[0]


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
