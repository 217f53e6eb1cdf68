"""Gradients that are flat, of one colour or of hard steps, compared with what Chromium draws of them."""

import pytest
from many_pictures import PAGE, SIDE_PX, browser_pictures
from rendered import difference_share, painted_svg, rendered
from svg import drawing, shapes_of

from vectorsep.artwork import read_artwork
from vectorsep.errors import ArtworkError
from vectorsep.settings import ReadOptions

SHARE = 0.0005
SHAPE = '<path d="M10 10H90L70 85H20Z" fill="url(#g)"/>'
LINE = '<path d="M10 50L60 20L90 80" fill="none" stroke="url(#g)" stroke-width="12"/>'
ONE = '<stop stop-color="teal"/><stop offset=".3" stop-color="#008080"/>'
STEPS = (
    '<stop offset=".1" stop-color="teal"/><stop offset=".4" stop-color="teal"/><stop offset=".4" stop-color="red"/>'
    '<stop offset="80%" stop-color="red"/><stop offset=".8" stop-color="gold"/>'
)
CURRENT = '<stop stop-color="currentColor"/>'
NAMED = '<stop style="stop-color:var(--ink)"/>'
WIDE = '<svg viewBox="0 0 200 90" width="99" height="60">'
USER = 'gradientUnits="userSpaceOnUse"'


def linear(attributes="", stops=STEPS):
    return f'<linearGradient id="g" {attributes}>{stops}</linearGradient>'


def radial(attributes="", stops=STEPS):
    return f'<radialGradient id="g" {attributes}>{stops}</radialGradient>'


ONE_COLOUR = {
    "of one colour": linear("", ONE) + SHAPE,
    "round": radial("", ONE) + LINE,
    "by class": "<style>.s{stop-color:teal}</style>" + linear("", '<stop class="s"/><stop class="s"/>') + SHAPE,
    "by the current colour where it stands": f'<g color="teal">{linear("", CURRENT)}</g><g color="red">{SHAPE}</g>',
    "by the current colour of its own": linear('color="teal"', CURRENT) + SHAPE,
    "by its own stop-color": linear('stop-color="teal"', '<stop stop-color="inherit"/>') + SHAPE,
    "by a variable": f'<g style="--ink:teal">{linear("", NAMED)}</g>{SHAPE}',
    "of a hidden stop": linear("", '<stop stop-color="teal" display="none"/>') + SHAPE,
    "within what is hidden": f'<g display="none">{linear("", ONE)}</g>{SHAPE}',
    "after another": f'<radialGradient id="h">{ONE}</radialGradient><linearGradient id="g" href="#h"/>{SHAPE}',
    "that repeats": linear('x2=".2" spreadMethod="repeat"', ONE) + SHAPE,
    "without a length": linear('x2="0"', ONE) + SHAPE,
    "stroke by the page": linear(USER, ONE) + '<path d="M10 50H90" stroke="url(#g)" stroke-width="9"/>',
}
HARD = {
    "of steps": linear() + SHAPE,
    "downwards": linear('x2="0" y2="1"') + SHAPE,
    "aslant by the box": linear('x2="1" y2="1"') + SHAPE,
    "turned": linear('gradientTransform="rotate(30 .5 .5) skewX(20)"') + SHAPE,
    "by the page": linear(f'{USER} x1="20" x2="80%" y2="40"') + SHAPE,
    "by the page, of another viewport": linear(USER + ' x1="20%" x2="80%"')
    + f'<svg width="90" height="80" viewBox="0 0 120 100">{SHAPE}</svg>',
    "by a page that is no square": WIDE + linear(f'{USER} x1="20%" x2="60%" y1="10%" y2="50%"') + f"{SHAPE}</svg>",
    "round by a page that is no square": WIDE + radial(f'{USER} cx="25%" cy="55%" r="30%"') + f"{SHAPE}</svg>",
    "of a turned shape": f'{linear()}<g transform="rotate(20 50 50) scale(.8 1)">{SHAPE}</g>',
    "of a stroke": linear() + LINE,
    "of fill and stroke": f'{linear()}<circle cx="50" cy="50" r="30" fill="url(#g)" stroke="url(#g)" '
    'stroke-width="9" stroke-dasharray="14 6"/>',
    "round ": radial() + SHAPE,
    "round, off its middle": radial('fx=".3" fy=".4" fr=".1"') + SHAPE,
    "round, by the page": radial(f'{USER} cx="40" cy="45" r="30" gradientTransform="scale(1.2 .9)"') + SHAPE,
    "round, of a stroke": radial() + LINE,
    "round, without a radius": radial('r="0"') + SHAPE,
    "of steps without a length": linear('x2="0"') + SHAPE,
    "after another of steps": f'<linearGradient id="h" x2="0" y2="1" {USER}>{STEPS}</linearGradient>'
    f'<linearGradient id="i" href="#h" gradientUnits="objectBoundingBox"/><linearGradient id="g" href="#i" x1=".3" '
    f'x2=".6" y2="0"/>{SHAPE}',
    "of offsets that fall": linear("", '<stop offset=".5" stop-color="teal"/><stop offset=".2" stop-color="red"/>')
    + SHAPE,
    "of three at one place": linear("", '<stop offset=".5" stop-color="teal"/><stop offset=".5" stop-color="red"/>'
    '<stop offset=".5" stop-color="gold"/>') + SHAPE,
    "of pairs at both ends": linear(f'{USER} x1="30" x2="60"', '<stop stop-color="teal"/><stop stop-color="red"/>'
    '<stop offset="1" stop-color="red"/><stop offset="1" stop-color="gold"/>') + SHAPE,
    "within a clip": '<clipPath id="c"><circle cx="50" cy="50" r="30"/></clipPath>'
    f'{linear()}<g clip-path="url(#c)">{SHAPE}</g>',
}  # fmt: skip
PROBES = ONE_COLOUR | HARD
TWO = '<stop offset=".5" stop-color="red"/><stop offset=".5" stop-color="teal" {}/>'


