"""One feature a probe, compared with the picture that the general renderer resvg (PyPI resvg-py) draws of it."""

import pytest
from rendered import difference_share, in_pixels, painted_svg, rendered
from svg import drawing

from vectorsep.artwork import read_artwork

SHARE = 0.0005
"""Share of differing pixels, a quarter of what the conformance suite allows."""
STAR = "M50 5L21 90 98 35 2 35 79 90Z"
WAVE = "M10 60C20 10 40 10 50 50S80 90 90 40"

PROBES = {
    "rect": '<rect x="10" y="20" width="50" height="30" fill="teal"/>',
    "rect rounded": '<rect x="10" y="20" width="50" height="30" rx="40" ry="5" fill="teal"/>',
    "rect one radius": '<rect x="10" y="20" width="50" height="30" rx="12" fill="teal"/>',
    "circle": '<circle cx="40" cy="50" r="33" fill="navy"/>',
    "ellipse": '<ellipse cx="40" cy="50" rx="33" ry="12" fill="navy"/>',
    "line": '<line x1="10" y1="10" x2="90" y2="70" stroke="red" stroke-width="6" fill="blue"/>',
    "polyline fill": '<polyline points="10,10 90,20 50,90" fill="gold" stroke="red" stroke-width="3"/>',
    "polygon": '<polygon points="10,10 90,20 50,90" fill="gold" stroke="red" stroke-width="3"/>',
    "path lines": '<path d="M10 10h30v30l-20 20H10V30z" fill="olive"/>',
    "path curves": f'<path d="{WAVE}T20 90q-30-20 0-40z" fill="olive"/>',
    "path arcs": '<path d="M20 50A30 20 30 1 1 70 60A10 40-20 0 0 20 50z" fill="olive"/>',
    "path arc too small": '<path d="M20 50A3 2 30 1 1 70 60z" fill="olive"/>',
    "nonzero": f'<path d="{STAR}" fill="purple"/>',
    "evenodd": f'<path d="{STAR}" fill="purple" fill-rule="evenodd"/>',
    "nested rings nonzero": '<path d="M10 10H90V90H10zM20 20V80H80V20zM30 30H70V70H30zM40 40H60V60H40z" fill="red"/>',
    "nested rings evenodd": '<path d="M10 10H90V90H10zM20 20H80V80H20zM30 30V70H70V30z" fill-rule="evenodd"/>',
    "overlapping rings": '<path d="M10 10H60V60H10zM40 40H90V90H40z" fill="red" fill-rule="evenodd"/>',
    "open path is filled": '<path d="M10 10L90 20 50 90" fill="gold"/>',
    "stroke butt": f'<path d="{WAVE}" fill="none" stroke="red" stroke-width="9"/>',
    "stroke round": f'<path d="{WAVE}" fill="none" stroke="red" stroke-width="9" stroke-linecap="round"/>',
    "stroke square": f'<path d="{WAVE}" fill="none" stroke="red" stroke-width="9" stroke-linecap="square"/>',
    "join miter": f'<path d="{STAR}" fill="none" stroke="red" stroke-width="4"/>',
    "join miter past limit": f'<path d="{STAR}" fill="none" stroke="red" stroke-width="4" stroke-miterlimit="2"/>',
    "join miter without points": f'<path d="{STAR}" fill="none" stroke="red" stroke-width="8" stroke-miterlimit="0"/>',
    "join round": f'<path d="{STAR}" fill="none" stroke="red" stroke-width="4" stroke-linejoin="round"/>',
    "join bevel": f'<path d="{STAR}" fill="none" stroke="red" stroke-width="4" stroke-linejoin="bevel"/>',
    "wide stroke over itself": f'<path d="{WAVE}" fill="none" stroke="red" stroke-width="30"/>',
    "dashes": '<circle cx="50" cy="50" r="40" fill="none" stroke="red" stroke-width="5" stroke-dasharray="13 7 2"/>',
    "dash offset": f'<path d="{WAVE}" fill="none" stroke="red" stroke-width="5" stroke-dasharray="9" '
    'stroke-dashoffset="-4" stroke-linecap="round"/>',
    "dashes of no length": '<path d="M10 50H90" stroke="red" stroke-width="6" stroke-dasharray="0 12" '
    'stroke-linecap="square"/>',
    "dashes of no length up to the end": '<path d="M10 50H90" stroke="red" stroke-width="6" stroke-dasharray="0 10" '
    'stroke-linecap="round"/>',
    "dashes of no length round and round": '<path d="M10 10H90V90H10z" fill="none" stroke="red" stroke-width="6" '
    'stroke-dasharray="0 10" stroke-linecap="round"/>',
    "dot round": '<path d="M50 50z" stroke="red" stroke-width="30" stroke-linecap="round"/>',
    "dot square": '<path d="M50 50L50 50" stroke="red" stroke-width="30" stroke-linecap="square"/>',
    "stroke bent by scale": '<path d="M10 10L20 90 30 10" transform="scale(3 1)" fill="none" stroke="red" '
    'stroke-width="6"/>',
    "stroke under skew": f'<path d="{WAVE}" transform="skewX(-30) translate(20)" fill="none" stroke="red" '
    'stroke-width="8" stroke-linecap="round"/>',
    "paint-order": f'<path d="{STAR}" fill="gold" stroke="red" stroke-width="9" paint-order="stroke"/>',
    "transform list": '<rect width="30" height="20" transform="translate(40,40)rotate(30 5 5) scale(1.5,-1)"/>',
    "transform matrix": '<rect width="30" height="20" transform="matrix(1 .3 -.4 1.2 30 20)" fill="red"/>',
    "transform-origin": '<rect x="40" y="30" width="30" height="20" transform="rotate(45)" '
    'transform-origin="center" fill="red"/>',
    "group inherits": '<g fill="red" stroke="blue" stroke-width="3"><rect x="5" y="5" width="40" height="40"/>'
    '<circle cx="70" cy="70" r="20" fill="lime"/></g>',
    "use": '<defs><rect id="a" width="20" height="20"/></defs><use href="#a" x="10" fill="red"/>'
    '<use xlink:href="#a" x="40" y="40" transform="rotate(10)" fill="blue"/>',
    "use of a group": '<g id="a"><circle cx="20" cy="20" r="9" fill="red"/></g><use href="#a" x="30"/>',
    "symbol": '<symbol id="a" viewBox="0 0 10 10"><circle cx="5" cy="5" r="6" fill="red"/></symbol>'
    '<use href="#a" x="5" y="5" width="40" height="60"/>',
    "symbol overflow": '<symbol id="a" viewBox="0 0 10 10" overflow="visible"><circle cx="5" cy="5" r="6"/></symbol>'
    '<use href="#a" x="25" y="25" width="40" height="40"/>',
    "nested svg": '<svg x="10" y="10" width="50" height="50" viewBox="0 0 10 20"><circle cx="5" cy="10" r="9"/></svg>',
    "nested svg slice": '<svg x="10" y="10" width="50" height="30" viewBox="0 0 10 10" '
    'preserveAspectRatio="xMidYMax slice"><circle cx="5" cy="5" r="4" fill="red"/></svg>',
    "nested svg none": '<svg x="10" y="10" width="50" height="30" viewBox="0 0 10 10" preserveAspectRatio="none">'
    '<circle cx="5" cy="5" r="4" fill="red"/></svg>',
    "nested svg percent": '<svg x="10%" y="10%" width="50%" height="50%"><rect width="50%" height="200%"/></svg>',
    "clip-path": f'<clipPath id="c"><path d="{STAR}"/></clipPath><rect width="90" height="60" clip-path="url(#c)"/>',
    "clip-path defined later": '<rect width="90" height="60" clip-path="url(#c)"/>'
    '<clipPath id="c"><circle cx="50" cy="50" r="30"/></clipPath>',
    "clip of a clip": '<clipPath id="a"><rect width="50" height="90"/></clipPath>'
    '<clipPath id="b" clip-path="url(#a)"><circle cx="50" cy="50" r="40"/></clipPath>'
    '<rect width="100" height="100" fill="red" clip-path="url(#b)"/>',
    "clip in box units": '<clipPath id="c" clipPathUnits="objectBoundingBox"><circle cx=".5" cy=".5" '
    'r=".5"/></clipPath>'
    '<rect x="10" y="10" width="70" height="40" fill="red" clip-path="url(#c)"/>',
    "clip in box units of a group": '<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/>'
    '</clipPath><g clip-path="url(#c)" fill="red"><circle cx="20" cy="30" r="15"/><rect x="60" y="60" width="30" '
    'height="9"/></g>',
    "clip-rule": f'<clipPath id="c"><path d="{STAR}" clip-rule="evenodd"/></clipPath><rect width="99" height="99" '
    'clip-path="url(#c)"/>',
    "clip with transform": '<clipPath id="c" transform="rotate(20 50 50)"><rect x="20" y="20" width="60" height="30"/>'
    '</clipPath><circle cx="50" cy="50" r="40" clip-path="url(#c)" transform="translate(5)"/>',
    "empty clip hides": '<clipPath id="c"/><rect width="99" height="99" clip-path="url(#c)"/>',
    "switch": '<switch><rect systemLanguage="xx" width="99" height="99" fill="red"/><circle cx="50" cy="50" r="9"/>'
    '<rect width="99" height="99"/></switch>',
    "display none": '<g display="none"><rect width="99" height="99"/></g><rect width="9" height="9"/>',
    "visibility": '<g visibility="hidden"><rect width="99" height="99"/><rect width="9" height="9" '
    'visibility="visible"/></g>',
    "units": '<rect x="1mm" y=".2cm" width="1in" height="20pt"/><rect x="2pc" y="30px" width="4em" height="6ex"/>',
    "percent": '<rect x="10%" y="20%" width="30%" height="40%"/><circle cx="70%" cy="70%" r="20%"/>',
    "marker": '<marker id="m" markerWidth="4" markerHeight="4" refX="2" refY="2" orient="auto"><path d="M0 0L4 2 0 4z" '
    'fill="blue"/></marker><path d="M10 80L50 20 90 80" fill="none" stroke="red" stroke-width="4" '
    'marker-start="url(#m)" '
    'marker-mid="url(#m)" marker-end="url(#m)"/>',
    "marker on curves": '<marker id="m" markerUnits="userSpaceOnUse" markerWidth="12" markerHeight="12" '
    'refX="6" refY="6" '
    f'orient="auto" viewBox="0 0 12 12"><path d="M0 0L12 6 0 12z"/></marker><path d="{WAVE}" fill="none" stroke="red" '
    'marker-mid="url(#m)" marker-end="url(#m)" marker-start="url(#m)"/>',
    "style classes": '<style>.a{fill:red}.b{stroke:blue;stroke-width:4px}</style><rect class="a b" x="9" y="9" '
    'width="60" '
    'height="60"/>',
    "style specificity": '<style>#q{fill:red}.a{fill:blue}rect{fill:lime}</style><rect id="q" class="a" width="60" '
    'height="60" fill="gold"/>',
    "style order": '<style>.a{fill:red}.a{fill:blue}</style><rect class="a" width="60" height="60"/>',
    "style important": '<style>.a{fill:red!important}</style><rect class="a" width="60" height="60" '
    'style="fill:blue"/>',
    "style combinators": '<style>g > rect{fill:red} g rect + circle{fill:blue}</style><g><rect width="40" height="40"/>'
    '<circle cx="60" cy="60" r="20"/></g>',
    "style attributes": '<style>[data-k="x"]{fill:red}</style><rect data-k="x" width="40" '
    'height="40"/><rect data-k="y" x="50" width="40" height="40"/>',
    "style beats attribute": '<style>rect{fill:blue}</style><rect width="60" height="60" fill="red"/>',
    "currentColor": '<g color="teal"><rect width="60" height="60" fill="currentColor"/></g>',
    "inherit": '<g stroke="red" stroke-width="9"><rect x="9" y="9" width="60" height="60" fill="none" '
    'stroke="inherit"/></g>',
    "colours": '<rect width="20" height="90" fill="#0a5"/><rect x="20" width="20" height="90" fill="rgb(10%,50%,90%)"/>'
    '<rect x="40" width="20" height="90" fill="hsl(30,80%,40%)"/><rect x="60" width="20" height="90" '
    'fill="CornflowerBlue"/>',
    "fallback paint": '<rect width="60" height="60" fill="url(#gone) red"/>',
    "gradient of one colour": '<linearGradient id="g"><stop stop-color="red"/><stop offset="1" stop-color="red"/>'
    '</linearGradient><rect width="60" height="60" fill="url(#g)"/>',
    "gradient of one colour by reference": '<linearGradient id="g"><stop stop-color="teal"/></linearGradient>'
    '<radialGradient id="h" href="#g"/><rect width="60" height="60" fill="url(#h)"/>',
    "a link": '<a href="#x"><rect width="60" height="60" fill="red"/></a>',
    "zero opacity": '<rect width="60" height="60" fill-opacity="0"/><rect width="20" height="20" opacity="0"/>'
    '<rect x="50" width="9" height="9"/>',
    "off the page": '<circle cx="0" cy="50" r="60" fill="red"/><rect x="-500" y="80" width="5000" height="9"/>',
    "negative sizes": '<rect x="9" y="9" width="-5" height="9"/><circle r="-4"/><rect x="50" width="9" height="9"/>',
    "singular transform": '<g transform="scale(0 1)"><rect width="9" height="9"/></g><rect x="50" width="9" '
    'height="9"/>',
}


@pytest.mark.parametrize("name", PROBES)
def test_a_probe_looks_as_the_renderer_draws_it(name):
    data = drawing(PROBES[name])
    reference = rendered(in_pixels(data))
    artwork = read_artwork(data)
    assert difference_share(rendered(painted_svg(artwork, 300, 300)), reference) <= SHARE


def test_the_probes_paint_something():
    blank = {name for name in PROBES if not read_artwork(drawing(PROBES[name])).shapes}
    assert blank == {"empty clip hides"}
