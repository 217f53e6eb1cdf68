"""What means something to Chromium and cannot be read here is refused; what Chromium passes over changes nothing."""

import pytest
from many_pictures import PAGE, SIDE_PX, browser_pictures
from rendered import difference_share, painted_svg, rendered
from svg import drawing

from vectorsep.artwork import read_artwork
from vectorsep.errors import ArtworkError

SHARE = 0.0005
BOX = 'x="20" y="20" width="30" height="20" fill="teal"'
LINE = '<path d="M10 50H90" stroke="teal" {}/>'
TURNED = f'<rect {BOX} style="transform:rotate(40deg);transform-origin:{{}}"/>'
RED = '<path d="M0 0h50v50H0z" fill="red"/>'
PIXEL = (
    "data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAIAAACQd1PeAAAADElEQVR4nGP4z8AAAAMBAQDJ/pLvAAAAAElFTkSuQmCC"
)
XHTML = 'xmlns="http://www.w3.org/1999/xhtml"'

UNREAD_WIDTHS = (
    "hypot(12px,16px)", "abs(-20px)", "round(19px,5px)", "sqrt(400)", "5vmin", "10vmax", "10vi", "10svw", "10cqw",
    "3rch", "1e400",
)  # fmt: skip
REFUSED = {f"width {width}": LINE.format(f'stroke-width="{width}"') for width in UNREAD_WIDTHS}
REFUSED |= {f"width by style {width}": LINE.format(f'style="stroke-width:{width}"') for width in UNREAD_WIDTHS}
for x in ("20vmin", "20vw", "abs(-20px)"):
    REFUSED[f"place of a use {x}"] = f'<defs><rect id="r" {BOX}/></defs><use href="#r" x="{x}"/>'
    REFUSED[f"place of a nested page {x}"] = f'<svg x="{x}"><rect {BOX}/></svg>'
