"""Markup of films that the engines of browsers draw unalike, though each by itself is plain SVG.

What Chromium, Firefox and WebKit draw of 12,000 drawings of one feature each was held against what is read here. Of
what stands below at least one of them draws otherwise than the others, or than the standard.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator

import tinycss2
from lxml import etree

SVG = "{http://www.w3.org/2000/svg}"
XLINK_HREF = "{http://www.w3.org/1999/xlink}href"
FOREIGN_SPACE = re.compile(r"[^\S \t\n\r\f]")
"""A space that is none to XML or CSS (XML 1.0, 2.3), though people take it for one."""
BEYOND_FLOAT = re.compile(r"(?<![0-9.])[0-9]{12}|[0-9.]e\+?[0-9]{2}|[0-9.]e-(?:[3-9][0-9]|[0-9]{3})", re.IGNORECASE)
"""Numbers that some engines cut to what single precision holds, and others take for none: 12 digits and more before the
dot, and exponents of two digits, but those of the slips that sines leave in transforms, such as 6e-17."""
PLAIN_FIT = re.compile(r"(?:none|x(?:Min|Mid|Max)Y(?:Min|Mid|Max))(?: (?:meet|slice))?")
_NUMBER = r"[-+]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?"
PLAIN_VIEW_BOX = re.compile(rf"\s*{_NUMBER}(?:(?:\s*,\s*|\s+){_NUMBER}){{3}}\s*", re.ASCII)
"""Numbers with something between them, which Firefox asks for."""
GLUED_POINTS = re.compile(r"\.[0-9]+\.")
"""Two numbers of a polygon parted by nothing but the second one's dot, at which Firefox stops."""
PLAIN_NAME = re.compile(r"#[\w.:-]+")
"""A reference that all read alike: some resolve %20 and the like, others look for that very name."""
REFERENCE = re.compile(r"url\(([^)]*)\)?", re.IGNORECASE)
DEFINED = ("linearGradient", "radialGradient", "marker")
"""What paints by reference: not where it stands in something hidden, to some engines."""
HOLDERS = ("svg", "g", "defs", "a")
"""Where a definition counts in all engines."""
TOLD = ("title", "desc", "metadata")
SHOWN = ("visible", "hidden", "inherit")
"""WebKit shows what is collapsed."""
COMBINED = re.compile(r"[^\s,]\s*[\s>]\s*[^\s,>]")
"""A selector by what stands within what: Firefox does not ask what stands around the original of a <use>."""
OUTERMOST = re.compile(r"(^|[\s,>])(svg|\*)[\w.#-]*\s*(,|$)")
"""A selector by which the outermost element may be meant."""


def browser_dependences(root: etree._Element, svg: bytes) -> Iterator[tuple[etree._Element, str]]:
    """Each such thing in a film's elements, with the element that has it."""
    for element in root.iter(etree.Element):
        name = local_name(element)
        if name is not None:
            yield from ((element, what) for what in _of_element(name, element, root, svg))


def has_use(root: etree._Element) -> bool:
    """Whether a film shows anything a second time."""
    return next(root.iter(f"{SVG}use"), None) is not None


def of_rule(selector: str, declared: Collection[str], *, beside_use: bool) -> Iterator[str]:
    """The same of a style sheet's rule, given its selector and the properties that it declares."""
    if beside_use and COMBINED.search(selector):
        yield f"the rule for {selector[:40]!r} from the <style>, beside a <use>"
    if "display" in declared and OUTERMOST.search(selector):
        yield "display of the outermost <svg> from the <style>"


def is_uneven_value(name: str, value: str) -> bool:
    """Whether engines differ on a property's value, in an attribute or a style."""
    if name == "visibility":
        return value not in SHOWN
    if name == "filter":
        return value != "none"
    if "(" in value and any(not _is_plain_name(target) for target in REFERENCE.findall(value)):
        return True
    if "(" in value and "url(" not in value and REFERENCE.search(value):  # in capitals not all know it
        return True
    return value.startswith("context-") or BEYOND_FLOAT.search(value) is not None


def _of_element(name: str, element: etree._Element, root: etree._Element, svg: bytes) -> Iterator[str]:
    for attribute, value in ((str(attribute), str(value)) for attribute, value in element.items()):
        if _is_read(attribute) and not (name == "a" and "href" in attribute) and _is_uneven(attribute, value):
            yield f"{attribute}={value[:40]!r} of <{name}>"
    if name == "svg" and element is not root and "transform" in element.attrib:
        yield "the transform of the nested <svg>: put it on a group"
    if element is root and _declares(element, "display"):
        yield "display from the outermost <svg>"
    if name == "style" and FOREIGN_SPACE.search("".join(map(str, element.itertext()))):
        yield "the spaces of another script from the <style>"
    if name == "use" and _parts(element):
        yield "what stands within the <use>"
    if name in ("clipPath", *DEFINED) and "id" in element.attrib and f"#{element.get('id')}".encode() in svg:
        yield from _of_definition(name, element)


def _of_definition(name: str, element: etree._Element) -> Iterator[str]:
    """What is drawn by reference."""
    if name in DEFINED:
        yield f"the <{name}>"
        return
    around = [local_name(one) for one in element.iterancestors()]
    if not all(one in HOLDERS for one in around):
        yield f"the <{name}> from within <{next(one for one in around if one not in HOLDERS) or 'what is no SVG'}>"
    parts = _parts(element)
    if len(parts) > 1 or any(_declares(part, "clip-path") for part in parts):
        yield f"the <{name}> of several shapes: join them"


def _is_read(attribute: str) -> bool:
    """Whether an attribute is any of SVG's that is more than a name."""
    return (attribute == XLINK_HREF or "}" not in attribute) and not attribute.startswith(
        ("id", "class", "aria-", "data-")
    )


def _is_uneven(attribute: str, value: str) -> bool:
    """Whether engines differ on the value of an attribute."""
    if attribute.startswith("font") or attribute == "d":  # path data is long, and read strictly as it is
        return False
    if not value.isascii() and FOREIGN_SPACE.search(value):
        return True
    if attribute == "style":  # its declarations are judged where they are read
        return False
    if attribute in _PLAIN:
        return _PLAIN[attribute].fullmatch(value) is None
    if attribute == "viewBox":
        return PLAIN_VIEW_BOX.fullmatch(value) is None or BEYOND_FLOAT.search(value) is not None
    return (attribute == "points" and GLUED_POINTS.search(value) is not None) or is_uneven_value(attribute, value)


def _is_plain_name(target: str) -> bool:
    return PLAIN_NAME.fullmatch(target.strip(" \t\n\r\f").strip("'\"")) is not None


_PLAIN = {"preserveAspectRatio": PLAIN_FIT, "href": PLAIN_NAME, XLINK_HREF: PLAIN_NAME}


def local_name(element: etree._Element) -> str | None:
    """The name of an element of SVG, None of any other."""
    tag = str(element.tag)
    return tag.removeprefix(SVG) if tag.startswith(SVG) else None


def _declares(element: etree._Element, name: str) -> bool:
    style = tinycss2.parse_blocks_contents(element.get("style", ""))
    return name in element.attrib or any(node.type == "declaration" and node.lower_name == name for node in style)


def _parts(element: etree._Element) -> list[etree._Element]:
    """What stands within an element, but for words about it."""
    return [one for one in element.iterchildren(etree.Element) if local_name(one) not in (*TOLD, None)]
