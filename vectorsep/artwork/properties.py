"""The CSS properties that steer flat art: which are inherited, and what holds where nothing is said."""

from __future__ import annotations

INHERITED: dict[str, str] = {
    "clip-rule": "nonzero",
    "color": "black",
    "fill": "black",
    "fill-opacity": "1",
    "fill-rule": "nonzero",
    "font-family": "",
    "font-size": "16px",
    "font-stretch": "normal",
    "font-style": "normal",
    "font-variant": "normal",
    "font-weight": "normal",
    "letter-spacing": "normal",
    "line-height": "normal",
    "marker-end": "none",
    "marker-mid": "none",
    "marker-start": "none",
    "paint-order": "normal",
    "stroke": "none",
    "stroke-dasharray": "none",
    "stroke-dashoffset": "0",
    "stroke-linecap": "butt",
    "stroke-linejoin": "miter",
    "stroke-miterlimit": "4",
    "stroke-opacity": "1",
    "stroke-width": "1",
    "text-anchor": "start",
    "direction": "ltr",
    "visibility": "visible",
    "word-spacing": "normal",
    "writing-mode": "horizontal-tb",
}
"""Inherited properties and their initial values (SVG 2 appendix on properties; CSS Fonts, Text, Inline)."""

NOT_INHERITED: dict[str, str] = {
    "background": "none",
    "background-color": "transparent",
    "baseline-shift": "baseline",
    "clip": "auto",
    "clip-path": "none",
    "cx": "auto",
    "cy": "auto",
    "d": "auto",
    "display": "inline",
    "dominant-baseline": "auto",
    "filter": "none",
    "height": "auto",
    "isolation": "auto",
    "mask": "none",
    "mask-image": "none",
    "mix-blend-mode": "normal",
    "opacity": "1",
    "overflow": "",
    "r": "auto",
    "rx": "auto",
    "ry": "auto",
    "stop-color": "black",
    "stop-opacity": "1",
    "text-decoration": "none",
    "transform": "none",
    "transform-box": "view-box",
    "transform-origin": "0 0",
    "vector-effect": "none",
    "width": "auto",
    "x": "auto",
    "y": "auto",
}

PROPERTIES = INHERITED | NOT_INHERITED
SHORTHANDS: dict[str, tuple[str, ...]] = {"marker": ("marker-start", "marker-mid", "marker-end")}

_BOXES = frozenset({"svg", "symbol", "use", "rect", "image", "foreignObject"})
ATTRIBUTE_HOSTS: dict[str, frozenset[str]] = {
    "cx": frozenset({"circle", "ellipse"}),
    "cy": frozenset({"circle", "ellipse"}),
    "d": frozenset({"path"}),
    "height": _BOXES,
    "r": frozenset({"circle"}),
    "rx": frozenset({"rect", "ellipse"}),
    "ry": frozenset({"rect", "ellipse"}),
    "width": _BOXES,
    "x": _BOXES,
    "y": _BOXES,
}
"""Geometry properties are presentation attributes on these elements only (SVG 2, 6.6)."""

CSS_ONLY = frozenset({"background", "background-color"})
"""Properties that count in style sheets and style attributes alone."""

KEYWORDS: dict[str, frozenset[str]] = {
    "clip-rule": frozenset({"nonzero", "evenodd"}),
    "fill-rule": frozenset({"nonzero", "evenodd"}),
    "stroke-linecap": frozenset({"butt", "round", "square"}),
    "stroke-linejoin": frozenset({"miter", "miter-clip", "arcs", "round", "bevel"}),
    "visibility": frozenset({"visible", "hidden", "collapse"}),
    "overflow": frozenset({"visible", "hidden", "scroll", "auto", "clip"}),
    "transform-box": frozenset({"view-box", "fill-box", "border-box", "content-box", "stroke-box"}),
}
"""Properties that take one keyword of a closed list; anything else counts as not declared (CSS Syntax 3, 9.2)."""
