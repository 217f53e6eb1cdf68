"""Films whose picture depends on who opens them: of such a film nothing is known, however well it reads back here.

The reader answers conditions as a printer would, in one language and without a style sheet from elsewhere; another
program may answer them otherwise. So a film may hold none: no conditional element, no media query, no state, no
variable, nothing that runs or is fetched, none of the newer properties that some programs pass over. Sizes, places
and transforms are read where every program reads them: in attributes, not in styles. What a drawing program saves for
itself in its own namespace draws nothing and may stay.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

import tinycss2
from lxml import etree

from vectorsep.check.browsers import SVG, XLINK_HREF, browser_dependences, has_use, is_uneven_value, of_rule
from vectorsep.model import Artwork, Finding

XHTML = "{http://www.w3.org/1999/xhtml}"
UTF8_MARK = b"\xef\xbb\xbf"
PLAIN_ENCODINGS = ("utf-8", "ascii", "us-ascii", "iso-8859-1", "windows-1252")
REFERENCES = ("href", XLINK_HREF)
CONDITIONS = ("systemLanguage", "requiredExtensions", "requiredFeatures")
"""Conditional processing attributes (SVG 2, 5.9; the last from SVG 1.1)."""
UNEVEN_ATTRIBUTES = ("vector-effect", "transform-origin", "transform-box", "mask")
"""Newer presentation attributes that some programs pass over (SVG 2, 8.13; CSS Transforms 1, 4), and masks, which
printers may turn into pixels."""
UNEVEN_PROPERTIES = re.compile(
    r"all|translate|rotate|scale|zoom|offset(-.*)?|animation(-.*)?|content-visibility|vector-effect"
    r"|mask(-.*)?|transform|transform-origin|transform-box|x|y|cx|cy|r|rx|ry|width|height|d|-[a-z]+-(?!font-).*"
    r"|outline(-.*)?|overflow-.*|(min-|max-)?(inline-size|block-size|width|height)|aspect-ratio|box-.*|contain(-.*)?"
    r"|border(-.*)?|margin(-.*)?|padding(-.*)?|inset(-.*)?|position|left|right|top|bottom|float|object-.*"
)
"""CSS properties that some programs obey on SVG elements and others pass over, or that go by the screen's scale: newer
ones (CSS Transforms 2, Motion Path, SVG 2 section 8.13), those of boxes in a page, which browsers give the drawing,
those that were attributes only before SVG 2 (transform, and the geometry properties of its section 7), and any with a
vendor's prefix (CSS 2.1, 4.1.2.1) but of fonts, which no film has."""
INERT = (("vector-effect", "none"),)
"""What drawing programs write into the style of every shape that they make, and what is so anyhow."""
COMPUTED = re.compile(
    r"\b(var|env|attr|if|calc(-size)?|min|max|clamp|round|mod|rem|abs|sign|a?(sin|cos|tan)|atan2|pow|sqrt|hypot|log|exp"
    r"|color(-mix)?|light-dark|icc-color|hwb|(ok)?(lab|lch))\s*\(|\b(rgb|hsl)a?\s*\([^,)]*\)",
    re.IGNORECASE,
)
"""Functions that only some programs resolve, sums, colours without commas and by the newer spaces of CSS Color 4 among
them."""
RESETTING = re.compile(r"\s*(initial|unset|revert(-layer)?)\s*", re.IGNORECASE)
"""Words that undo what is inherited (CSS Cascade 5, 7.3), all newer than SVG 1.1."""
LENGTHS = re.compile(
    r"[xy][12]?|[cf][xy]|r[xy]?|width|height|ref[XY]|marker(Width|Height)|stroke-(width|dash.*)|offset"
)
_LENGTH = r"[+-]?(?>[0-9]++(?:\.[0-9]++)?|\.[0-9]++)(?:e[+-]?[0-9]++)?(?:px|mm|cm|in|pt|pc|%)?"
PLAIN_LENGTHS = re.compile(rf"{_LENGTH}(?:(?:\s*,\s*|\s+){_LENGTH})*+", re.ASCII)
"""Lengths as all programs read them: no dot at the end, no capitals, no unit of the font or the window, which are the
viewer's own."""
LENGTH_WORDS = ("none", "inherit")
"""Words for a stroke's width and dashes; of words for other lengths programs make what they like."""
ENDS_IN_DOT = re.compile(r"\.(?![0-9])")
"""A number as SVG 1.1 took it and SVG 2 does not (9.3.9): browsers stop drawing there."""
NOT_CSS = ("class", "d", "href", "id")
"""Attributes in which backslashes and comments are nothing of CSS's."""
HIDING = ("display", "visibility", "opacity", "fill-opacity", "stroke-opacity")
WORDS = (*HIDING, "fill-rule", "clip-rule", "stroke-linecap", "stroke-linejoin")
PLAIN_OVERFLOW = ("visible", "hidden")
PLAIN_VALUE = re.compile(r"[a-z-]+|[\d.]+%?")
"""What hides and how outlines are filled must be said plainly, in lower case: not every program reads it otherwise."""
PLAIN_SELECTOR = re.compile(r"[\w\s.#*>,-]+", re.ASCII)
"""Selectors by element, class, id and what stands within what (CSS 2.1, 5.1), as drawing programs save them."""
DOUBTS = (
    "path-cut-short", "unknown-element", "loose-box", "hidden-clip", "hidden-page", "uneven-stroke", "by-profile",
)  # fmt: skip
"""What the reader tells of art that programs draw unalike. Of a path that breaks off they draw more or less than what
stands before."""
NO_SIZE = re.compile(r"-.*|\+?[0.]+[a-z%]*")
"""A width or height of a nested page that is none: some programs draw its content all the same."""
NEWER_OF_SYMBOL = ("x", "y", "width", "height", "refX", "refY", "transform")
"""Attributes that a symbol has since SVG 2 (5.5)."""


