"""The CSS properties that steer flat art: which are inherited, and what holds where nothing is said."""

from __future__ import annotations

INHERITED: dict[str, str] = {
    "clip-rule": "nonzero",
    "color": "black",
    "fill": "black",
    "fill-opacity": "1",
    "fill-rule": "nonzero",
    "font": "",
    "font-family": "",
    "font-feature-settings": "normal",
    "font-kerning": "auto",
    "font-size": "16px",
    "font-size-adjust": "none",
    "font-stretch": "normal",
    "font-style": "normal",
    "font-variant": "normal",
    "font-variant-alternates": "normal",
    "font-variant-caps": "normal",
    "font-variant-east-asian": "normal",
    "font-variant-ligatures": "normal",
    "font-variant-numeric": "normal",
    "font-variant-position": "normal",
    "font-variation-settings": "normal",
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
    "text-decoration": "none",
    "text-decoration-line": "none",
    "text-shadow": "none",
    "text-transform": "none",
    "direction": "ltr",
    "visibility": "visible",
    "white-space": "",
    "white-space-collapse": "",
    "word-spacing": "normal",
    "writing-mode": "horizontal-tb",
}
"""Inherited properties and their initial values (SVG 2 appendix on properties; CSS Fonts, Text, Inline).

Decorations are drawn on all text within (CSS Text Decoration 3, 2.1), which comes to the same. White space that no
style says anything of goes by `xml:space`.
"""

NOT_INHERITED: dict[str, str] = {
    "alignment-baseline": "auto",
    "backdrop-filter": "none",
    "background": "none",
    "background-color": "transparent",
    "background-image": "none",
    "baseline-shift": "baseline",
    "border-style": "none",
    "box-shadow": "none",
    "clip": "auto",
    "content-visibility": "visible",
    "clip-path": "none",
    "cx": "auto",
    "cy": "auto",
    "d": "auto",
    "display": "inline",
    "dominant-baseline": "auto",
    "filter": "none",
    "height": "auto",
    "isolation": "auto",
    "margin": "0",
    "mask": "none",
    "mask-border": "none",
    "mask-mode": "match-source",
    "mask-type": "luminance",
    "mix-blend-mode": "normal",
    "offset-path": "none",
    "opacity": "1",
    "outline-style": "none",
    "overflow": "",
    "overflow-block": "",
    "overflow-inline": "",
    "overflow-x": "",
    "overflow-y": "",
    "padding": "0",
    "r": "auto",
    "rotate": "none",
    "rx": "auto",
    "ry": "auto",
    "scale": "none",
    "stop-color": "black",
    "stop-opacity": "1",
    "transform": "none",
    "transform-box": "view-box",
    "transform-origin": "0 0",
    "translate": "none",
    "unicode-bidi": "normal",
    "vector-effect": "none",
    "width": "auto",
    "x": "auto",
    "y": "auto",
    "zoom": "normal",
}

PROPERTIES = INHERITED | NOT_INHERITED
OPACITIES = frozenset({"fill-opacity", "opacity", "stop-opacity", "stroke-opacity"})
"""Properties that take a share."""
PAINTS = frozenset({"fill", "stroke"})
GEOMETRY = frozenset({"cx", "cy", "height", "r", "rx", "ry", "width", "x", "y"})
"""Properties that place and size shapes (SVG 2, chapter 7)."""
LENGTHS = GEOMETRY | {"stroke-dashoffset", "stroke-width"}
"""Properties that take a length along the drawing's axes or across them."""
NEVER_NEGATIVE = frozenset({"height", "r", "rx", "ry", "stroke-width", "width"})
"""Of these, what is in error below zero, and brought up to it where it is a sum (CSS Values 4, 10.12)."""
COLOURS = PAINTS | {"background", "background-color", "color", "stop-color"}
"""Properties that take a colour."""
BOX = ("border-style", "box-shadow", "margin", "padding")
"""Properties of a web page's boxes. Of a drawing the outermost element alone has one (SVG 2, appendix on styling)."""
_SIDES = ("-top", "-right", "-bottom", "-left", "-block", "-inline")
CSS_WIDE = frozenset({"inherit", "initial", "unset", "revert"})
"""Keywords that every property takes, and the only ones that `all` does (CSS Cascade 4, 7.3 and 3.2)."""
REVERT_LAYER = "revert-layer"
"""One more of these (CSS Cascade 5, 7.3.5), which is not read: what it goes back to hangs on all layers."""
SHORTHANDS: dict[str, tuple[str, ...]] = {
    "all": tuple(name for name in PROPERTIES if name != "direction"),
    "block-size": ("height",),
    **{f"border{side}{style}": ("border-style",) for side in ("", *_SIDES) for style in ("", "-style")},
    **{f"{name}{side}": (name,) for name in ("margin", "padding") for side in _SIDES},
    "inline-size": ("width",),
    "mask-border-source": ("mask-border",),
    "mask-image": ("mask",),
    "marker": ("marker-start", "marker-mid", "marker-end"),
    "offset": ("offset-path",),
    "outline": ("outline-style",),
    "-webkit-clip-path": ("clip-path",),
    "-webkit-filter": ("filter",),
    "-webkit-mask": ("mask",),
    "-webkit-mask-box-image": ("mask-border",),
    "-webkit-mask-box-image-source": ("mask-border",),
    "-webkit-mask-image": ("mask",),
    "-webkit-opacity": ("opacity",),
    "-webkit-transform": ("transform",),
    "-webkit-transform-origin": ("transform-origin",),
}
"""What else a property sets, and other names of properties (Compatibility Standard, chapter 4)."""

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

CSS_ONLY = frozenset(
    {
        "backdrop-filter",
        "background",
        "background-color",
        "background-image",
        "border-style",
        "box-shadow",
        "content-visibility",
        "font",
        "font-feature-settings",
        "font-kerning",
        "font-variant-alternates",
        "font-variant-caps",
        "font-variant-east-asian",
        "font-variant-ligatures",
        "font-variant-numeric",
        "font-variant-position",
        "font-variation-settings",
        "margin",
        "mask-border",
        "mask-mode",
        "offset-path",
        "outline-style",
        "overflow-block",
        "overflow-inline",
        "overflow-x",
        "overflow-y",
        "padding",
        "rotate",
        "scale",
        "text-decoration-line",
        "text-shadow",
        "text-transform",
        "translate",
        "white-space-collapse",
        "zoom",
    }
)
"""Properties that count in style sheets and style attributes alone."""

ORIGIN_KEYWORDS: dict[str, float] = {"left": 0.0, "right": 1.0, "top": 0.0, "bottom": 1.0, "center": 0.5}
"""The words of `transform-origin`, and the shares of a box that they stand for (CSS Transforms 1, chapter 6)."""

KEYWORDS: dict[str, frozenset[str]] = {
    "clip-rule": frozenset({"nonzero", "evenodd"}),
    "fill-rule": frozenset({"nonzero", "evenodd"}),
    "stroke-linecap": frozenset({"butt", "round", "square"}),
    "stroke-linejoin": frozenset({"miter", "miter-clip", "arcs", "round", "bevel"}),
    "visibility": frozenset({"visible", "hidden", "collapse"}),
    "mask-type": frozenset({"luminance", "alpha"}),
    "overflow": frozenset({"visible", "hidden", "scroll", "auto", "clip"}),
    "transform-box": frozenset({"view-box", "fill-box", "border-box", "content-box", "stroke-box"}),
}
"""Properties that take one keyword of a closed list; anything else counts as not declared (CSS Syntax 3, 9.2)."""