REFUSED |= {
    "opacity by a function": f'<rect {BOX} style="opacity:round(.3,1)"/>',
    "offset of dashes": LINE.format('stroke-width="9" stroke-dasharray="9 5" stroke-dashoffset="5vmin"'),
    "dashes by a length of path": LINE.format('stroke-width="9" pathLength="4" stroke-dasharray="1"'),
    "region of a mask": '<mask id="m" maskUnits="userSpaceOnUse" x="30vmin" y="0" width="99" height="99">'
    f'<path d="M0 0h99v99H0z" fill="#fff"/></mask><rect {BOX} mask="url(#m)"/>',
    "tile": '<pattern id="p" patternUnits="userSpaceOnUse" x="5vmin" width="10" height="10">'
    '<path d="M0 0h5v5H0z"/></pattern><rect x="9" width="80" height="80" fill="url(#p)"/>',
    "place of a marker": f'<marker id="m" refX="5vmin" overflow="visible">{RED}</marker>'
    '<path d="M40 40h9" marker-start="url(#m)"/>',
    "marker that overflows": f'<marker id="m" style="overflow:visible visible">{RED}</marker>'
    '<path d="M40 40h9" marker-start="url(#m)"/>',
    "child of a clip": f'<clipPath id="c"><rect width="40" height="40" style="display:contents"/></clipPath>'
    f'<g clip-path="url(#c)">{RED}</g>',
    "clip by more than a path": f'<clipPath id="c"/><rect {BOX} clip-path="url(#c) fill-box"/>',
    "shape without a box": f'<rect {BOX} display="contents"/>',
    "group without its transform": f'<g display="contents" transform="translate(20)"><rect {BOX}/></g>',
    "outline": f'<rect {BOX} style="outline:9px solid red"/>',
    "outline by its style": f"<style>rect{{outline-style:solid;outline-width:9px}}</style><rect {BOX}/>",
    "content that is not laid out": f'<g style="content-visibility:hidden"><rect {BOX}/></g>',
    "transform by the stroke's box": f'<rect {BOX} stroke="red" stroke-width="20" '
    'style="scale:50%;transform-box:stroke-box"/>',
    "overflow of one way": f'<svg width="40" height="30" style="overflow-x:visible;overflow-y:visible">{RED}</svg>',
    "overflow of two words": f'<svg width="40" height="30" overflow="visible hidden">{RED}</svg>',
    "overflow of its parent": f'<svg width="40" height="30" style="overflow:inherit">{RED}</svg>',
    "overflow of a symbol": f'<symbol id="s" width="40" height="30" style="overflow-x:visible">{RED}</symbol>'
    '<use href="#s"/>',
    "nested page placed by a style": f'<svg style="x:30px"><rect {BOX}/></svg>',
    "size without a unit in a sheet": f"<style>rect{{width:60}}</style><rect {BOX}/>",
    "space between style's values": f'<rect {BOX} style="transform:translate(20px 20px)"/>',
    "number in a style's transform": f'<rect {BOX} style="transform:rotate(20)"/>',
    "unit in an attribute's transform": f'<rect {BOX} transform="rotate(20deg)"/>',
    "percentage in an attribute's transform": f'<rect {BOX} transform="translate(10%)"/>',
    "newer transform in an attribute": f'<rect {BOX} transform="translateX(20)"/>',
    "transform in capitals": f'<rect {BOX} transform="TRANSLATE(20)"/>',
    "transform with a dot": f'<rect {BOX} transform="scale(2.)"/>',
    "transform with a comma behind": f'<rect {BOX} transform="translate(20 20),"/>',
    "width with a dot": LINE.format('stroke-width="20."'),
    "opacity with a dot": f'<rect {BOX} opacity="0."/>',
    "empty place in dashes": LINE.format('stroke-width="9" stroke-dasharray="10,,5"'),
    "hue among commas": f'<rect {BOX} style="fill:hsl(120,100,50)"/>',
    "web page's sheet": f"<style {XHTML}>rect{{fill:red}}</style><rect {BOX}/>",
    "web page's link": f'<link {XHTML} rel="stylesheet" href="data:text/css,rect{{fill:red}}"/><rect {BOX}/>',
    "other namespace": f"<style>@namespace url(http://a.invalid/);rect{{fill:red}}</style><rect {BOX}/>",
    "no layer": f"<style>@layer a b{{rect{{fill:red}}}}</style><rect {BOX}/>",
    "layer by a number": f"<style>@layer 1{{rect{{fill:red}}}}</style><rect {BOX}/>",
    "no medium behind a comma": f"<style>@media speech,{{rect{{fill:red}}}}</style><rect {BOX}/>",
    "use turned about its own middle": f'<defs><rect id="r" {BOX}/></defs><use href="#r" x="20" '
    'style="transform-box:fill-box;transform-origin:center;transform:rotate(90deg)"/>',
    "shown within what is hidden": '<foreignObject visibility="hidden" width="90" height="90">'
    f'<svg visibility="visible">{RED}</svg></foreignObject>',
    "picture made wide by a style": f'<image x="-20" width="9" height="9" href="{PIXEL}" preserveAspectRatio="none" '
    'style="inline-size:90px;block-size:90px"/>',
    "outline of a picture off the page": f'<image x="120" width="9" height="9" href="{PIXEL}" '
    'style="outline:150px solid red"/>',
    "picture moved off by a unit": f'<g transform="translate(200px)"><image width="9" height="9" href="{PIXEL}"/></g>',
}
REFUSED |= {
    f"supports {condition}": f"<style>@supports ({condition}){{rect{{fill:red}}}}</style><rect {BOX}/>"
    for condition in (
        "stroke-width:-1px", "r:-1px", "fill:url(#a) foo", "stroke-linejoin:arcs", "fill:hsl(1,1,1)",
        "stroke-width:2.", "r:3", "width:3",
    )
}  # fmt: skip
for name, hidden in (("visibility", "hidden"), ("display", "none"), ("opacity", "0")):
    REFUSED |= {
        f"{name} of a lower layer": f"<style>rect{{{name}:{hidden}}} rect{{{name}:revert-layer}}</style><rect {BOX}/>",
        f"{name} of the sheets": f'<rect {BOX} style="{name}:{hidden};{name}:revert-layer"/>',
    }
