"""Markup that one browser's engine draws otherwise than is read here makes a film unsafe, shown so by its pixels."""

import pytest
from firefox import Firefox
from many_pictures import SIDE_PX, browser_pictures, cut, on_page, write_page
from rendered import difference_share, painted_svg, rendered

from vectorsep.artwork import read_artwork
from vectorsep.check.viewer import reading_findings, viewer_findings
from vectorsep.errors import ArtworkError
from vectorsep.settings import ReadOptions

SHARE = 0.0005
BOX = '<rect x="20" y="30" width="40" height="30"/>'
CORNER = '<path d="M70 70h20v20z"/>'
"""Something that all show, so that no film is empty."""
CLIP = '<clipPath id="c"><path d="M20 30h20v30h-20z"/></clipPath>'
CLIPPED = '<path d="M10 10h60v50h-60z" clip-path="url(#{})"/>'
PEN = 'fill="none" stroke="#000" stroke-width="8"'
MARKED = f'<path d="M20 30h40v30" {PEN} marker-mid="url(#m)"/>'
MARKER = '<marker id="m" markerWidth="3" markerHeight="3"><path d="M0 0h3v3z"/></marker>'


def seen_in(what, body):
    return f'<svg x="10" y="10" width="50" height="50" {what}>{body}</svg>'


DISC = '<circle cx="25" cy="25" r="25"/>'
UNLIKE = {
    "a polygon's numbers parted by a dot": '<polygon points="20.5.5 60 30 60 60"/>',
    "a view box without spaces": seen_in('viewBox="0-5 50 100"', DISC),
    "a fit in one word": seen_in('viewBox="0 0 50 100" preserveAspectRatio="xMinYMinslice"', DISC),
    "a paint of who uses it": f'<g fill="context-fill">{BOX}</g>',
    "a miter limit beyond all": f'<path d="M30 60L40 20L50 60" {PEN} stroke-miterlimit="1e39"/>',
    "dashes that begin far off": f'<path d="M10 40H60" {PEN} stroke-dasharray="10 5" stroke-dashoffset="1e39"/>',
    "a marker in what is hidden": f'<g display="none">{MARKER}</g>{MARKED}',
    "square dashes without length": f'<path d="M20 50L50 20L60 50" {PEN} stroke-linecap="square" '
    'stroke-dasharray="0 14"/>',
    "an open ring": f'<path d="M20 20h40v30h-40L20 20" {PEN}/>',
    "a pen wider than its ring": '<circle cx="40" cy="40" r="20" fill="none" stroke="#000" stroke-width="60"/>',
    "a pen wider than its oval": f'<ellipse cx="50" cy="45" rx="15" ry="10" {PEN[:-2]}38"/>',
    "a pen wider than its open ring": f'<path d="M30 40A10 10 0 1 1 30 40.01A10 10 0 0 1 30 40" {PEN[:-2]}50"/>',
    "a page within of more than a number holds": seen_in('viewBox="0 0 50 1e39"', DISC),
    "a closed point, dashed": f'<path d="M20 50Z" {PEN} stroke-linecap="round" stroke-dasharray="0 5"/>',
}
UNLIKE_OF_WEBKIT = {
    "a nested page that is moved": seen_in('transform="translate(20 10)"', DISC),
    "collapsed": f'<g visibility="collapse">{BOX}</g>',
    "collapsed by a style": f'<g style="fill:red;visibility:collapse">{BOX}</g>',
    "collapsed by a rule": f"<style>rect{{visibility:collapse}}</style>{BOX}",
    "collapsed behind a comment": BOX.replace("/>", ' style="fill:#000;/* a */visibility:collapse"/>'),
    "collapsed by a rule, behind a comment": f"<style>rect{{fill:#000;/*;*/visibility:collapse}}</style>{BOX}",
    "the outermost element hidden by a rule, behind a comment": f"<style>/*{{*/svg{{display:none}}</style>{BOX}",
    "a clip of two shapes": '<clipPath id="c"><path d="M10 5h9v9h-9z"/><path d="M30 5h9v9h-9z"/></clipPath>'
    f'<path d="M10 10h50" {PEN} clip-path="url(#c)"/>',
    "a clip of a clipped shape": f'{CLIP}<clipPath id="d"><path d="M10 5h90v90h-90z" clip-path="url(#c)"/></clipPath>'
    f'<path d="M10 40h50" {PEN} clip-path="url(#d)"/>',
    "a clip by a use of what is hidden": f'<defs><path id="h" visibility="hidden" d="M20 20h30v30z"/></defs><clipPath '
    f'id="c"><use xlink:href="#h"/></clipPath>{CLIPPED.format("c")}',
    "a use that holds a shape": f'<defs><g id="u"/></defs><use xlink:href="#u">{BOX}</use>',
    "the outermost element hidden by a rule": f"<style>svg{{display:none}}</style>{BOX}",
    "a filter that is missing": '<clipPath id="c" filter="url(#gone)"><path d="M20 30h20v30h-20z"/></clipPath>'
    + CLIPPED.format("c"),
}
"""As WebKitGTK 2.50.6 drew them; it is no part of the tests."""
REFUSED = {
    "a foreign space in a style": BOX.replace("/>", ' style="stroke:#000;stroke-width:\u00a020"/>'),
    "a foreign space behind what hides": BOX.replace("/>", ' style="display:none\u00a0"/>'),
    "a foreign space in a transform": BOX.replace("/>", ' transform="translate(20\u00a010)"/>'),
    "a foreign space between points": '<polygon points="20\u300030 60 30 60 60"/>',
    "a foreign space in a clip": '<clipPath id="c"><path d="M20 30h20v30z" transform="scale(2\u00a01)"/></clipPath>'
    + CLIPPED.format("c"),
    "a style's path in an attribute": "<path d=\"path('M20 30h40v30z')\"/>",
    "a rule by what stands around": '<style>defs rect{fill:none}</style><defs><rect id="u" width="40" height="30"/>'
    '</defs><use xlink:href="#u"/>',
    "a clip in a title": f"<title>{CLIP}</title>{CLIPPED.format('c')}",
    "a clip in a shape": f"<path>{CLIP}</path>{CLIPPED.format('c')}",
    "a clip in another program's element": f'<x xmlns="urn:x"><g xmlns="http://www.w3.org/2000/svg">{CLIP}</g></x>'
    + CLIPPED.format("c"),
    "a name with a coded sign": CLIP.replace('"c"', '"b%20c"') + CLIPPED.format("b%20c"),
}
"""What all browsers take for an error, and people for what it looks like."""


