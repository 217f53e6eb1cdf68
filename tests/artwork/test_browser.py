"""What only style sheets know, properties and variables, as a browser draws it: one picture of all by Chromium."""

import numpy as np
import pytest
from many_pictures import PAGE, SIDE_PX, browser_pictures
from rendered import difference_share, painted_svg, rendered
from svg import drawing

from vectorsep.artwork import read_artwork

SHARE = 0.0005
BOX = 'x="20" y="20" width="30" height="20" fill="teal"'
PROBES = {
    "translate": f'<rect {BOX} style="translate:30px 10%"/>',
    "rotate": f'<rect {BOX} style="rotate:20deg"/>',
    "scale": f'<rect {BOX} style="scale:150% .5"/>',
    "all and transform": f'<rect {BOX} style="translate:20px;rotate:.1turn;scale:1.5" transform="skewX(20)"/>',
    "about the middle": f'<rect {BOX} style="transform-box:fill-box;transform-origin:center;rotate:z 1rad;scale:2"/>',
    "percent of the own box": f'<rect {BOX} style="transform-box:fill-box;translate:50% 100%"/>',
    "percent in a transform": f'<rect {BOX} style="transform-box:fill-box;transform:translate(50%,100%)"/>',
    "prefixed": f'<rect {BOX} style="-webkit-transform:rotate(20deg);-webkit-transform-origin:50px 50px"/>',
    "of a group": f'<g style="translate:10px 20px;rotate:10deg"><rect {BOX}/></g>',
    "all": f'<g fill="red"><path d="M0 0H50V50H0Z" fill="teal" stroke="teal" style="all:unset"/><rect {BOX}/></g>',
}
INK = 'x="20" y="20" width="30" height="20"'
PROBES |= {
    "variable of a sheet": f"<style>svg{{--ink:teal}}rect{{fill:var(--ink)}}</style><rect {INK}/>",
    "variable of a group": '<g style="--ink:teal"><g style="--other:red">'
    f'<rect {INK} style="fill:var(--ink)"/></g></g>',
    "variable in an attribute": f'<g style="--ink:teal"><rect {INK} fill="var(--ink)" stroke="VAR( --ink )"/></g>',
    "in place of none": f'<rect {INK} fill="var(--gone, var(--gone-too , teal))"/>',
    "with commas in its place": f'<rect {INK} fill="var(--gone, rgb(0, 128, 128))"/>',
    "nearer one wins": f'<g style="--ink:red"><g style="--ink:teal"><rect {INK} fill="var(--ink)"/></g></g>',
    "important one wins": f"<style>rect{{--ink:teal !important;fill:var(--ink)}}</style>"
    f'<rect {INK} style="--ink:red"/>',
    "capitals told apart": f'<g style="--Ink:teal;--ink:red"><rect {INK} fill="var(--Ink)"/></g>',
    "of other variables": '<g style="--c:0, 128;--b:var(--c), 128;--a:rgb(var(--b))">'
    f'<rect {INK} fill="var(--a)"/></g>',
    "worked out where it is given": f'<g style="--a:teal;--b:var(--a)"><g style="--a:red"><rect {INK} '
    'fill="var(--b)"/></g></g>',
    "by way of itself": f'<g style="--a:var(--b, red);--b:var(--a, red)"><rect {INK} fill="var(--a, teal)"/></g>',
    "itself from outside": '<g style="--a:red"><g style="--a:var(--a, red)">'
    f'<rect {INK} fill="var(--a, teal)"/></g></g>',
    "taken back": f'<g style="--a:red"><g style="--a:initial"><rect {INK} fill="var(--a, teal)"/></g></g>',
    "taken back in place of none": '<g fill="red">'
    f'<rect {INK} style="--a:var(--gone, initial);fill:var(--a, teal)"/></g>',
    "inherited in place of none": '<g style="--a:teal">'
    f'<rect {INK} style="--a:var(--gone, inherit);fill:var(--a, red)"/></g>',
    "all by name": f'<g fill="teal"><g fill="red" style="all:var(--gone, unset)"><rect {INK}/></g></g>',
    "inherited by name": f'<g style="--a:teal"><g style="--a:inherit"><rect {INK} fill="var(--a, red)"/></g></g>',
    "through use": f'<defs><rect id="r" {INK} fill="var(--ink, red)"/></defs><use href="#r" style="--ink:teal"/>',
    "lengths and a transform": f'<g style="--w:6px;--by:20px"><rect {INK} fill="none" stroke="teal" '
    'style="stroke-width:var(--w);transform:translate(var(--by),var(--by))"/></g>',
    "shown and hidden": f'<g style="--on:inline;--off:none"><rect {INK} fill="teal" style="display:var(--on)"/>'
    '<rect width="90" height="90" style="display:var(--off)"/></g>',
    "all leaves it": f'<g style="--ink:teal"><g style="all:unset"><rect {INK} fill="var(--ink)"/></g></g>',
    "words stay apart": '<g style="--d:9"><path d="M10 50H90" stroke="teal" stroke-width="6" '
    'style="stroke-dasharray:3 var(--d)var(--d)3"/></g>',
}
INKS = ("lab(50% 40 20)", "lch(60% 50 120)", "oklab(.6 .1 -.05)", "oklch(70% .12 250)", "lab(29.2 39.3 20)",
        "color(srgb 1 50% none)", "Color(SRGB .501 .502 .2)", "color(display-p3 .5 .5 .2)",
        "color(display-p3 20% .3 .4)", "color(srgb-linear .5 .5 .2)", "color(xyz .2 .2 .2)",
        "color(xyz-d50 .2 .2 .2)", "color(xyz-d65 .3 .3 .1)", "rgb(300 0 0)")  # fmt: skip
