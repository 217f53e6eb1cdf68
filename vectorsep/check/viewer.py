"""Films whose picture depends on who opens them: of such a film nothing is known, however well it reads back here.

The reader answers conditions as a printer would, in one language and without a style sheet from elsewhere; another
program may answer them otherwise. So a film may hold none: no conditional element, no media query, no state, nothing
that runs or is fetched. What a drawing program saves for itself in its own namespace draws nothing and may stay.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

import tinycss2
from lxml import etree

from vectorsep.model import Finding

SVG = "{http://www.w3.org/2000/svg}"
XHTML = "{http://www.w3.org/1999/xhtml}"
CONDITIONS = ("systemLanguage", "requiredExtensions", "requiredFeatures")
"""Conditional processing attributes (SVG 2, 5.9; the last from SVG 1.1)."""

UNEVEN_PROPERTIES = re.compile(r"translate|rotate|scale|zoom|offset(-.*)?|animation(-.*)?|content-visibility")
"""CSS properties that some programs obey on SVG elements and others pass over (CSS Transforms 2, Motion Path)."""


def viewer_findings(svg: bytes, ink: str) -> Iterator[Finding]:
    """One `unsafe` finding for each thing in a film that not every program shows alike, with its line."""
    for line, what in _dependences(svg):
        message = f"what this film shows depends on who opens it: remove {what}{f' at line {line}' if line else ''}"
        yield Finding("film-ambiguous", "unsafe", ink, message)


def _dependences(svg: bytes) -> Iterator[tuple[int | None, str]]:
    parser = etree.XMLParser(
        resolve_entities="internal",  # type: ignore[arg-type] # newer than the stubs
        no_network=True,
        load_dtd=False,
        huge_tree=True,
    )
    try:
        root = etree.fromstring(svg, parser)
    except (etree.XMLSyntaxError, ValueError, LookupError):
        yield None, "its packing, or whatever keeps it from being plain XML"
        return
    for node in root.itersiblings(preceding=True):
        yield from _of_instruction(node)
    for node in root.iter():
        yield from _of_instruction(node)
        if isinstance(node.tag, str):
            yield from ((_line(node), what) for what in _of_element(node))


def _of_instruction(node: etree._Element) -> Iterator[tuple[int | None, str]]:
    if isinstance(node, etree._ProcessingInstruction) and node.target == "xml-stylesheet":
        yield _line(node), "the style sheet from elsewhere"


def _line(node: etree._Element) -> int | None:
    line = node.sourceline
    return line if isinstance(line, int) else None


def _of_element(element: etree._Element) -> Iterator[str]:
    """What of one element depends on the program that shows it."""
    tag = str(element.tag)
    if tag.startswith(XHTML):
        yield f"the web page's <{tag.removeprefix(XHTML)}>"
    if tag.startswith("{") and not tag.startswith(SVG):
        return
    name = tag.removeprefix(SVG)
    if name == "switch":
        yield "the <switch>"
    for attribute in map(str, element.attrib):
        if attribute in CONDITIONS or attribute.startswith("on"):
            yield f"{attribute} of <{name}>"
    if name == "style":
        yield from _of_sheet(element)
    yield from _of_declarations(tinycss2.parse_blocks_contents(element.get("style", "")), f"the style of <{name}>")


def _of_sheet(style: etree._Element) -> Iterator[str]:
    if style.get("media", "all") != "all":
        yield "the media of the <style>"
    text = "".join(map(str, style.itertext()))
    for node in tinycss2.parse_stylesheet(text, skip_comments=True, skip_whitespace=True):
        if node.type == "at-rule":
            yield f"@{node.at_keyword} from the <style>"
        elif node.type == "qualified-rule":
            selector = tinycss2.serialize(node.prelude).strip()[:40]
            if any(token == ":" for token in node.prelude):
                yield f"the rule for {selector!r} from the <style>"
            yield from _of_declarations(tinycss2.parse_blocks_contents(node.content), f"the rule for {selector!r}")


def _of_declarations(nodes: Iterable[Any], where: str) -> Iterator[str]:
    for node in nodes:
        if node.type == "declaration" and UNEVEN_PROPERTIES.fullmatch(node.lower_name):
            yield f"{node.lower_name} from {where}"
        elif node.type in ("qualified-rule", "at-rule"):
            yield f"the rule within {where}"