def viewer_findings(svg: bytes, ink: str) -> Iterator[Finding]:
    """One `unsafe` finding for each thing in a film that not every program shows alike, with its line."""
    for line, what in _dependences(svg):
        message = f"what this film shows depends on who opens it: remove {what}{f' at line {line}' if line else ''}"
        yield Finding("film-ambiguous", "unsafe", ink, message)


def reading_findings(artwork: Artwork, ink: str) -> Iterator[Finding]:
    """The same for what was read with a doubt: a path that breaks off, an element that nobody knows."""
    for notice in artwork.notices:
        if notice.code in DOUBTS:
            message = f"what this film shows depends on who opens it: {notice.message}; draw it anew, or remove it"
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
        root = None
    if (
        root is None
        or not _is_plainly_encoded(root)
        or b"\0" in svg
        or not svg.removeprefix(UTF8_MARK).lstrip().startswith(b"<")
    ):
        yield None, "its packing or its encoding, and save it as plain UTF-8"
        return
    if b"<!ATTLIST" in svg:
        yield None, "the attributes that its document type gives to elements"
    for node in (*root.itersiblings(preceding=True), *root.iter()):
        if isinstance(node, etree._ProcessingInstruction) and node.target == "xml-stylesheet":
            yield _line(node), "the style sheet from elsewhere"
        elif isinstance(node.tag, str):
            yield from ((_line(node), what) for what in _of_element(node))
    yield from _shared_names(root, svg)
    yield from ((_line(element), what) for element, what in browser_dependences(root, svg))


def _shared_names(root: etree._Element, svg: bytes) -> Iterator[tuple[int | None, str]]:
    """Names that several elements have and something refers to: some programs take the first, some the last."""
    seen: set[str] = set()
    for element in root.iter(etree.Element):
        name = element.get("id")
        if name is not None and name in seen and f"#{name}".encode() in svg:
            yield _line(element), f"the second id {name[:40]!r}"
        seen.add(name or "")


def _is_plainly_encoded(root: etree._Element) -> bool:
    """Whether the file's bytes are read alike by all programs: some know encodings in which markup hides (UTF-7)."""
    return (root.getroottree().docinfo.encoding or "utf-8").lower() in PLAIN_ENCODINGS


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
    if name == tag and not _is_nameless(element.getparent()):
        yield f"<{name}>, which is not in SVG's namespace,"
    if name in ("switch", "pattern"):
        yield f"the <{name}>"
    yield from _of_attributes(name, element)
    if name == "style":
        yield from _of_sheet(element)
    if "\\" in element.get("style", ""):
        yield f"backslashes from the style of <{name}>"
    style = tinycss2.parse_blocks_contents(element.get("style", ""))
    yield from _of_declarations(style, f"the style of <{name}>")


def _is_nameless(element: etree._Element | None) -> bool:
    """Whether an element is in no namespace, which is told once of all that it holds."""
    return element is not None and not str(element.tag).startswith("{")


def _of_attributes(name: str, element: etree._Element) -> Iterator[str]:
    for attribute, value in ((str(attribute), str(value)) for attribute, value in element.items()):
        if (attribute, value) in INERT:
            continue
        if attribute in CONDITIONS or attribute.startswith("on") or attribute in UNEVEN_ATTRIBUTES:
            yield f"{attribute} of <{name}>"
        elif attribute != "style" and _is_uneven_attribute(name, attribute, value):
            yield f"{attribute}={value[:40]!r} of <{name}>"
    if element.get("href", element.get(XLINK_HREF)) != element.get(XLINK_HREF, element.get("href")):
        yield f"one of the two references of <{name}>"