REFUSED |= {
    "all of a lower layer": f"<style>rect{{display:none}} rect{{all:revert-layer}}</style><rect {BOX}/>",
    "width of a lower layer": f"<style>rect{{stroke-width:30px}} rect{{stroke-width:revert-layer}}</style>"
    f'<rect {BOX} stroke="red"/>',
}
BROUGHT_IN = f'<defs><circle/><rect id="r" {BOX}/></defs><use href="#r"/>'
AROUND = ("svg rect", "defs > rect", ":root rect", "circle + rect", "rect:nth-child(2)", "rect:first-child")
REFUSED |= {f"rule for {rule} beside a use": f"<style>{rule}{{fill:red}}</style>{BROUGHT_IN}" for rule in AROUND}
REFUSED["rule around what a clip uses"] = (
    f'<style>defs rect{{visibility:hidden}}</style><defs><rect id="r" {BOX}/></defs><clipPath id="c">'
    f'<use href="#r"/></clipPath><g clip-path="url(#c)">{RED}</g>'
)
CLIP = '<clipPath id="c"><path d="M20 20h10v20h-10z"/></clipPath>'
GREY = '<pattern id="p" width="1" height="1"><path d="M0 0h99v99z" fill="#888"/></pattern>'
STEPS = '<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="30" x2="30.1"><stop/></linearGradient>'
HELD = {"title": "title", "path": "path", "text": "text", "another namespace": 'x xmlns="urn:x"'}
for where, tag in HELD.items():
    held = f'<{tag}><g xmlns="http://www.w3.org/2000/svg">{{}}</g></{tag.split(" ")[0]}>'
    REFUSED |= {
        f"clip in {where}": held.format(CLIP) + f'<rect {BOX} clip-path="url(#c)"/>',
        f"pattern in {where}": held.format(GREY) + '<rect width="50" height="50" fill="url(#p)"/>',
        f"gradient in {where}": held.format(STEPS) + '<rect width="50" height="50" fill="url(#g)"/>',
    }