PROBES |= {
    f"colour {ink}": f'<rect {INK} fill="{ink}"/><g style="fill:gold"><circle cx="75" cy="75" r="20"/></g>'
    for ink in INKS
}
SHEETS = {
    "supports a colour": "@supports (fill: teal) { rect { fill: teal } }",
    "supports no longer": "rect { fill: teal } @supports not (stroke-width: 3px) { rect { fill: red } }",
    "supports both": "@supports (opacity: .5) and (--a: b) { rect { fill: teal } }",
    "supports either": "@supports (thread: 3) or (fill: url(#a)) { rect { fill: teal } }",
    "supports in brackets": "@supports ((display: grid) and (not (r: 3px))) or (color: color(display-p3 1 1 1)) "
    "{ rect { fill: teal } }",
    "supports a side": "@supports (width: 3px) and (r: 0) { rect { fill: teal } }",
    "supports within another": "@supports (fill: red) { @media print, screen { rect { fill: teal } } }",
    "supports without a brace": "@supports (fill: red) { rect { fill: teal }",
    "layer below no layer": "rect { fill: teal } @layer a { rect#r { fill: red } }",
    "layers by their place": "@layer b { rect#r { fill: red } } @layer a { rect { fill: teal } }",
    "layers by their list": "@layer b, a; @layer a { rect { fill: teal } } @layer b { rect { fill: red } }",
    "layers that are important": "@layer a { rect { fill: teal !important } } "
    "@layer b { rect { fill: red !important } } rect { fill: red !important }",
    "layer within a layer": "@layer a { @layer b { rect { fill: red } } rect { fill: teal } }",
    "layer within a layer, important": "@layer a { @layer b { rect { fill: teal !important } } "
    "rect { fill: red !important } }",
    "layers by their dots": "@layer a.b { rect { fill: red } } @layer a { @layer c { rect { fill: red } } } "
    "@layer a.c { rect { fill: teal } } @layer a.b { rect { fill: red } }",
    "layers without a name": "@layer { rect { fill: red } } @layer { rect { fill: teal } }",
    "layer over what an attribute says": "@layer a { rect { fill: teal } }",
    "layer named in what does not hold": "@media speech { @layer b { } } @layer a { rect { fill: red } } "
    "@layer b { rect { fill: teal } }",
    "layers of two sheets": "@layer b, a; </style><style>@layer a { rect { fill: teal } }</style><style>"
    "@layer b { rect { fill: red } }",
}  # fmt: skip
PROBES |= {name: f'<style>{sheet}</style><rect id="r" {INK} fill="gold"/>' for name, sheet in SHEETS.items()}
PROBES["style over layers"] = (
    "<style>@layer a { rect { fill: red !important; stroke: red } }</style>"
    f'<rect {INK} stroke-width="5" style="fill: teal !important; stroke: teal"/>'
)
PROBES |= {
    f"font {font}": f'<g style="font-size:30px;line-height:3;font:{font}"><rect width="2em" height="1lh"/></g>'
    for font in (
        "italic bold 10px/20px serif", "10px/1.5 'A B', serif", "50%/2em A B", "1em/2em A",
        "small-caps 400 condensed oblique 10px / 20px A", "calc(5px + 5px)/calc(10px * 2) A", "bold 10px/120% A",
        "normal normal normal normal 10px/2 A", "10px/2 serif;font-size:5px",
        # in error, and passed over:
        "10 serif", "10px", "bold serif", "10px 'A' B", "10px A,", "normal normal normal normal normal 10px A",
        "-3px A", "italic italic 10px A", "10px A 5", "10px initial", "10px/2 A, inherit", "0 10px A", "1200 A", "",
    )
}  # fmt: skip
PROBES |= {
    "line heights inherited": '<g font-size="10" style="line-height:200%"><rect font-size="30" width="9" height="1lh"/>'
    '<g style="line-height:2"><rect font-size="15" x="20" width="9" height="1lh"/></g><rect font-size="3" x="40" '
    'width="9" height="1lh" style="line-height:normal"/></g>',
    "font taken back": '<g style="font-size:10px;line-height:2"><g style="font:30px/1 A">'
    '<rect width="1em" height="1lh" style="font:unset"/><g style="font:initial"><rect x="50" width="1em" height="9"/>'
    "</g></g></g>",
}
PROBES |= {
    "symbol of its own size": '<symbol id="s" x="10" y="20" width="40" height="30" viewBox="0 0 9 9"><circle cx="4" '
    'cy="4" r="5" fill="teal"/></symbol><use href="#s" x="20" y="5"/><use href="#s" y="50" width="20"/>',
    "extension that browsers have": f'<rect {BOX} requiredExtensions="http://www.w3.org/1999/xhtml '
    'http://www.w3.org/1998/Math/MathML"/>',
    "extension among others": f'<g fill="red"><rect {INK} requiredExtensions="http://www.w3.org/1999/xhtml '
    f'http://a.invalid/"/></g><circle r="20"/>',
    "no extension": f'<g fill="red"><rect {INK} requiredExtensions=" "/></g><circle r="20"/>',
    "switch past a condition of nothing": f'<switch><rect {INK} fill="red" requiredExtensions=""/>'
    f"<rect {BOX}/></switch>",
}
BOXED = '<clipPath id="c" clipPathUnits="objectBoundingBox"><path d="M0 0H.5V1H0Z"/></clipPath>'
POINTS = ('<path d="M80 80"/>', '<path d="m90 90M80 80z" transform="translate(5)"/>', '<polygon points="80 70 5"/>',
          '<polyline points="80,70"/>', "<path style=\"d:path('M90 9')\"/>", '<path d="M99 99M0 0H10V10M99 99"/>',
          '<rect x="90" y="90" width="0" height="5"/>', '<circle cx="90" cy="90"/>', '<polygon points=""/>',
          '<image x="40" width="50" height="9" visibility="hidden"/>', '<line x1="90" y1="30" x2="90" y2="30"/>',
          '<foreignObject x="80" width="9" height="9" visibility="hidden"/>',
          '<path d=""/>')  # fmt: skip
