"""What flat ink cannot print and nobody sees stops no job: Chromium shows nothing of it either."""

import pytest
from many_pictures import PAGE, SIDE_PX, browser_pictures
from rendered import difference_share, painted_svg, rendered
from svg import drawing, shapes_of

from vectorsep.artwork import read_artwork
from vectorsep.errors import ArtworkError
from vectorsep.settings import ReadOptions

SHARE = 0.0005
RED_PIXEL = (
    "data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAIAAACQd1PeAAAADElEQVR4nGP4z8AAAAMBAQDJ/pLvAAAAAElFTkSuQmCC"
)
ART = '<path d="M20 20H70V60Z" fill="teal"/>'
BLEND = '<linearGradient id="g"><stop stop-color="red"/><stop offset="1" stop-color="blue"/></linearGradient>'
CORNER = '<clipPath id="c"><path d="M0 0H30V30H0Z"/></clipPath>'
REGION = '<mask id="m" maskUnits="userSpaceOnUse" x="0" y="0" width="30" height="30">'


def picture(x=0, y=0, side=30, more=""):
    """A red picture of one pixel over a square."""
    place = f'x="{x}" y="{y}" width="{side}" height="{side}"'
    return f'<image id="x" {place} preserveAspectRatio="none" href="{RED_PIXEL}" {more}/>'


PASSED_OVER = {
    "picture right of the page": picture(140),
    "picture above the page": picture(10, -30),
    "picture moved off by its transform": picture(more='transform="rotate(180)"'),
    "picture moved off by its group": f'<g transform="translate(0 300)">{picture()}</g>',
    "picture off by a percentage": picture("100%"),
    "words of another language": '<foreignObject id="x" x="140" width="30" height="30"/>',
    "picture beside the clip of its group": f'{CORNER}<g clip-path="url(#c)">{CORNER}{picture(40)}</g>',
    "picture beside its own clip": CORNER + picture(40, more='clip-path="url(#c)"'),
    "picture beside the region of a mask": f'{REGION}<path d="M0 0h99v99H0z" fill="#fff"/></mask>'
    f'<g mask="url(#m)">{picture(40)}</g>',
    "picture beside a nested page": f'<svg width="30" height="30">{picture(40)}</svg>',
    "text in a nested page off this one": '<svg x="120" width="30" height="30"><text id="x" y="9">A</text></svg>',
    "text clipped away": '<clipPath id="c"/><g clip-path="url(#c)"><text y="30" letter-spacing="2">A</text></g>',
    "clips that have nothing in common": f'{CORNER}<clipPath id="d"><path d="M60 60h9v9z"/></clipPath>'
    f'<g clip-path="url(#c)"><g clip-path="url(#d)">{picture(side=99)}</g></g>',
    "gradient": BLEND + '<rect x="120" width="30" height="30" fill="url(#g)"/>',
    "gradient of a stroke": BLEND
    + '<path d="M120 0V90" stroke="url(#g)" stroke-width="20" stroke-linejoin="bevel"/>',
    "tint": '<circle cx="-40" cy="50" r="39.9" fill-opacity=".5"/>',
    "tint of a group": '<g opacity=".5"><circle cx="-40" cy="50" r="39.9"/></g>',
    "picture in the pattern of what lies off": f'<pattern id="p" width="1" height="1">{picture()}</pattern>'
    '<rect x="120" width="30" height="30" fill="url(#p)"/>',
    "picture used off the page": f'<defs>{picture()}</defs><use href="#x" x="200"/>',
}  # fmt: skip
UNTOLD = {
    "hidden text that is laid out": '<text x="20" y="50" visibility="hidden" letter-spacing="9">A</text>',
    "text without paint": '<text x="20" y="50" fill="none">A</text>',
    "text of no size": '<text x="20" y="50" font-size="0">A</text>',
}
SEEN = {
    "picture over the edge": picture(99),
    "picture turned about its own middle": picture(
        60, more='style="transform-box:fill-box;transform-origin:center;transform:rotate(170deg)"'
    ),
    "picture in a clip by its own box": '<clipPath id="c" clipPathUnits="objectBoundingBox"><path d="M0 0H1V1H0Z"/>'
    "</clipPath>" + picture(60, more='clip-path="url(#c)"'),
    "picture in a mask by its own box": '<mask id="m"><path d="M0 0h99v99H0z" fill="#fff"/></mask>'
    + picture(60, more='mask="url(#m)"'),
    "picture that may overflow": picture(140, more='overflow="visible"'),
    "picture of its own size": '<image id="x" x="140" href="a.png"/>',
    "picture with a filter": picture(140, more='filter="url(#f)"'),
    "picture between the parts of a clip": '<clipPath id="c"><path d="M0 0h9v9zM90 90h9v9z"/></clipPath>'
    f'<g clip-path="url(#c)">{picture(40, 40, 9)}</g>',
    "text beyond the page": '<text id="x" x="140" y="50" text-anchor="end">A</text>',
    "text in a nested page that may overflow": '<svg x="120" width="9" height="9" overflow="visible">'
    '<text id="x">A</text></svg>',
    "hidden text with a part that shows": '<text visibility="hidden">A<tspan id="x" visibility="visible">B</tspan>'
    "</text>",
    "stroke that reaches the page": BLEND + '<path id="x" d="M104 0V90" stroke="url(#g)" stroke-width="10"/>',
    "miter that reaches the page": BLEND
    + '<path id="x" d="M150 45L104 50L150 55" fill="none" stroke="url(#g)" stroke-width="3"/>',
    "mark on a line beyond the page": BLEND + '<marker id="m" refX="30" markerWidth="99" markerHeight="9">'
    '<path d="M0 0h9v9"/></marker><path id="x" d="M120 50h9" stroke="url(#g)" marker-start="url(#m)"/>',
    "used on the page as well": BLEND + '<defs><rect id="x" width="9" height="9" fill="url(#g)"/></defs>'
    '<use href="#x" x="200"/><use href="#x"/><use href="#x" x="300"/>',
}  # fmt: skip


