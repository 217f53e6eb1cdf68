"""Conditional processing: systemLanguage and required extensions (SVG 2, 5.9)."""

from __future__ import annotations

from vectorsep.artwork.document import Element

LANGUAGE = "en"
"""The language that art with several languages is drawn in."""


def unmet_condition(element: Element) -> str | None:
    """The attribute that keeps the element from being drawn, or None where nothing does."""
    extensions = element.get("requiredExtensions")
    if extensions is not None and extensions.strip():
        return "requiredExtensions"
    languages = element.get("systemLanguage")
    if languages is None or any(tag.strip().lower().split("-")[0] == LANGUAGE for tag in languages.split(",")):
        return None
    return "systemLanguage"
