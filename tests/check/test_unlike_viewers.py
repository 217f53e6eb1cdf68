"""Markup that programs draw unalike, shown so by two of them, Chromium and resvg, makes a film unsafe."""

import pytest
from many_pictures import SIDE_PX, browser_pictures, on_page
from rendered import difference_share, painted_svg, rendered

from vectorsep.artwork import read_artwork
from vectorsep.check.viewer import reading_findings, viewer_findings
from vectorsep.cli import main
from vectorsep.errors import ArtworkError
from vectorsep.settings import ReadOptions

SHARE = 0.01
"""Of a picture's pixels; the shapes below cover a twentieth or more of it."""
BOX = '<rect id="b" class="k" x="20" y="30" width="40" height="30"/>'
CORNER = '<path d="M70 70h20v20z"/>'
"""Something that all show, so that no film is empty."""


def boxed(attributes):
    return BOX.replace("/>", f" {attributes}/>")


CLIPPED = boxed('clip-path="url(#c)"')


def unpainted(attributes):
    return f'<g fill="none">{boxed(attributes)}</g>'


def sheet(css):
    return f"<style>{css}</style>{BOX}"


UNLIKE = {
    "a sheet in no namespace": f'<style xmlns="">rect{{display:none}}</style>{BOX}',
    "a sheet of an empty type": f'<style type="">rect{{display:none}}</style>{BOX}',
    "one name twice": (
        '<clipPath id="c"><rect width="40" height="99"/></clipPath><clipPath id="c"><rect width="5" height="9"/>'
        f"</clipPath>{CLIPPED}"
    ),
    "a symbol's own size": (
        '<symbol id="s" viewBox="0 0 10 10" width="40" height="40"><rect width="8" height="8"/></symbol>'
        '<use href="#s"/>'
    ),
    "a use as wide as it likes": (
        '<symbol id="s" viewBox="0 0 10 10"><rect width="6" height="6"/></symbol>'
        '<use href="#s" width="auto" height="40"/>'
    ),
    "a page of no width": f'<svg viewBox="0 0 100 100" width="0" height="100">{BOX}</svg>',
    "a page that shows nothing": f'<svg viewBox="0 0 0 100">{BOX}</svg>',
    "a page that is put off": f'<svg viewBox="0 0 50 100" preserveAspectRatio="defer xMinYMin meet">{BOX}</svg>',
    "a width of another": BOX.replace('"40"', '"inherit"'),
    "a reference in capitals": '<clipPath id="c"><path d="M0 0h40v99z"/></clipPath>' + boxed('clip-path="URL(#c)"'),
    "a colour by a profile": unpainted('fill="#000 device-cmyk(0,0,0,1)"'),
    "a colour by a profile in a style": unpainted('style="fill:#000 cielab(0,0,0)"'),
    "corners of any width": boxed('rx="auto" ry="15"'),
    "a dot at a number's end": '<path d="M20. 30h40v30z"/>',
    "a dot at the end of a view box": '<svg width="50" height="50" viewBox="0 0 50. 100">'
    '<path d="M0 0h50v50z"/></svg>',
    "a dot at a point's end": '<polygon points="20 30 60. 30 60 60"/>',
    "an outline of one point": '<polygon points="40 40" stroke="#000" stroke-width="40" stroke-linecap="round"/>',
    "a comma before a letter": '<path d="M20 30h40,v30z"/>',
    "an exponent without digits": '<path d="M20 30h40v30e"/>',
    "a rule in capitals": '<path fill-rule="EvenOdd" d="M10 10h60v60h-60zM20 20h40v40h-40z"/>',
    "an end in capitals": '<path stroke="#000" stroke-width="40" stroke-linecap="ROUND" d="M40 40h1"/>',
    "a pen of less than nothing": f'<g stroke="#000" stroke-width="-9" fill="none">{BOX}</g>',
    "a colour without commas": boxed('fill="rgb(0 0 0 / 0)"'),
    "no paint at all": unpainted('fill=""'),
    "a paint undone": unpainted('fill="unset"'),
    "spaces around what hides": boxed('opacity=" 0 "'),
    "hidden and then otherwise": boxed('style="display:none;display:nowhere"'),
    "hidden by capitals": boxed('style="DISPLAY:none"'),
    "hidden by an escape": boxed(r'style="d\69splay:none"'),
    "a selector of a newer kind": sheet('[class="K" i]{display:none}'),
    "a selector by a space's name": sheet("*|rect{display:none}"),
    "a selector with an escape": sheet(r"\72 ect{display:none}"),
    "a declaration that is none": sheet("rect{x y z;display:none}"),
    "a web page's comment": sheet("&lt;!-- rect{display:none} --&gt;"),
}  # fmt: skip
REFUSED = {
    "a clip in no namespace": '<clipPath xmlns="" id="c"><path d="M0 0h40v99z"/></clipPath>' + CLIPPED,
    "a sheet with another title": f'<style title="a"/><style title="b">rect{{display:none}}</style>{BOX}',
    "spaces around a name": f'<defs>{BOX}</defs><use href=" #b "/>',
}
"""What some draw and browsers do not."""