def _of_sheet(style: etree._Element) -> Iterator[str]:
    if style.get("type", "text/css") != "text/css":
        yield "the type of the <style>"
    if "title" in style.attrib:  # of sheets with titles some programs take one alone
        yield "the title of the <style>"
    if len(style):
        yield "what stands within the <style>"
    if style.get("media", "all") != "all":
        yield "the media of the <style>"
    text = "".join(map(str, style.itertext()))
    if "<!--" in text or "\\" in text:
        yield "comments of a web page and backslashes from the <style>"
    beside_use = has_use(style.getroottree().getroot())
    for node in tinycss2.parse_stylesheet(text, skip_comments=True, skip_whitespace=True):
        if node.type == "at-rule":
            yield f"@{node.at_keyword} from the <style>"
        elif node.type == "qualified-rule":
            yield from _of_rule(node, beside_use=beside_use)
        else:
            yield "what is no rule from the <style>"


def _of_rule(rule: tinycss2.ast.QualifiedRule, *, beside_use: bool) -> Iterator[str]:
    selector = tinycss2.serialize(rule.prelude).strip()
    content = tinycss2.parse_blocks_contents(rule.content)
    if not PLAIN_SELECTOR.fullmatch(selector):
        yield f"the rule for {selector[:40]!r} from the <style>"
    declared = [node.lower_name for node in content if node.type == "declaration"]
    yield from of_rule(selector, declared, beside_use=beside_use)
    yield from _of_declarations(content, f"the rule for {selector[:40]!r}")


def _of_declarations(nodes: Iterable[Any], where: str) -> Iterator[str]:
    """Declarations that are read unevenly."""
    declared: set[str] = set()
    for node in nodes:
        if node.type == "declaration":
            name, value = node.lower_name, tinycss2.serialize(node.value)
            is_uneven = (name, value.strip()) not in INERT and (
                UNEVEN_PROPERTIES.fullmatch(name) or _is_uneven(name, value) or is_uneven_value(name, value.strip())
            )
            if is_uneven or name != node.name or name in declared:
                yield f"{name} from {where}"
            declared.add(name)
        elif node.type in ("qualified-rule", "at-rule"):
            yield f"the rule within {where}"
        elif node.type == "error":
            yield f"what is no declaration from {where}"


def _is_uneven(name: str, value: str) -> bool:
    """Whether a property's value is read by some programs only."""
    if name in WORDS and (not PLAIN_VALUE.fullmatch(value.strip()) or value.strip() == "contents"):
        return True
    if name == "overflow" and value.strip() not in PLAIN_OVERFLOW:
        return True
    if "(" in value and COMPUTED.search(value):  # long path data have none, and are soon seen to
        return True
    if RESETTING.fullmatch(value):
        return True
    return LENGTHS.fullmatch(name) is not None and not _is_plain_length(name, value.strip())


def _is_plain_length(name: str, value: str) -> bool:
    if value in LENGTH_WORDS:
        return name.startswith("stroke-")
    if name == "stroke-width" and value.startswith("-"):
        return False
    return PLAIN_LENGTHS.fullmatch(value) is not None


def _is_uneven_attribute(element: str, name: str, value: str) -> bool:
    """The same of an attribute, which not every program reads as it reads a style."""
    if name in ("d", "points"):
        return ENDS_IN_DOT.search(value) is not None or (name == "points" and _is_a_point(value))
    if value != value.strip() and (name in WORDS or name in REFERENCES or LENGTHS.fullmatch(name)):
        return True
    return (
        (element == "symbol" and name in NEWER_OF_SYMBOL)
        or (element in ("svg", "symbol", "use") and any(map(NO_SIZE.fullmatch, _sizes(name, value))))
        or (name in ("fill", "stroke") and not value)
        or (name == "preserveAspectRatio" and "defer" in value)
        or _is_uneven(name, value)
        or _is_escaped(name, value)
    )


def _is_a_point(points: str) -> bool:
    """Whether an outline has no second point: browsers dot it with a round pen."""
    return len(re.split(r"[\s,]+", points.strip())) < 4


def _sizes(name: str, value: str) -> list[str]:
    """What an attribute says of a width or height."""
    if name == "viewBox":
        return re.split(r"[\s,]+", value.strip())[2:]
    return [value] if name in ("width", "height") else []


def _is_escaped(attribute: str, value: str) -> bool:
    """Whether a presentation attribute is written as only readers of CSS read it."""
    return (
        attribute not in NOT_CSS
        and not attribute.startswith(("{", "aria-", "data-"))
        and ("\\" in value or "/*" in value)
    )