ARROW = '<marker id="m" {}><path d="M0 0h3v3z"/></marker><path d="{}" stroke-width="3" stroke="red" {}="url(#m)"/>'
REFUSED |= {
    "name with a space in it": f'<defs><rect id="r" {BOX}/></defs><use href=" #r"/>',
    "name with a space within quotes": f"{CLIP}<rect {BOX} clip-path=\"url(' #c')\"/>",
    "name with a sign in code": CLIP.replace('"c"', '"c%20d"') + f'<rect {BOX} clip-path="url(#c%20d)"/>',
    "sheet with another title": f'<style title="a"/><style title="b">rect{{display:none}}</style><rect {BOX}/>',
    "rule for a language": f'<style>rect:lang(en){{fill:red}}</style><rect lang="en" {BOX}/>',
    "filling of a style's path": "<path style=\"d:path(evenodd,'M0 0h50v50z')\"/>",
    "turn of a marker with spaces": ARROW.format('orient=" auto "', "M20 20L60 60", "marker-start"),
    "marker at a move behind the line": ARROW.format("", "M20 20L60 60M80 20", "marker-end"),
    "marker behind a close": ARROW.format('orient="auto"', "M20 20H60V40zL20 80", "marker-mid"),
    "marker at a move before the line": ARROW.format("", "M80 20M20 20L60 60", "marker-start"),
    "turn of a marker where a line has no length": ARROW.format('orient="auto"', "M20 20H20L60 60", "marker-start"),
    "turn of a marker where a line closes itself": ARROW.format('orient="auto"', "M20 20H60V60L20 20z", "marker-mid"),
    "turn of a marker where a line turns back": ARROW.format('orient="auto"', "M20 20H60H20", "marker-mid"),
    "turn of a marker amid moves": ARROW.format("", "M20 20L60 60M80 20M90 9H50", "marker-mid"),
}
FAR = 'style="stroke-width:hypot(12px,16px)"'
MARK = '<path d="M0 50H99" stroke="#fff"/>'
REFUSED |= {
    "around a mask": f'<defs {FAR}><mask id="m">{MARK}</mask></defs><rect {BOX} mask="url(#m)"/>',
    "of a mask": f'<mask id="m" {FAR}>{MARK}</mask><rect {BOX} mask="url(#m)"/>',
    "of a pattern": f'<pattern id="p" width="1" height="1" {FAR}>{MARK}</pattern><rect width="80" height="80" '
    'fill="url(#p)"/>',
    "around a marker": f'<defs {FAR}><marker id="m" overflow="visible">{MARK}</marker></defs>'
    '<path d="M40 40h9" marker-start="url(#m)"/>',
    "around a clip": '<defs style="font-size:hypot(6px,8px)"><clipPath id="c"><rect width="3em" height="3em"/>'
    f'</clipPath></defs><rect {BOX} clip-path="url(#c)"/>',
    "of a gradient's stop": '<linearGradient id="g"><stop stop-color="red" style="stop-opacity:round(.3,1)"/>'
    f'</linearGradient><rect width="50" height="50" fill="url(#g)"/><rect {BOX}/>',
    "sides of a use": f'<symbol id="s" viewBox="0 0 50 50"><rect {BOX}/></symbol><use href="#s" '
    'style="width:30px;height:30px"/>',
    "middle in units of the window": TURNED.format("5vmin 5vmin"),
    "middle by a function": TURNED.format("hypot(30px,40px) 0"),
    "middle without units": TURNED.format("20 20"),
    "middle in the wrong order": TURNED.format("top 10px"),
    "middle of four": TURNED.format("right 10px bottom 10px"),
    "size by a variable without a unit": f'<g style="--w:60"><rect {BOX.replace("30", "var(--w)")}/></g>',
}
DRAWN = {f"width {width}": LINE.format(f'stroke-width="{width}"')
         for width in ("c\\61lc(20px)", "2\\63m", "/**/20", "20 /* a */", "foo", "", "-3")}  # fmt: skip
