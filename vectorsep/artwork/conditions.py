"""Conditional processing: systemLanguage and required extensions (SVG 2, 5.9)."""

from __future__ import annotations

from vectorsep.artwork.document import Element

LANGUAGE = "en"
"""The language that art with several languages is drawn in."""


def holds(element: Element) -> bool:
    """Whether the element's conditions let it be drawn."""
    extensions = element.get("requiredExtensions")
    if extensions is not None and extensions.strip():
        return False
    languages = element.get("systemLanguage")
    if languages is None:
        return True
    return any(tag.strip().lower().split("-")[0] == LANGUAGE for tag in languages.split(","))
