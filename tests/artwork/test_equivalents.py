"""Features where the general renderer is behind the newer texts, or that it cannot show: each drawing must cover the
same areas as a plain one worked out by hand from the clause named."""

import pytest
import shapely
from svg import shapes_of

STAR = "M50 5L21 90 98 35 2 35 79 90Z"
EQUIVALENTS = {
    "SVG 2, 8.11: a stroke that does not scale, on a page where 1 unit is 1 mm": (
        '<path d="M0 5H10" transform="scale(9 4)" stroke="red" stroke-width="10" vector-effect="non-scaling-stroke"/>',
        f'<path d="M0 20H90" stroke="red" stroke-width="{10 * 25.4 / 96}"/>',
    ),
    "SVG 2, 13.5.5: a miter clipped at the limit, right angle, width 10, limit 1": (
        '<path d="M10 60H60V10" fill="none" stroke="red" stroke-width="10" stroke-linejoin="miter-clip" '
        'stroke-miterlimit="1"/>',
        # the clip line stands 5 from the corner (60, 60) along the diagonal: x + y = 120 + 5 sqrt 2
        '<path d="M10 55H55V10H65V62.071068L62.071068 65H10Z" fill="red"/>',
    ),
    "SVG 2, 13.5.5: arcs fall back to miter-clip": (
        '<path d="M10 60H60V10" fill="none" stroke="red" stroke-width="10" stroke-linejoin="arcs"/>',
        '<path d="M10 60H60V10" fill="none" stroke="red" stroke-width="10"/>',
    ),
    "SVG 2, 7.4: geometry properties in a style": (
        '<style>circle{r:20px;cx:30px}</style><circle cy="40" r="3"/>',
        '<circle cx="30" cy="40" r="20"/>',
    ),
    "SVG 2, 9.3.2: path data in a style": (
        "<style>path{d:path('M1 1h50v30z')}</style><path/>",
        '<path d="M1 1h50v30z"/>',
    ),
    "CSS Transforms 1: units in a style's transform": (
        '<rect width="20" height="10" style="transform: translate(10px, 20%) rotate(.25turn)"/>',
        '<rect width="20" height="10" transform="translate(10 20) rotate(90)"/>',
    ),
    "CSS Transforms 1, 9: transform-box fill-box": (
        '<rect x="30" y="40" width="20" height="10" transform="scale(2)" '
        'style="transform-box:fill-box;transform-origin:right bottom"/>',
        '<rect x="10" y="30" width="40" height="20"/>',
    ),
    "Selectors 4: an attribute that begins so": (
        '<style>[data-k^="y"]{fill:blue}</style><rect data-k="yes" width="40" height="40"/>',
        '<rect width="40" height="40" fill="blue"/>',
    ),
    "Selectors 4: nth-child": (
        "<style>rect:nth-child(2n){fill:red}</style><g><rect width='9' height='9'/><rect x='20' width='9' "
        "height='9'/></g>",
        "<rect width='9' height='9'/><rect x='20' width='9' height='9' fill='red'/>",
    ),
    "CSS Color 4: space-separated rgb, hwb, rebeccapurple": (
        '<rect width="9" height="9" fill="rgb(255 0 0)"/><rect x="20" width="9" height="9" fill="hwb(240 0% 0%)"/>'
        '<rect x="40" width="9" height="9" fill="rebeccapurple"/>',
        '<rect width="9" height="9" fill="#ff0000"/><rect x="20" width="9" height="9" fill="#0000ff"/>'
        '<rect x="40" width="9" height="9" fill="#663399"/>',
    ),
    "CSS Values 3, 6.2: Q is a quarter of a millimetre": (
        '<rect width="40Q" height="20Q"/>',
        '<rect width="10mm" height="5mm"/>',
    ),
    "CSS Values 3, 6.1.2: rem": ('<rect width="2rem" height="1rem" font-size="3"/>', '<rect width="32" height="16"/>'),
    "Media Queries 4: print and screen hold, other media do not": (
        "<style>@media print{rect{fill:red}}@media speech, not screen{rect{fill:blue}}</style><rect width='9' "
        "height='9'/>",
        "<rect width='9' height='9' fill='red'/>",
    ),
    'CSS Transforms 2, "Current Transformation Matrix": translate, rotate, scale, then transform': (
        '<rect width="9" height="9" style="translate:20px 30px;rotate:90deg;scale:2 300%" transform="translate(3)"/>',
        '<rect width="9" height="9" transform="translate(20 30) rotate(90) scale(2 3) translate(3)"/>',
    ),
    'CSS Transforms 2, "Individual Transform Properties": about the origin, percentages of the reference box': (
        '<rect x="20" y="20" width="20" height="10" '
        'style="transform-box:fill-box;transform-origin:center;rotate:z .25turn;translate:50% -100%"/>',
        '<rect x="20" y="20" width="20" height="10" transform="translate(10 -10) rotate(90 30 25)"/>',
    ),
    "CSS Transforms 1, 7: percentages of the reference box": (
        '<rect x="20" y="20" width="20" height="10" style="transform-box:fill-box;transform:translate(50%,-100%)"/>',
        '<rect x="30" y="10" width="20" height="10"/>',
    ),
    "Compatibility Standard, 4: -webkit-transform": (
        '<rect width="9" height="9" style="-webkit-transform:translate(9px,0);-webkit-transform-origin:5px 5px"/>',
        '<rect x="9" width="9" height="9"/>',
    ),
    "CSS Cascade 4, 3.2: all": (
        '<g fill="red"><rect width="9" height="9" fill="blue" stroke="blue" '
        'style="all:unset;width:9px;height:9px"/></g>',
        '<rect width="9" height="9" fill="red"/>',
    ),
    "SVG 2, 5.5: symbol takes a transform": (
        '<symbol id="a" transform="translate(30)"><rect width="9" height="9"/></symbol><use href="#a"/>',
        '<rect x="30" width="9" height="9"/>',
    ),
    "SVG 2, 13.7.5: auto-start-reverse": (
        '<marker id="m" markerUnits="userSpaceOnUse" markerWidth="9" markerHeight="9" orient="auto-start-reverse" '
        'overflow="visible"><path d="M0 0H8V4Z"/></marker><path d="M50 50H80" marker-start="url(#m)" fill="none"/>',
        '<path d="M50 50H42V46Z"/>',
    ),
    "SVG 2, 13.2: context-fill of the use": (
        '<defs><rect id="a" width="9" height="9" fill="context-stroke" stroke="none"/></defs><use href="#a" '
        'stroke="red"/>',
        '<rect width="9" height="9" fill="red"/>',
    ),
    "SVG 2, 5.6.2: a use gives an svg its size": (
        '<defs><svg id="a" x="10" width="5" height="5" viewBox="0 0 1 1"><rect width="1" height="1"/></svg></defs>'
        '<use href="#a" width="40" height="40"/>',
        '<rect x="10" width="40" height="40"/>',
    ),
    "CSS Masking 1, 5.1: a group in a clip path is no clip shape": (
        '<clipPath id="c"><g><rect width="99" height="99"/></g><rect width="9" height="9"/></clipPath>'
        '<rect width="50" height="50" clip-path="url(#c)"/>',
        '<rect width="9" height="9"/>',
    ),
    "SVG 2, 9.5.4: an error ends the path before it": (
        '<path d="M10 10H50V50L10 50 20#3" fill="red"/>',
        '<path d="M10 10H50V50L10 50" fill="red"/>',
    ),
    "XML 1.0, 4.4: entities are replaced": (
        '<rect width="&#57;" height="9"/>',
        '<rect width="9" height="9"/>',
    ),
}


@pytest.mark.parametrize("clause", EQUIVALENTS)
def test_a_drawing_covers_what_its_plain_twin_covers(clause):
    ours, plain = (shapes_of(body) for body in EQUIVALENTS[clause])
    assert [shape.hex for shape in ours] == [shape.hex for shape in plain]
    assert plain
    for one, other in zip(ours, plain, strict=True):
        assert shapely.symmetric_difference(one.area, other.area).area < 1e-5 * other.area.area


def test_twins_that_differ_are_told_apart():
    one, other = (shapes_of(f'<path d="{STAR}" fill-rule="{rule}"/>')[0].area for rule in ("nonzero", "evenodd"))
    assert shapely.symmetric_difference(one, other).area > 1e-5 * other.area