DRAWN |= {
    f"later {last}": f'<g stroke-width="20"><rect {BOX} stroke="red" style="{first};{last}"/></g>'
    for first, last in (
        ("stroke-width:9", "stroke-width:foo"), ("stroke-width:9", "stroke-width:-4"),
        ("stroke-width:9", "stroke-width:"), ("visibility:hidden", "visibility:foo"), ("display:none", "display:foo"),
        ("display:none", "display:inline flow"), ("opacity:0", "opacity:foo"), ("fill-opacity:0", "fill-opacity:"),
        ("stroke-linejoin:round", "stroke-linejoin:foo"), ("stroke-miterlimit:1", "stroke-miterlimit:.5"),
        ("font-size:9px;stroke-width:1em", "font-size:foo"),
        ("stroke-dasharray:9;stroke-dashoffset:5", "stroke-dashoffset:foo"),
    )
}  # fmt: skip
DRAWN |= {
    "width of the attribute": LINE.format('stroke-width="20" style="stroke-width:foo"'),
    "place with a comment": f'<svg x="/**/30"><rect {BOX}/></svg>',
    "hidden with a comment": f'<rect {BOX} opacity="/**/0"/>',
    "join by an escape": f'<rect {BOX} stroke="red" stroke-width="20" stroke-linejoin="r\\6fund"/>',
    "order with a comment": f'<rect {BOX} stroke="red" stroke-width="10" paint-order="/**/stroke"/>',
    "not displayed, in capitals": f"<style>rect{{display:NONE}}</style><rect {BOX}/>",
    "sizes along the lines": f'<rect {BOX} style="inline-size:60px;block-size:50px"/>',
    "overflow as it starts out": f'<svg width="40" height="30" style="overflow:initial">{RED}</svg>',
    "overflow of all": f'<svg width="40" height="30" style="all:unset">{RED}</svg>',
    "overflow as browsers start out": f'<svg width="40" height="30" overflow="visible" '
    f'style="overflow:revert">{RED}</svg>',
    "use in its place turned about its own middle": f'<defs><rect id="r" {BOX}/></defs><use href="#r" '
    'style="transform-box:fill-box;transform-origin:center;transform:rotate(90deg)"/>',
    "no outline": f'<rect {BOX} style="outline:none;outline:0 none red;content-visibility:visible"/>',
    "middle by a sum": TURNED.format("calc(50% + 10px) min(50%, 9px)"),
    "middle by words": TURNED.format("BOTTOM right 2px"),
    "middle passed over": TURNED.format("9px 9px;transform-origin:foo"),
    "middle of an attribute": f'<rect {BOX} transform="rotate(40)" transform-origin="calc(20px + 9px) 50"/>',
    **{
        f"{name} below nothing": f'<circle r="9"/><ellipse cx="60" cy="60" rx="9" ry="20" style="{name}:-5px"/>'
        f'<rect {BOX} rx="5" style="{name}:-5%"/><circle cx="60" cy="20" r="9" style="{name}:-1em"/>'
        for name in ("width", "height", "r", "rx", "ry")
    },
    "transforms of a style": f'<rect {BOX} style="transform:translate(20px,10%)translateX(1mm) scale(1.5,50%)'
    'matrix(1,0,.2,1,0,0)skew(5deg,0)rotate(0.02turn) translateY(0)"/>',
    "transforms of an attribute": f'<rect {BOX} transform="translate(5-3),scale(.5.8) skewX(9)  skewY( 3 ) '
    'rotate(9 ,50,50),matrix(1 0 .2 1 9e0 0)"/>',
    "sheet of a type in capitals": f'<style type="TEXT/CSS">rect{{fill:red}}</style><rect {BOX}/>',
    "sheet of a type with spaces": f'<style type=" text/css ">rect{{fill:red}}</style><rect {BOX}/>',
    "sheet in a child": f"<style><g>rect{{fill:red}}</g></style><rect {BOX}/>",
    "own namespace": f'<style>@namespace "http://www.w3.org/2000/svg";rect{{fill:red}}</style><rect {BOX}/>',
    "all media": f"<style>@media{{rect{{fill:red}}}}</style><rect {BOX}/>",
    "layer by an escape": "<style>@layer \\61 .-b{rect{fill:red}}@layer b{rect{fill:blue}}@layer a.-b{rect{fill:gold}}"
    f"</style><rect {BOX}/>",
    "hidden picture of a web page": f'<foreignObject visibility="hidden" width="90" height="90"/><rect {BOX}/>',
    "hues": f'<rect {BOX} style="fill:hsl(120,100%,30%);stroke:hsla(12, 90%, 40%, 1);stroke-width:5"/>'
    f'<path d="M60 60h30v30z" fill="hsl(200 90 40)"/>',
}