def step_at(nth):
    """Two stops that make a step of a colour of its own."""
    paint = f'stop-color="#0{nth % 10}{nth % 9}"'
    return f'<stop offset="{nth / 60}" {paint}/><stop offset="{(nth + 1) / 60}" {paint}/>'


REFUSED = {
    "that blends": (linear("", STEPS.replace("80%", "70%")), "flat ink prints solid colours only"),
    "of a bad colour": (linear("", '<stop stop-color="redd"/>'), "flat ink prints solid colours only"),
    "of translucent steps": (linear("", TWO.format('stop-opacity=".5"')), "lets cloth through in part"),
    "of a tint": (linear("", '<stop stop-color="red" stop-opacity=".5"/>'), "50 % opacity is a tint"),
    "that repeats its steps": (linear('x2=".2" spreadMethod="reflect"'), "repeats its steps"),
    "moved by its style": (linear('style="transform:rotate(9deg)"'), "moved by its style"),
    "hidden": (linear('display="none"', ONE), "is hidden itself"),
    "squeezed to nothing": (linear('gradientTransform="scale(0)"', ONE), "cannot be undone"),
    "of an unreadable transform": (linear('gradientTransform="turn(3)"', ONE), "cannot be undone or read"),
    "of an unreadable end": (linear('x2="nine"'), "cannot be read"),
    "that starts outside": (radial('fx="2"', ONE), "does not start within its own circle"),
    "that starts larger": (radial('fr="2"'), "does not start within its own circle"),
    "of many steps": (
linear("", "".join(map(step_at, range(60)))), "has more than 50 steps"
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def pictures(tmp_path_factory, system_tool):
    """What Chromium draws of each probe, by name."""
    return browser_pictures(PROBES, tmp_path_factory.mktemp("gradients"), system_tool("chromium"))


@pytest.mark.parametrize("name", PROBES)
def test_a_flat_gradient_looks_as_the_browser_draws_it(pictures, name):
    artwork = read_artwork(drawing(PROBES[name], PAGE))
    assert difference_share(rendered(painted_svg(artwork, SIDE_PX, SIDE_PX), SIDE_PX), pictures[name]) <= SHARE
    assert {shape.hex for shape in artwork.shapes} <= {"#008080", "#ff0000", "#ffd700"}


def test_the_steps_are_told_apart(pictures):
    plain = drawing(SHAPE.replace("url(#g)", "teal"), PAGE)
    picture = rendered(painted_svg(read_artwork(plain), SIDE_PX, SIDE_PX), SIDE_PX)
    assert all(difference_share(picture, pictures[name]) > SHARE for name in HARD)


def test_a_stripe_has_the_area_of_its_steps():
    """Offsets are shares of the box's width (SVG 2, 14.2.2): 40, 40 and 20 % of 90 x 10 mm, each on the one before."""
    areas = [shape.area.area for shape in shapes_of(linear() + '<rect x="5" width="90" height="10" fill="url(#g)"/>')]
    assert areas == pytest.approx([900, 540, 180])


@pytest.mark.parametrize("name", REFUSED)
def test_another_gradient_is_refused_by_its_reason(name):
    gradient, words = REFUSED[name]
    with pytest.raises(ArtworkError) as caught:
        read_artwork(drawing(gradient + SHAPE.replace("<path", '<path id="x"')))
    (offence,) = caught.value.offences
    assert offence.place.id == "x"
    assert words in offence.reason


@pytest.mark.parametrize("fallback", ["", " red"])
def test_a_straight_line_in_a_gradient_of_its_box_is_refused(fallback):
    """SVG 2, 8.11: a box without height makes the gradient fail; Chromium paints nothing, or the fallback."""
    line = f'<path d="M10 50H90" stroke="url(#g){fallback}" stroke-width="9"/>'
    with pytest.raises(ArtworkError, match="a box of no area, where most programs paint nothing"):
        read_artwork(drawing(linear("", ONE) + line))


def test_part_of_a_text_has_no_box_of_its_own():
    with pytest.raises(ArtworkError, match="convert it to outlines"):
        read_artwork(drawing(linear() + '<text y="9" fill="url(#g)">a</text>'))


def test_a_film_holds_no_gradient_of_steps():
    with pytest.raises(ArtworkError, match="is a gradient"):
        read_artwork(drawing(linear() + SHAPE), ReadOptions(as_film=True))


def test_steps_with_a_tint_of_their_own_are_refused():
    tint = SHAPE.replace("/>", ' fill-opacity=".5"/>')
    with pytest.raises(ArtworkError, match="is a gradient"):
        read_artwork(drawing(linear() + tint))
