"""Whether an element is drawn: conditional processing (SVG 2, 5.9), and what shows nothing."""

from __future__ import annotations

from vectorsep.artwork.document import Element
from vectorsep.artwork.lengths import Frame, length_or_none
from vectorsep.artwork.style import Style

LANGUAGE = "en"
"""The language that art with several languages is drawn in."""

_KNOWN_EXTENSIONS = frozenset({"http://www.w3.org/1999/xhtml", "http://www.w3.org/1998/Math/MathML"})
"""Extensions that browsers have: they draw what asks for them, and not what stands behind it in a switch."""


def unmet_condition(element: Element) -> str | None:
    """The attribute that keeps the element from being drawn, or None where nothing does."""
    extensions = element.get("requiredExtensions")
    if extensions is not None and not (extensions.strip() and _KNOWN_EXTENSIONS.issuperset(extensions.split())):
        return "requiredExtensions"  # an empty list is no condition that holds (SVG 2, 5.9)
    languages = element.get("systemLanguage")
    if languages is None or any(tag.strip().lower().split("-")[0] == LANGUAGE for tag in languages.split(",")):
        return None
    return "systemLanguage"


def shows(name: str, element: Element, style: Style, frame: Frame) -> bool:
    """Whether an element that flat ink cannot print would be seen at all; programs leave empty ones behind."""
    if style.share("opacity") == 0:
        return False
    if style["visibility"] != "visible" and not (name == "foreignObject" and len(element)):  # what it holds may show
        return False
    if name == "flowRoot":
        return bool("".join(map(str, element.itertext())).strip())
    sides = (length_or_none(style["width"], frame, "x"), length_or_none(style["height"], frame, "y"))
    return name != "image" or 0.0 not in sides  # SVG 2, 7.7: a side of zero disables rendering