@pytest.fixture(scope="module")
def pictures(tmp_path_factory, system_tool):
    bodies = {name: body + CORNER for name, body in UNLIKE.items()}
    return browser_pictures(bodies, tmp_path_factory.mktemp("unlike"), system_tool("chromium"))


@pytest.mark.parametrize("name", UNLIKE)
def test_what_programs_draw_unalike_is_unsafe_on_a_film(pictures, name):
    svg = on_page(UNLIKE[name] + CORNER)
    read = read_artwork(svg, ReadOptions(as_film=True))
    here = rendered(painted_svg(read, SIDE_PX), SIDE_PX)
    others = [pictures[name], rendered(svg.decode(), SIDE_PX)]
    assert any(difference_share(here, other) > SHARE for other in others)
    found = [*viewer_findings(svg, "red"), *reading_findings(read, "red")]
    assert {(finding.code, finding.severity, finding.plate) for finding in found} == {
        ("film-ambiguous", "unsafe", "red")
    }


@pytest.mark.parametrize(
    "body",
    [
        "<style>.cls-1,.st0{fill:#000}#ink > path, g .a *{stroke-width:.5px;stroke-dasharray:none}</style>",
        '<path d="M.5.5-.5.5 1e-3 2z" stroke-width=".5" stroke-dasharray="2,1 .5" stroke-dashoffset="-1mm"/>',
        '<svg width="100%" height="50.5" viewBox="0 0 1 1"/><polygon points="1,1 2,2"/><g id="a"/><g id="a"/>',
        '<path fill="rgb(0, 0, 0)" stroke="none" stroke-dasharray="none" fill-rule="evenodd" opacity="1"/>',
        '<path vector-effect="none" style="vector-effect:none;-draw-font-specification:serif;stroke-dashoffset:0"/>',
        '<layer xmlns="urn:drawing"><style title="a">x</style></layer>',
    ],
)
def test_what_drawing_programs_save_is_not_told_of(body):
    assert list(viewer_findings(on_page(body), "red")) == []


@pytest.mark.parametrize("name", REFUSED)
def test_what_browsers_do_not_draw_is_refused_on_a_film(name):
    with pytest.raises(ArtworkError):
        read_artwork(on_page(REFUSED[name] + CORNER), ReadOptions(as_film=True))


def test_what_of_a_film_is_in_no_namespace_is_told_and_not_read():
    svg = on_page(f'<g xmlns="">{BOX}</g>{CORNER}')
    read = read_artwork(svg, ReadOptions(as_film=True))
    assert [shape.place.element for shape in read.shapes] == ["path"]
    assert [notice.message for notice in read.notices if "being in no namespace" in notice.message]
    assert [finding.severity for finding in viewer_findings(svg, "red")] == ["unsafe"]


def test_a_film_in_no_namespace_is_told_once(pictures):
    svg = on_page(f"<g>{BOX}</g>").replace(b' xmlns="http://www.w3.org/2000/svg"', b"")
    (finding,) = viewer_findings(svg, "red")
    assert "remove <svg>, which is not in SVG's namespace" in finding.message


def test_ink_that_breaks_off_for_this_program_alone_is_never_safe(finished_folder, capsys):
    """Browsers and others draw on after such a comma, here ink in the open."""
    film = sorted(finished_folder.glob("03-*.svg"))[0]
    film.write_text(film.read_text().replace('<path d="M', '<path d="M5 5h0,v0M', 1))
    assert main(["check", str(finished_folder)]) == 1
    assert "its path data breaks off" in capsys.readouterr().out


def test_a_selector_by_an_attribute_of_any_namespace_is_refused_and_no_crash(finished_folder, capsys):
    film = sorted(finished_folder.glob("03-*.svg"))[0]
    film.write_text(film.read_text().replace("<defs />", "<style>path[*|d]{display:none}</style>"))
    assert main(["check", str(finished_folder)]) == 1
    assert "selector 'path[*|d]' cannot be read" in capsys.readouterr().out
