"""From bytes to an element tree: gzip, encodings, entities, and limits against hostile files. No network, no files."""

from __future__ import annotations

import gzip
import io
import re
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from urllib.parse import unquote

from lxml import etree

from vectorsep.errors import ArtworkError
from vectorsep.model import Place

SVG = "{http://www.w3.org/2000/svg}"
NAMELESS = "{about:nameless}"
"""Where elements in no namespace are put that stand in a drawing in SVG's: no browser draws them, nor does this."""
XLINK_HREF = "{http://www.w3.org/1999/xlink}href"
XML_SPACE = "{http://www.w3.org/XML/1998/namespace}space"

MAX_BYTES = 128_000_000
"""Larger files are refused, before and after unpacking: a plate of 5 million points takes 100 MB."""
MAX_ELEMENTS = 150_000
"""More elements than any flat art holds; reading a million would take minutes and gigabytes."""
MAX_DEPTH = 250
"""Deeper nesting than any drawing program writes. The XML parser itself stops at 256 levels."""
EDITORS_NAMES = frozenset({"label", "id"})
"""Attributes of drawing programs, in namespaces of their own, that hold what a layer is called (from memory)."""
MAX_TEMPLATES = 16
"""Gradients or patterns that take after each other; longer chains are circles."""
_NAMED = frozenset({"clipPath", "linearGradient", "marker", "mask", "pattern", "radialGradient"})
"""Elements that paint nothing where they stand, and cut or paint what names them ..."""
_HOLDERS = frozenset({"a", "clipPath", "defs", "g", "marker", "mask", "pattern", "svg", "switch", "symbol"})
"""... and those within which browsers find them."""
_GZIP = b"\x1f\x8b"
_OTHER_KINDS = {
    b"%PDF": "a PDF file",
    b"%!PS": "a PostScript file",
    b"\xc5\xd0\xd3\xc6": "a PostScript file with a preview",
    b"\x89PNG": "a picture of pixels",
    b"\xff\xd8\xff": "a picture of pixels",
    b"GIF8": "a picture of pixels",
    b"II*\0": "a picture of pixels",
    b"MM\0*": "a picture of pixels",
    b"RIFF": "a drawing program's own file or a picture",
    b"PK\x03\x04": "a zip archive or a program's own file",
}
"""How files begin that are sent in place of SVG, drawing programs' own among them (PDF 32000-1, 7.5.2; PNG 5.2; TIFF 6,
section 2; the rest from memory)."""
_PLAIN_ENCODING = re.compile(rb"""^\s*<\?xml[^>]*encoding\s*=\s*["'](?!utf-8|us-ascii|iso-8859-1|windows-1252)""", re.I)

Element = etree._Element

_ATTLIST = re.compile(rb"""<!ATTLIST((?:[^>"']|"[^"]*"|'[^']*')*)>""")
_WITH_DEFAULT = re.compile(rb"""([\w:.-]+)\s+(?:\w+|\([^)]*\))\s+(?:#FIXED\s+)?["']""")
"""Attributes that a list gives a value to (XML 1.0, 3.3.2)."""


@dataclass(frozen=True, slots=True, eq=False)
class Document:
    """The parsed drawing: its root, its elements by id, and the line on which it asks for a style sheet elsewhere."""

    root: Element
    by_id: Mapping[str, Element]
    linked_style_line: int | None = None

    def target(self, reference: str, name: str | None = None) -> Element | None:
        """What a reference within the drawing, `#id`, stands for, `%20` in it for a space and the like (RFC 3986, 2.1);
        None where nothing does, or nothing of that name, or what browsers do not find where it stands."""
        target = self.by_id.get(unquote(reference[1:])) if reference.startswith("#") else None
        if target is None or name not in (None, local_name(target)) or _is_out_of_place(target):
            return None
        return target

    def templates_of(self, element: Element) -> list[Element]:
        """The element and those that it takes after by `href`, the nearest first (SVG 2, chapter 14)."""
        chain = [element]
        while len(chain) < MAX_TEMPLATES:
            following = self.target(href_of(chain[-1]) or "")
            if following is None or following in chain:
                break
            chain.append(following)
        return chain


def _is_out_of_place(target: Element) -> bool:
    """Whether an element is used by its name alone and stands where neither Chromium nor Firefox finds such: in words,
    in a shape, in an element of another namespace."""
    return local_name(target) in _NAMED and any(local_name(one) not in _HOLDERS for one in target.iterancestors())


def parse_document(data: bytes) -> Document:
    """Parse SVG or gzipped SVG text.

    Raises ArtworkError for what is no SVG, is broken, or is larger or deeper than any drawing.
    """
    text = _unpacked(data)
    if not text.strip():
        raise ArtworkError("the artwork is empty: export it again as SVG")
    if text.count(b"<") > 2 * MAX_ELEMENTS + 1000:
        raise ArtworkError(f"the artwork has more than {MAX_ELEMENTS:,} elements: join its paths and export it again")
    if _gives_attributes(text):
        raise ArtworkError(
            "the artwork's document type gives attributes to elements, which only some programs heed: write them on "
            "the elements, and remove <!ATTLIST>"
        )
    root = _parsed(text)
    name = local_name(root)
    if name != "svg":
        what = f"its outermost element is <{name or etree.QName(root).localname}>"
        raise ArtworkError(f"the artwork is no SVG, {what}: save the drawing itself as SVG")
    if root.tag.startswith(SVG) and b"<!ENTITY" not in text:  # what stands in an entity is parsed without its namespace
        _set_apart_nameless(root)
    return Document(root, _ids(root), _taken_instructions(root))