@pytest.fixture(scope="module")
def pictures(tmp_path_factory, system_tool):
    """What Firefox and Chromium draw, by name."""
    folder = tmp_path_factory.mktemp("unlike")
    bodies = {name: body + CORNER for name, body in UNLIKE.items()}
    chromium = browser_pictures(bodies, folder, system_tool("chromium"))
    with Firefox(system_tool("firefox-esr"), tmp_path_factory.mktemp("profile")) as firefox:
        firefox.resize(SIDE_PX, SIDE_PX * len(bodies))
        firefox.open(write_page(bodies, folder).as_uri())
        drawn = cut(firefox.picture(), bodies)
    return {name: (chromium[name], drawn[name]) for name in bodies}


@pytest.mark.parametrize("name", UNLIKE)
def test_what_browsers_draw_unalike_is_unsafe_on_a_film(pictures, name):
    svg = on_page(UNLIKE[name] + CORNER)
    read = read_artwork(svg, ReadOptions(as_film=True))
    here = rendered(painted_svg(read, SIDE_PX), SIDE_PX)
    assert any(difference_share(here, other) > SHARE for other in pictures[name])
    assert is_told(svg, read)


@pytest.mark.parametrize("name", UNLIKE_OF_WEBKIT)
def test_what_webkit_draws_otherwise_is_unsafe_on_a_film(name):
    svg = on_page(UNLIKE_OF_WEBKIT[name] + CORNER)
    assert is_told(svg, read_artwork(svg, ReadOptions(as_film=True)))


def is_told(svg, read):
    found = [*viewer_findings(svg, "red"), *reading_findings(read, "red")]
    return {(finding.code, finding.severity) for finding in found} == {("film-ambiguous", "unsafe")}


@pytest.mark.parametrize("name", REFUSED)
def test_what_only_people_can_read_is_refused(name):
    for options in (ReadOptions(), ReadOptions(as_film=True)):
        with pytest.raises(
            ArtworkError, match=r"programs take for none|leave out path|differ on whether|is no <clipPath> here"
        ):
            read_artwork(on_page(REFUSED[name] + CORNER), options)


@pytest.mark.parametrize("listed", ['rect fill CDATA "none"', "g a CDATA #IMPLIED\n x (a|b) #FIXED 'a'"])
def test_attributes_by_a_document_type_are_refused(listed):
    with pytest.raises(ArtworkError, match="<!ATTLIST>"):
        read_artwork(f"<!DOCTYPE svg [<!ATTLIST {listed}>]>".encode() + on_page(BOX))