DRAWN |= {
    "rule around what a use holds": "<style>circle + rect{fill:red}g:first-child rect{stroke:blue}</style><defs>"
    f'<g id="g"><circle/><rect {BOX}/></g></defs><use href="#g"/>',
    "rule that a nearer one hides": f"<style>svg rect{{fill:red}}#r{{fill:blue}}</style>{BROUGHT_IN}",
    "rule for the outermost alone": f"<style>:root{{fill:red}}rect:root{{opacity:0}}</style>{BROUGHT_IN}",
    "rule around what no use brings in": f"<style>svg > circle{{fill:red}}</style>{BROUGHT_IN}",
}
DRAWN |= {
    "font's size without a unit in a sheet": "<style>g{font-size:40}</style>"
    '<g><rect width="2em" height="2em" fill="red"/></g>',
    "font's size below zero": '<g font-size="-40"><rect width="2em" height="2em" fill="red"/></g>',
    "font's largest size": '<g font-size="xxx-large"><rect width="2em" height="1em" fill="red"/></g>',
    "no namespace": f'<rect xmlns="" {BOX}/><g xmlns=""><rect xmlns="http://www.w3.org/2000/svg" {BOX}/></g>{RED}',
    "sheet in no namespace": f'<style xmlns="">rect{{fill:red}}</style><rect {BOX}/>',
    "name with a space in code": CLIP.replace('"c"', '"c d"') + f'<rect {BOX} clip-path="url(#c%20d)"/>',
    "page that is put off": '<svg width="50" height="90" viewBox="0 0 10 10" preserveAspectRatio="defer xMinYMin">'
    '<path d="M0 0h10v10z"/></svg>',
    "view box with a dot": '<svg width="50" height="50" viewBox="0 0 10. 10"><rect width="5" height="5"/></svg>',
    "point of a polygon": '<polygon points="40 40" stroke="red" stroke-width="40" stroke-linecap="round"/>',
    "point of a polyline": f'<polyline points="40 40" stroke="red" stroke-width="40" stroke-linecap="round"/>{RED}',
    "share of a marker's place": ARROW.format('refX="5%" refY="-9%" viewBox="0 0 9 9"', "M50 20L80 60", "marker-start"),
    "marker at a sharp turn": ARROW.format('orient="auto"', "M20 20H60L20 25", "marker-mid"),
    "marker without a turn where a line turns back": ARROW.format("", "M20 20H60H20", "marker-mid"),
    "units of a marker with spaces": ARROW.format('markerUnits=" userSpaceOnUse "', "M20 20L60 60", "marker-start"),
    "units of a gradient with spaces": '<linearGradient id="g" gradientUnits=" userSpaceOnUse " x1="0" x2="50">'
    '<stop offset=".5" stop-color="red"/><stop offset=".5" stop-color="blue"/></linearGradient>'
    '<rect width="60" height="60" fill="url(#g)"/>',
    "spread of a gradient with spaces": '<linearGradient id="g" spreadMethod=" repeat " x2=".5">'
    '<stop offset=".5" stop-color="red"/><stop offset=".5" stop-color="blue"/></linearGradient>'
    '<rect width="60" height="60" fill="url(#g)"/>',
}
SHADOWED = {rule: f"<style>{rule}{{opacity:0}}</style>{BROUGHT_IN}" for rule in AROUND[:-1]}
"""What would hide the rectangle where it stands, and does not where it is brought in."""


@pytest.mark.parametrize("body", REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_read_is_refused(body):
    with pytest.raises(ArtworkError):
        read_artwork(drawing(body))


@pytest.fixture(scope="module")
def pictures(tmp_path_factory, system_tool):
    return browser_pictures(DRAWN | SHADOWED, tmp_path_factory.mktemp("unread"), system_tool("chromium"))


@pytest.mark.parametrize("name", DRAWN)
def test_what_is_passed_over_is_as_in_a_browser(pictures, name):
    found = read_artwork(drawing(DRAWN[name], PAGE))
    assert difference_share(rendered(painted_svg(found, SIDE_PX), SIDE_PX), pictures[name]) < SHARE


def test_no_two_pictures_are_one(pictures):
    assert difference_share(pictures["width foo"], pictures["width /**/20"]) > 10 * SHARE


@pytest.mark.parametrize("rule", SHADOWED)
def test_a_browser_does_not_look_around_what_a_use_brings_in(pictures, rule):
    """The ground of what is refused of it here."""
    plain = read_artwork(drawing(BROUGHT_IN, PAGE))
    assert difference_share(rendered(painted_svg(plain, SIDE_PX), SIDE_PX), pictures[rule]) < SHARE
