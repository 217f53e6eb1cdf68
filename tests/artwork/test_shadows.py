"""Shapes with shadows: what Chromium shows of the shape itself, with the filter and without, and what is read."""

import numpy as np
import pytest
import shapely
from many_pictures import PAGE, SIDE_PX, browser_pictures
from svg import drawing

from vectorsep.artwork import read_artwork
from vectorsep.errors import ArtworkError
from vectorsep.settings import ReadOptions

SHAPE = '<path d="M30 30h40v20h-20v20h-20z" fill="teal" {}/>'
SOFT = '<feGaussianBlur in="SourceAlpha" stdDeviation="2" result="b"/><feOffset in="b" dx="4" dy="4" result="o"/>'
BEHIND = {
    "drop-shadow()": ("", 'style="filter:drop-shadow(3px 3px 2px rgba(0, 0, 0, .6)) drop-shadow(-2px 0 0 red)"'),
    "feDropShadow": ('<feDropShadow dx="4" dy="4" stdDeviation="2"/>', 'filter="url(#f)"'),
    "feMerge": (f'{SOFT}<feMerge><feMergeNode in="o"/><feMergeNode in="SourceGraphic"/></feMerge>', 'filter="url(#f)"'),
    "feBlend": (f'{SOFT}<feBlend in="SourceGraphic" in2="o"/>', 'filter="url(#f)"'),
    "feComposite": (f'{SOFT}<feComposite in="SourceGraphic" in2="o" operator="over"/>', 'filter="url(#f)"'),
}
BEYOND = {
    "blur()": ("", 'style="filter:blur(3px)"'),
    "shadow and sepia": ("", 'style="filter:drop-shadow(3px 3px 2px #000) sepia(1)"'),
    "blur": ('<feGaussianBlur stdDeviation="2"/>', 'filter="url(#f)"'),
    "shadow over the shape": (
        f'{SOFT}<feMerge><feMergeNode in="SourceGraphic"/><feMergeNode in="o"/></feMerge>',
        'filter="url(#f)"',
    ),
    "shadow alone": (f'{SOFT}<feMerge><feMergeNode in="o"/></feMerge>', 'filter="url(#f)"'),
    "multiplied": (f'{SOFT}<feBlend mode="multiply" in="SourceGraphic" in2="o"/>', 'filter="url(#f)"'),
    "cut out of it": (f'{SOFT}<feComposite in="SourceGraphic" in2="o" operator="out"/>', 'filter="url(#f)"'),
    "of what was blurred": (
        '<feGaussianBlur stdDeviation="3" result="b"/><feDropShadow in="b" dx="4" dy="4"/>',
        'filter="url(#f)"',
    ),
    "cut by its last step": ('<feDropShadow x="30" y="30" width="9" height="9" dx="4" dy="4"/>', 'filter="url(#f)"'),
}
CUT = '<filter id="f" x="0" y="0" width="50%" height="1"><feDropShadow dx="4" dy="4"/></filter>'


def body(steps, asked):
    return f'<filter id="f">{steps}</filter>{SHAPE.format(asked)}'


BODIES = {name: body(*parts) for name, parts in (BEHIND | BEYOND).items()}
BODIES |= {"cut by its region": CUT + SHAPE.format('filter="url(#f)"'), "plain": SHAPE.format("")}


@pytest.fixture(scope="module")
def pictures(tmp_path_factory, system_tool):
    return browser_pictures(BODIES, tmp_path_factory.mktemp("browser"), system_tool("chromium"))


def keeps_the_shape(pictures, name):
    """Whether each pixel that the plain shape fills has its colour still."""
    plain = pictures["plain"]
    filled = (np.abs(plain - plain[SIDE_PX * 2 // 5, SIDE_PX * 2 // 5]) == 0).all(axis=2)
    assert filled.sum() == 4800  # 40 x 20 and 20 x 20 units, 2 x 2 pixels each
    return bool((np.abs(pictures[name] - plain)[filled] <= 1).all())


def read(name, *, skip):
    return read_artwork(drawing(BODIES[name], PAGE), ReadOptions(skip_unprintable=skip))


@pytest.mark.parametrize("name", BEHIND)
def test_of_a_shape_that_the_browser_shows_whole_the_shadow_alone_is_left_out(pictures, name):
    assert keeps_the_shape(pictures, name)
    assert (pictures[name] != pictures["plain"]).any()  # there is a shadow
    artwork = read(name, skip=True)
    (shape,), (plain,) = artwork.shapes, read("plain", skip=False).shapes
    assert shape.area.equals(plain.area)
    (told,) = (notice.message for notice in artwork.notices if notice.code == "left-out")
    assert "its shadow or glow" in told


@pytest.mark.parametrize("name", [*BEYOND, "cut by its region"])
def test_a_shape_that_the_browser_changes_is_left_out(pictures, name):
    assert not keeps_the_shape(pictures, name)
    assert not read(name, skip=True).shapes


@pytest.mark.parametrize("name", [name for name in BODIES if name != "plain"])
def test_without_leave_all_of_it_is_refused(name):
    with pytest.raises(ArtworkError, match="a filter"):
        read(name, skip=False)


def test_a_shadow_on_a_group_keeps_the_group_and_what_else_is_wrong_is_told():
    shadow = 'style="filter:drop-shadow(2px 2px 1px #000)'
    inside = '<rect x="10" y="10" width="20" height="20" fill="#c00"/><rect x="60" width="9" height="9" fill="#0a0"/>'
    options = ReadOptions(skip_unprintable=True)
    artwork = read_artwork(drawing(f'<g {shadow}">{inside}</g>', PAGE), options)
    assert len(artwork.shapes) == 2
    assert shapely.union_all([shape.area for shape in artwork.shapes]).area > 0
    assert not read_artwork(drawing(f'<g {shadow};mix-blend-mode:multiply">{inside}</g>', PAGE), options).shapes


def test_on_films_a_shadow_is_refused():
    with pytest.raises(ArtworkError, match="its shadow"):
        read_artwork(drawing(BODIES["feDropShadow"], PAGE), ReadOptions(as_film=True))
