"""What flat spot colour cannot hold: elements and properties, and why each is refused."""

from __future__ import annotations

from vectorsep.artwork.css_colours import NEARLY_OPAQUE, OPAQUE
from vectorsep.artwork.style import Style
from vectorsep.settings import ReadOptions

HALFTONE = "flat ink prints solid colours only"
_GRAPHIC = "a pixel picture has no flat areas: trace it to paths, or leave it out"
_MOVING = "a screen prints one still picture: remove the animation"
REFUSED_ELEMENTS: dict[str, str] = {
    "image": _GRAPHIC,
    "feImage": _GRAPHIC,
    "video": _GRAPHIC,
    "canvas": _GRAPHIC,
    "iframe": "another document cannot be printed: draw its content",
    "audio": "sound cannot be printed: remove it",
    "foreignObject": "content of another language cannot be printed: draw it as shapes",
    "flowRoot": "flowed text is no shape: convert it to outlines",
    "mesh": f"a mesh gradient is a blend, and {HALFTONE}",
    "solidcolor": "solid colour servers are not read: paint with the colour itself",
}
"""Elements that are refused wherever they would be painted."""
ACTIVE_ELEMENTS: dict[str, str] = {
    "script": "a script may change the drawing: remove it",
    "animate": _MOVING,
    "animateColor": _MOVING,
    "animateMotion": _MOVING,
    "animateTransform": _MOVING,
    "set": _MOVING,
    "discard": _MOVING,
}
"""Elements that change the drawing over time, refused wherever they stand."""
UNPAINTED_ELEMENTS = frozenset(
    {
        "clipPath",
        "cursor",
        "defs",
        "desc",
        "filter",
        "font",
        "font-face",
        "glyph",
        "hkern",
        "linearGradient",
        "marker",
        "mask",
        "meshgradient",
        "metadata",
        "missing-glyph",
        "pattern",
        "radialGradient",
        "stop",
        "style",
        "symbol",
        "title",
        "view",
        "vkern",
        "color-profile",
        "hatch",
    }
)
"""Elements that paint nothing by themselves."""


SOFT_MASK = f"a mask other than plain white and black is a blend, and {HALFTONE}: cut the shape, or use a clip path"
HIDDEN = "is hidden itself, or stands in what is hidden, and programs differ on whether it counts: put it into <defs>"
BY_FONT = ", or give the file of its font in the job"
UNMEASURED = (
    "it is clipped, filled or moved by a box around text in a font that lacks, or a picture of no stated size: convert "
    "the text to outlines, give the picture width and height"
)
_FILTER = f"a filter (a shadow, a glow, a blur) makes pixels, and {HALFTONE}: remove it, or draw its outcome as shapes"
EFFECTS: dict[str, str] = {
    "mask-border": SOFT_MASK,
    "filter": _FILTER,
    "backdrop-filter": _FILTER,
    "mix-blend-mode": f"a blend mode mixes colours, and {HALFTONE}: give each area its own colour",
    "clip": "the old `clip` property is not read: use a clip path",
}
"""Properties that change how an element looks, and why they are refused."""
SHADOW = f"its shadow or glow (a filter) makes pixels, and {HALFTONE}: remove it, or draw it as shapes"
"""Why a filter is refused without which the element stays as it is."""
EFFECTFUL = ("opacity", "clip-path", "mask", *EFFECTS)
"""Those and others that work on an element as a whole: none is inherited, so that most elements need not be asked."""
MOVES: dict[str, str] = {
    "offset-path": "a path of motion (`offset-path`) is not read: place it by `transform`",
    "zoom": "the property `zoom` is not read: scale it by `transform`",
}
"""Properties that move an element, and why they are refused."""
_PLAIN = frozenset({"", "none", "auto", "normal", "1", "100%"})


def asks_for_nothing(value: str) -> bool:
    """Whether the value of one of these properties leaves the drawing as it is."""
    return value.strip().lower() in _PLAIN


def asked_effect(style: Style) -> str | None:
    """The first property by which an element asks to be let through, cut or changed as a whole, if it does."""
    return next((name for name in EFFECTFUL if _is_asked(style, name)), None)


def _is_asked(style: Style, name: str) -> bool:
    return style.share(name) < OPAQUE if name == "opacity" else not asks_for_nothing(style[name])


def taken_for_full(opacity: float, options: ReadOptions) -> bool:
    """Whether part-transparent paint prints as full ink all the same. Films are burnt as they are."""
    return NEARLY_OPAQUE <= opacity < OPAQUE and not options.as_film


def tint_refused(opacity: float) -> tuple[str, str]:
    """Why partial opacity is refused with the way out in the drawing, and the way out in the job."""
    reason = f"{opacity * 100:.3g} % opacity is a tint, and {HALFTONE}: use full opacity"
    return reason, ", or mix it with the art below by --flatten-opacity"