def _set_apart_nameless(root: Element) -> None:
    for element in list(root.iter("{}*")):
        element.tag = f"{NAMELESS}{element.tag}"


def _gives_attributes(text: bytes) -> bool:
    """Whether the document type gives elements attributes with values. Of namespaces alone it does as they are read."""
    lists = _ATTLIST.findall(text) if b"<!ATTLIST" in text else []
    return any(not name.startswith(b"xmlns") for listed in lists for name in _WITH_DEFAULT.findall(listed))


def _unpacked(data: bytes) -> bytes:
    if data.startswith(_GZIP):
        try:
            data = gzip.GzipFile(fileobj=io.BytesIO(data)).read(MAX_BYTES + 1)
        except EOFError as error:
            raise ArtworkError("the artwork is a truncated gzip file: export it again") from error
        except (zlib.error, gzip.BadGzipFile) as error:
            raise ArtworkError(f"the artwork is a broken gzip file ({error}): export it again") from error
    if len(data) > MAX_BYTES:
        raise ArtworkError(f"the artwork is larger than {MAX_BYTES // 1_000_000} MB: simplify it and export it again")
    return data


def _parsed(text: bytes) -> Element:
    """Parse with the parser's own limits on, except for plain text without entities, where one path may be long."""
    plain = b"<!DOCTYPE" not in text and b"<svg" in text and not _PLAIN_ENCODING.search(text[:200])
    parser = etree.XMLParser(
        resolve_entities="internal",  # type: ignore[arg-type] # newer than the stubs
        no_network=True,
        load_dtd=False,
        dtd_validation=False,
        remove_comments=True,
        huge_tree=plain,
    )
    try:
        root = etree.fromstring(text, parser)
    except (etree.XMLSyntaxError, ValueError, LookupError) as error:
        for start, kind in _OTHER_KINDS.items():
            if text.startswith(start):
                raise ArtworkError(f"the artwork is {kind}, no SVG: save it as SVG in the drawing program") from error
        reason = getattr(error, "msg", "") or str(error) or "it breaks off"
        raise ArtworkError(f"the artwork is no readable XML: {reason}. Export it again as SVG") from error
    if root is None:
        raise ArtworkError("the artwork holds no XML element: export it again as SVG")
    return root


def _taken_instructions(root: Element) -> int | None:
    """Take all processing instructions out of the tree; the line of the first that links a style sheet, if any does.

    One within the drawing is no link by the recommendation "Associating Style Sheets with XML documents 1.0" (2010),
    section 4, but is somebody's wish for one all the same.
    """
    instructions = (*root.itersiblings(etree.PI, preceding=True), *root.iter(etree.PI))
    lines = [place_of(one).line or 1 for one in instructions if one.target == "xml-stylesheet"]  # type: ignore[attr-defined] # an instruction has a target
    etree.strip_elements(root, etree.PI, with_tail=False)
    return min(lines, default=None)


def _ids(root: Element) -> dict[str, Element]:
    by_id: dict[str, Element] = {}
    for count, element in enumerate(_walked(root)):
        if count > MAX_ELEMENTS:
            raise ArtworkError(f"the artwork has more than {MAX_ELEMENTS:,} elements: join its paths")
        name = element.get("id")
        if name is not None:
            by_id.setdefault(name, element)
    return by_id


def _walked(root: Element) -> Iterator[Element]:
    """All elements in document order. Raises ArtworkError where they are nested too deep."""
    depth = 0
    for event, element in etree.iterwalk(root, events=("start", "end")):
        if event == "end":
            depth -= 1
            continue
        depth += 1
        if depth > MAX_DEPTH:
            raise ArtworkError(f"the artwork nests deeper than {MAX_DEPTH} levels: ungroup it", ())
        yield element


def local_name(element: Element) -> str | None:
    """The name of an SVG element, or None for one of another namespace. SVG without a namespace is let pass."""
    tag = element.tag
    if not isinstance(tag, str):
        return None
    if tag.startswith(SVG):
        return tag[len(SVG) :]
    return None if tag.startswith("{") else tag


def children(element: Element) -> Iterator[tuple[str, Element]]:
    """The SVG children of an element, with their names."""
    for child in element:
        name = local_name(child)
        if name is not None:
            yield name, child


def place_of(element: Element) -> Place:
    """Where the element stands in the file."""
    tag = element.tag if isinstance(element.tag, str) else "?"
    name, line = element.get("id"), element.sourceline
    told = None if name is None else _in_line(name)
    return Place(tag.rpartition("}")[2], told, line if isinstance(line, int) else None)


def label_of(element: Element) -> str | None:
    """What a drawing program notes as its name, in an attribute of its own; else its title (SVG 2, 5.7)."""
    for attribute, value in element.attrib.items():
        namespace, _, local = str(attribute).rpartition("}")
        if namespace and local in EDITORS_NAMES and value.strip():
            return _in_line(str(value))
    title = next((child for name, child in children(element) if name == "title"), None)
    return _in_line("".join(map(str, title.itertext()))) or None if title is not None else None


def _in_line(name: str) -> str:
    """A name as messages have it: in one line, and without what would move a terminal's cursor or turn text around."""
    line = " ".join(name.split())
    return line if line.isprintable() else "".join(one if one.isprintable() else "\ufffd" for one in line)


def href_of(element: Element) -> str | None:
    """What the element refers to; `href` goes before `xlink:href` (SVG 2, 16.1.5)."""
    return element.get("href", element.get(XLINK_HREF))