@pytest.fixture(scope="module")
def pictures(tmp_path_factory, system_tool):
    """What Chromium draws of art with each thing that is passed over, by name."""
    bodies = {name: body + ART for name, body in {**PASSED_OVER, **UNTOLD, "bare": ""}.items()}
    return browser_pictures(bodies, tmp_path_factory.mktemp("unseen"), system_tool("chromium"))


@pytest.mark.parametrize("name", [*PASSED_OVER, *UNTOLD])
def test_what_is_passed_over_shows_nothing_in_the_browser(pictures, name):
    artwork = read_artwork(drawing({**PASSED_OVER, **UNTOLD}[name] + ART, PAGE))
    assert difference_share(rendered(painted_svg(artwork, SIDE_PX, SIDE_PX), SIDE_PX), pictures[name]) <= SHARE
    assert (pictures[name] == pictures["bare"]).all()


def test_the_browser_shows_what_is_not_off_the_page(tmp_path, system_tool):
    (seen,) = browser_pictures({"seen": picture(99)}, tmp_path, system_tool("chromium")).values()
    assert seen[10, -1].tolist() == [255, 0, 0]


@pytest.mark.parametrize("name", PASSED_OVER)
def test_what_is_passed_over_is_told(name):
    told = [notice for notice in read_artwork(drawing(PASSED_OVER[name])).notices if notice.code == "left-out"]
    assert [notice.severity for notice in told] == ["warning"]
    assert "off the page or clipped away" in told[0].message


def test_what_is_passed_over_is_counted_once_however_often_it_is_met():
    text = '<clipPath id="c"/><text clip-path="url(#c)">A</text>'
    body = f'<defs>{picture()}</defs><use href="#x" x="200"/><use href="#x" x="300"/>{picture(140)}{text}'
    (told,) = read_artwork(drawing(body)).notices
    assert told.message.endswith('could not print it: 3 elements, the first <image id="x"> at line 1')


@pytest.mark.parametrize("name", SEEN)
def test_what_may_be_seen_is_refused(name):
    with pytest.raises(ArtworkError) as caught:
        read_artwork(drawing(SEEN[name]))
    assert "x" in [offence.place.id for offence in caught.value.offences]


@pytest.mark.parametrize("name", [*PASSED_OVER, *UNTOLD])
def test_a_film_is_refused_whatever_is_seen_of_it(name):
    with pytest.raises(ArtworkError):
        read_artwork(drawing({**PASSED_OVER, **UNTOLD}[name] + ART), ReadOptions(as_film=True))


def test_a_picture_takes_part_in_the_box_of_its_group():
    """SVG 2, 8.10: all graphics elements do, hidden ones too; Chromium's getBBox tells 80 x 30 for this group."""
    box = '<clipPath id="c" clipPathUnits="objectBoundingBox"><path d="M0 0h.5v1h-.5z"/></clipPath>'
    hidden = picture(25, more='visibility="hidden" transform="translate(25)"')
    (shape,) = shapes_of(f'{box}<g clip-path="url(#c)"><path d="M0 0h60v10h-60z"/>{hidden}</g>')
    assert shape.area.bounds == pytest.approx((0, 0, 40, 10))


@pytest.mark.parametrize("thing", ['<text y="30" visibility="hidden">A</text>', '<image href="a.png"/>'])
@pytest.mark.parametrize(
    ("defined", "used"),
    [
        ('<clipPath id="c" clipPathUnits="objectBoundingBox"><path d="M0 0h1v1z"/></clipPath>', 'clip-path="url(#c)"'),
        ('<mask id="c" maskContentUnits="objectBoundingBox"/>', 'mask="url(#c)"'),
        ("", 'style="transform-box:fill-box;transform-origin:center;transform:scale(2)"'),
    ],
)
def test_what_goes_by_a_box_of_unknown_size_is_refused(thing, defined, used):
    """A box around text goes by its letters, and so by its font (SVG 2, 8.10)."""
    with pytest.raises(ArtworkError, match="a box around text in a font that lacks"):
        read_artwork(drawing(f'{defined}<g {used}>{thing}<path d="M0 0h9v9z"/></g>'))