@pytest.mark.parametrize("listed", ['svg xmlns:x CDATA #FIXED "http://x.org/a>b"', "rect fill CDATA #IMPLIED"])
def test_a_document_type_that_gives_no_attribute_a_value_is_none_to_mind(listed):
    """As drawings of some programs have them."""
    assert len(read_artwork(f"<!DOCTYPE svg [<!ATTLIST {listed}>]>".encode() + on_page(BOX)).shapes) == 1


@pytest.mark.parametrize(
    "body",
    [
        BOX.replace("<rect", '<rect font-family="\uff2d\uff33\u3000\u30b4\u30b7\u30c3\u30af"'),
        f'<clipPath id="c"><use xlink:href="#r" style="overflow:visible"/></clipPath><defs><rect id="r" width="9" '
        f'height="9"/></defs><g clip-path="url(#c)" transform="matrix(6.123e-17 1 -1 6.123e-17 90 0)">{BOX}</g>',
        '<a xlink:href="https://example.org/?a=1%20b"><path d="M20 20h30v30z" stroke="#000" stroke-width="2"/></a>',
        f'<path d="M20 20h40v30h-40L20 20" {PEN} stroke-linecap="round"/>',
        f'<path d="M20 50C20 10 60 10 60 50S40 60 20 50" {PEN}/>',
        f'<ellipse cx="50" cy="45" rx="30" ry="6" {PEN[:-2]}38"/>',
        '<linearGradient id="left-over"/><svg preserveAspectRatio="xMidYMid meet" viewBox="0 0 9 9"/>',
    ],
)
def test_what_browsers_draw_alike_is_not_told_of(body):
    svg = on_page(body)
    read = read_artwork(svg, ReadOptions(as_film=True))
    assert [*viewer_findings(svg, "red"), *reading_findings(read, "red")] == []


def test_of_drawings_open_rings_are_not_told():
    """There are hundreds in some; and the standard is plain (SVG 2, 13.5.4)."""
    told = [
        [notice.severity for notice in read_artwork(on_page(UNLIKE[name])).notices if notice.code == "uneven-stroke"]
        for name in ("an open ring", "a pen wider than its ring")
    ]
    assert told == [[], ["warning"]]


@pytest.mark.parametrize(
    ("how", "rule"),
    [
        ('display="none"', ""),
        ('style="/**/display:block"', ""),
        ('class="a"', ".a{display:none}"),
        ('id="b"', "#b{display:none}"),
        ('class="c"', "svg.c{display:block}"),
    ],
)
def test_the_outermost_page_that_is_hidden_or_laid_out_is_unsafe_on_a_film(how, rule):
    """WebKit shows it where it is hidden (see above)."""
    body = f"<style>{rule}</style>{BOX}"
    svg = on_page(body).replace(b"<svg", f"<svg {how}".encode(), 1)
    assert is_told(svg, read_artwork(svg, ReadOptions(as_film=True)))


@pytest.mark.parametrize(
    "body",
    [
        BOX.replace("/>", ' style="\u00a0fill:none"/>'),
        f"<style>rect{{\u00a0fill:none}}</style>{BOX}",
        f"<style>rect\u00a0{{fill:none}}</style>{BOX}",
    ],
)
def test_foreign_spaces_that_the_reader_passes_over_are_unsafe_on_a_film(body):
    svg = on_page(body + CORNER)
    assert is_told(svg, read_artwork(svg, ReadOptions(as_film=True)))


@pytest.mark.parametrize("cap", ["butt", "round", "square"])
@pytest.mark.parametrize("point", ["M20 50L20 50", "M20 50C20 50 20 50 20 50", "M33.3 50.1A10 10 0 1 1 33.3 50.1"])
@pytest.mark.parametrize("dashes", ["", "8", "0 9"])
def test_a_line_without_length_is_the_dot_that_browsers_make_of_it(cap, point, dashes):
    """A disc or a square as wide as the pen, whatever its dashes; nothing without caps. So drew Chromium, Firefox and
    WebKit."""
    svg = on_page(f'<path d="{point}" {PEN} stroke-linecap="{cap}" stroke-dasharray="{dashes or "none"}"/>{CORNER}')
    unit_mm = SIDE_PX / 100 / 96 * 25.4
    area = sum(shape.area.area for shape in read_artwork(svg).shapes) / unit_mm**2 - 200
    assert area == pytest.approx({"butt": 0, "round": 50.27, "square": 64}[cap], abs=0.1)