PROBES |= {
    f"box with {point}": f'{BOXED}<g clip-path="url(#c)"><rect {INK} fill="teal"/>{point}</g>' for point in POINTS
}
AT = 'x="10" y="10" height="40" fill="teal"'
THICK = 'd="M10 60L50 20L90 60" fill="none" stroke="teal"'
PROBES |= {
    f"sum {text}": f'<rect {AT} width="{text}"/>'
    for text in (
        "calc(20px + 10%)", "calc(2 * 10px)", "min(30px, 50%)", "calc((20px + 10px) * 1.5)",
        "calc(2 * calc(10px + 5%))", "calc(1em + 1mm)", "CALC(20PX + 3PX)", "calc(90px / 3 - -5px)",
        "clamp(10px, 50%, 30px)", "calc(50% - max(10px, 5%, 1em))",
    )
}  # fmt: skip
PROBES |= {
    "sums of a circle": '<circle cx="calc(50% - 10px)" cy="calc(25 * 2)" r="9" style="r:calc(10% + 5px)"/>',
    "sum of a corner": f'<rect {AT} style="width:calc(60px);rx:calc(2px * 5);ry:calc(2px - 5px)"/>',
    "sums of a line": '<line x1="10" y1="50" x2="calc(50% + 10px)" y2="50" stroke="red" stroke-width="4"/>',
    "sum with a variable": f'<g style="--w:10px"><rect {AT} style="width:calc(var(--w) * 3 + var(--w))"/></g>',
    "variable that is a sum": f'<g style="--w:calc(10px + 1%)"><path {THICK} style="stroke-width:var(--w)"/></g>',
    "sum of a pen": f'<g style="stroke-width:calc(10% - 2px)"><path {THICK}/></g>',
    "sum of a pen in its font": '<g font-size="6" style="stroke-width:calc(1em + 2px)">'
    f'<path font-size="1" {THICK}/></g>',
    "sum of a pen without a unit": f'<path {THICK} style="stroke-width:calc(2 * 3)"/>',
    "sum of a pen below nothing": f'<circle r="50"/><path {THICK} style="stroke-width:calc(2px - 3px)"/>',
    "sum of a side below nothing": f'<circle r="50"/><rect {AT} width="calc(30px - 40px)"/>',
    "sums of dashes": f'<path {THICK} style="stroke-width:6;stroke-dasharray:calc(2px * 5), calc(1px + 4px) 3;'
    'stroke-dashoffset:calc(5px * 2)"/>',
    "sum of a miter": f'<path {THICK} style="stroke-width:8;stroke-miterlimit:calc(1 + .2)"/>',
    **{
        f"slip of rounding {where}": f'<path d="M20 30L80 35 {knots}" fill="none" stroke="teal" stroke-width="8"/>'
        for where, knots in (
            ("at the close", "50 80 20 30.000004Z"),
            ("beside the close", "50 80 20.000004 30Z"),
            ("on the way", "80 35.000004 50 80Z"),
            ("of a curve", "C70 40 60 60 50 80L50.000004 80 20 30Z"),
        )
    },
    **{
        f"miter limit of {limit}": f'<path {THICK} style="stroke-width:20;stroke-miterlimit:{limit}"/>'
        for limit in ("0", ".0", ".5", "-1", "calc(1 - 3)")
    },
    "sum of a font": '<g font-size="10"><g style="font-size:calc(50% + 2px)"><rect width="2em" height="1em"/></g></g>',
    "sum of a line's height": '<g style="line-height:calc(10px * 2)"><rect width="1lh" height="10"/></g>',
    "sum of an opacity": f'<circle r="50"/><rect {AT} width="90" style="opacity:calc(1 / 2 - .5)"/>',
    "sums of a nested page": '<svg width="calc(50% - 10px)" height="40"><rect width="100%" height="100%"/></svg>',
    "sums of a use": f'<defs><rect id="r" {AT} width="9"/></defs><use href="#r" x="calc(10px + 20%)" y="10"/>',
    "sums of a clip's box": '<mask id="m" maskUnits="userSpaceOnUse" x="calc(20px + 5%)" y="0" width="calc(2 * 20px)" '
    f'height="99"><path d="M0 0h99v99H0z" fill="#fff"/></mask><g mask="url(#m)"><rect {AT} width="80"/></g>',
}
DOTS = '<rect width="9" height="8" fill="gold"/><circle cx="4" cy="4" r="2.5" fill="crimson"/>'
USER = 'patternUnits="userSpaceOnUse"'
FILLED = '<path d="M10 10H90L70 90H20Z" fill="url(#p)" stroke="teal" stroke-width="4"/>'
PROBES |= {
    "pattern": f'<pattern id="p" {USER} width="9" height="8">{DOTS}</pattern>{FILLED}',
    "pattern from elsewhere": f'<pattern id="p" {USER} x="-31" y="140" width="9" height="8">{DOTS}</pattern>{FILLED}',
    "pattern with gaps": f'<pattern id="p" {USER} width="14" height="11">{DOTS}</pattern>{FILLED}',
    "pattern turned": f'<pattern id="p" {USER} width="9" height="8" patternTransform="rotate(30) scale(1.5 1)">{DOTS}'
    f"</pattern>{FILLED}",
    "pattern under a transform": f'<pattern id="p" {USER} width="9" height="8">{DOTS}</pattern>'
    f'<g transform="rotate(-15 50 50) scale(.9)">{FILLED}</g>',
    "pattern cut at its tile": f'<pattern id="p" {USER} width="12" height="12" overflow="visible">'
    '<path d="M-3 3H15M-3 9H15" stroke="crimson" stroke-width="2"/><circle cx="12" cy="12" r="4"/></pattern>'
    '<circle cx="50" cy="50" r="40" fill="url(#p)"/>',
    "pattern by the box": f'<pattern id="p" x=".1" y="10%" width=".2" height="25%">{DOTS}</pattern>{FILLED}',
    "pattern by the box within too": '<pattern id="p" width=".25" height=".25" patternContentUnits="objectBoundingBox">'
    f'<circle cx=".1" cy=".12" r=".08" fill="crimson"/></pattern>{FILLED}',
    "pattern with a view box": f'<pattern id="p" {USER} width="20" height="10" viewBox="0 0 9 8" '
    f'preserveAspectRatio="xMaxYMid">{DOTS}</pattern>{FILLED}',
    "pattern after another": f'<pattern id="q" {USER} width="9" height="8" fill="crimson"><circle cx="4" cy="4" r="3"/>'
    f'</pattern><pattern id="p" href="#q" patternTransform="rotate(45)"/>{FILLED}',
    "pattern of a group": f'<pattern id="p" {USER} width="9" height="8">{DOTS}</pattern>'
    '<g fill="url(#p)"><circle cx="30" cy="30" r="20"/>'
    '<path d="M50 50h40v40h-40zM60 60h20v20h-20z" fill-rule="evenodd"/></g>',
    "pattern without a size": f'<rect {BOX}/><pattern id="p" {USER} width="9">{DOTS}</pattern>{FILLED}',
    "pattern within a pattern": f'<pattern id="q" {USER} width="3" height="3"><rect width="2" height="2"/></pattern>'
    f'<pattern id="p" {USER} width="20" height="18"><rect width="15" height="15" fill="url(#q)"/></pattern>{FILLED}',
}
PAINTED = f'<rect {BOX}/><path d="M10 70H90" fill="none" stroke="crimson" stroke-width="30"/>'
WHITE = '<rect width="100" height="100" fill="white"/>'
PROBES |= {
    "mask that keeps a shape": '<mask id="m" fill="white"><circle cx="45" cy="45" r="28"/></mask>'
    f'<g mask="url(#m)">{PAINTED}</g>',
    "mask that cuts holes": f'<mask id="m">{WHITE}<circle cx="40" cy="30" r="9"/><path d="M20 60h40v30z"/>'
    f'<circle cx="40" cy="70" r="4" fill="white"/></mask><g mask="url(#m)">{PAINTED}</g>',
    "mask by alpha": '<mask id="m" style="mask-type:alpha"><circle cx="45" cy="45" r="28" fill="#d9d9d9"/>'
    f'<circle cx="45" cy="45" r="9"/></mask><g mask="url(#m)">{PAINTED}</g>',
    "mask by a reference": '<defs><path id="p" d="M20 20H80V90Z"/></defs><mask id="m" fill="white"><use href="#p"/>'
    f'</mask><use href="#p" fill="gold"/><g mask="url(#m)">{PAINTED}</g>',
    "mask of strokes": '<mask id="m"><path d="M10 20L90 80" stroke="white" stroke-width="20" fill="none"/></mask>'
    f'<g style="mask:url(#m)">{PAINTED}</g>',
    "mask's usual region": f'<mask id="m">{WHITE}</mask><path d="M20 30V70H70V30Z" mask="url(#m)" fill="gold" '
    'stroke="teal" stroke-width="24"/>',
    "mask's own region": f'<mask id="m" maskUnits="userSpaceOnUse" x="25" y="10%" width="40" height="60">{WHITE}</mask>'
    f'<g mask="url(#m)">{PAINTED}</g>',
    "mask in units of the box": '<mask id="m" maskContentUnits="objectBoundingBox" x="0" y="0" width="1" height=".8">'
    f'<circle cx=".5" cy=".5" r=".45" fill="white"/></mask><g mask="url(#m)">{PAINTED}</g>',
    "mask that moves with its user": f'<mask id="m" fill="white"><circle cx="40" cy="30" r="14"/></mask><g '
    f'transform="rotate(20) scale(.8 1.2)" mask="url(#m)">{PAINTED}</g><g mask="url(#m)"><rect {BOX}/></g>',
    "mask within a mask": '<mask id="a" fill="white"><rect width="45" height="99"/></mask><mask id="m"><g '
    f'mask="url(#a)">{WHITE}</g></mask><g mask="url(#m)">{PAINTED}</g>',
    "mask that is clipped away": f'<rect {BOX}/><mask id="m" width="0">{WHITE}</mask><g mask="url(#m)">{PAINTED}</g>',
    "mask and clip": '<clipPath id="c"><rect width="99" height="62"/></clipPath><mask id="m" fill="white"><circle '
    f'cx="45" cy="45" r="28"/></mask><g mask="url(#m)" clip-path="url(#c)">{PAINTED}</g>',
    "mask larger than the page": f'<mask id="m"><rect x="-900" y="-900" width="945" height="2000" fill="#fff"/></mask>'
    f'<g mask="url(#m)">{PAINTED}</g>',
}
DISC = '<circle cx="50%" cy="50%" r="{}" fill="white"/>'
BY_FONTS, BY_VIEWPORT = f'<g font-size="6"><{{0}} id="m" {{1}}>{DISC.format("3em")}</{{0}}></g>', DISC.format("20%")
PROBES |= {
    "mask in its own font's units": BY_FONTS.format("mask", "") + f'<g font-size="12" mask="url(#m)">{PAINTED}</g>',
    "mask's region in its own font's units": '<g font-size="6"><mask id="m" maskUnits="userSpaceOnUse" x="0" y="0" '
    f'width="6em" height="9em">{WHITE}</mask></g><g mask="url(#m)">{PAINTED}</g>',
    "clip in its own font's units": BY_FONTS.format("clipPath", "") + f'<g clip-path="url(#m)">{PAINTED}</g>',
    "pattern in its own font's units": f'<g font-size="6"><pattern id="m" {USER} width="3em" height="2em"><circle '
    'cx="1em" cy="1em" r="1em"/></pattern></g><circle cx="50" cy="50" r="40" fill="url(#m)"/>',
    "marker in its own font's units": '<g font-size="6"><marker id="m" overflow="visible" markerUnits="userSpaceOnUse" '
    'markerWidth="3em" markerHeight="9"><circle r="2em" fill="teal"/></marker></g>'
    '<path d="M30 30L60 60" stroke="gold" stroke-width="5" marker-start="url(#m)"/>',
    "mask in its own viewport's percents": f'<mask id="m">{BY_VIEWPORT}</mask><svg width="90" height="90" '
    f'viewBox="0 0 60 70"><g mask="url(#m)">{PAINTED}</g></svg>',
    "mask out of another viewport": f'<svg viewBox="0 0 60 70"><mask id="m">{BY_VIEWPORT}</mask></svg>'
    f'<g mask="url(#m)">{PAINTED}</g>',
    "clip in its own viewport's percents": f'<clipPath id="m">{BY_VIEWPORT}</clipPath><svg width="90" height="90" '
    f'viewBox="0 0 60 70"><g clip-path="url(#m)">{PAINTED}</g></svg>',
    "pattern in its own viewport's percents": f'<pattern id="m" {USER} width="20%" height="20%"><circle cx="5%" '
    'cy="5%" r="4%"/></pattern><svg width="90" height="90" viewBox="0 0 60 70"><rect width="40" height="40" '
    'fill="url(#m)"/></svg>',
    "mask taken back by its longhand": f'<mask id="m">{BY_VIEWPORT}</mask><g mask="url(#m)" style="mask-image:none">'
    f"{PAINTED}</g>",
    "mask by its longhand, taken back": f'<mask id="m">{BY_VIEWPORT}</mask><g style="mask-image:url(#m);mask:none">'
    f"{PAINTED}</g>",
    "mask takes no paint of its user's": f'<mask id="m"><rect width="99" height="40" fill="context-fill"/>{BY_VIEWPORT}'
    f'</mask><defs><g id="u" mask="url(#m)">{PAINTED}</g></defs><use href="#u" fill="white"/>',
    "pattern takes no paint of its user's": f'<pattern id="m" {USER} width="9" height="9"><path d="M0 0h6v6z" '
    'fill="context-fill"/><path d="M0 0v6h6z" fill="teal"/></pattern><defs><circle id="u" cx="50" cy="50" r="40" '
    'fill="url(#m)"/></defs><use href="#u" fill="red"/>',
    "mask's mode is no attribute": f'<mask id="m">{BY_VIEWPORT}</mask><g mask="url(#m)" mask-mode="alpha">'
    f"{PAINTED}</g>",
}


@pytest.fixture(scope="module")
def pictures(tmp_path_factory, system_tool):
    """What Chromium draws of each probe, by name."""
    return browser_pictures(PROBES, tmp_path_factory.mktemp("browser"), system_tool("chromium"))


@pytest.mark.parametrize("name", PROBES)
def test_a_probe_looks_as_the_browser_draws_it(pictures, name):
    artwork = read_artwork(drawing(PROBES[name], PAGE))
    assert difference_share(rendered(painted_svg(artwork, SIDE_PX, SIDE_PX), SIDE_PX), pictures[name]) <= SHARE


@pytest.mark.parametrize("ink", INKS)
def test_a_colour_is_the_one_that_the_browser_shows(pictures, ink):
    (shape, *_) = read_artwork(drawing(PROBES[f"colour {ink}"], PAGE)).shapes
    shown = pictures[f"colour {ink}"][60, 70]
    assert np.abs([int(shape.hex[i : i + 2], 16) for i in (1, 3, 5)] - shown).max() <= 1


def test_the_comparison_can_fail(pictures):
    artwork = read_artwork(drawing(f"<rect {BOX}/>", PAGE))
    plain = rendered(painted_svg(artwork, SIDE_PX, SIDE_PX), SIDE_PX)
    alike = {
        "all",
        "mask that is clipped away",
        *(name for name, body in PROBES.items() if INK in body),
    }  # these come out as the plain one, or near
    assert all(difference_share(plain, pictures[name]) > SHARE for name in PROBES if name not in alike)
    without = rendered(painted_svg(read_artwork(drawing("", PAGE)), SIDE_PX, SIDE_PX), SIDE_PX)
    assert [name for name in PROBES if difference_share(without, pictures[name]) <= SHARE] == []
