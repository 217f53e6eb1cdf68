"""Text is refused unless its font is given; given, it becomes outlines. The font is built here, of squares."""

import io

import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from svg import drawing, shapes_of

from vectorsep.artwork import read_artwork
from vectorsep.artwork.glyphs import mixture_in
from vectorsep.errors import ArtworkError
from vectorsep.settings import ReadOptions


@pytest.fixture(scope="module")
def squares():
    """A font of 1000 units an em: `a`, and the Hebrew alef, is a square of 500, `b` one of 250, each 600 wide; the
    space is 300 wide."""
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder([".notdef", "space", "a", "b"])
    builder.setupCharacterMap({32: "space", 97: "a", 98: "b", 0x5D0: "a"})
    glyphs = {name: _square(size) for name, size in ((".notdef", 100), ("space", 0), ("a", 500), ("b", 250))}
    builder.setupGlyf(glyphs)
    builder.setupHorizontalMetrics({".notdef": (500, 0), "space": (300, 0), "a": (600, 0), "b": (600, 0)})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Squares", "styleName": "Regular"})
    builder.setupOS2()
    builder.setupPost()
    stream = io.BytesIO()
    builder.save(stream)
    return stream.getvalue()


def _square(size):
    pen = TTGlyphPen(None)
    if size:
        pen.moveTo((0, 0))
        for point in ((0, size), (size, size), (size, 0)):
            pen.lineTo(point)
        pen.closePath()
    return pen.glyph()


def boxes(body, squares):
    """(hex, bounds) of each square, left to right."""
    shapes = shapes_of(f'<g font-family="Squares" font-size="10">{body}</g>', fonts={"Squares": squares})
    parts = [(shape.hex, part) for shape in shapes for part in getattr(shape.area, "geoms", [shape.area])]
    return sorted((hex_, tuple(round(value, 6) for value in part.bounds)) for hex_, part in parts)


CASES = {
    "places of parts without letters": (
        '<text x="10" y="50">a<tspan x="60"/><tspan dx="9"><tspan y="9"/></tspan>b</text><text y="70"><tspan x="60"/>a'
        '</text><text x="10" y="90"><tspan x="20"><tspan dy="5"><tspan x="60"/>a</tspan></tspan></text>',
        [(0, 65, 5, 70), (10, 45, 15, 50), (16, 47.5, 18.5, 50), (20, 90, 25, 95)],
    ),
    "one letter": ('<text x="10" y="50">a</text>', [(10, 45, 15, 50)]),
    "advance and space": ('<text x="10" y="50">a b</text>', [(10, 45, 15, 50), (19, 47.5, 21.5, 50)]),
    "spaces collapse": ('<text x="10" y="50">  a \n b </text>', [(10, 45, 15, 50), (19, 47.5, 21.5, 50)]),
    "spaces kept": ('<text x="10" y="50" xml:space="preserve"> a</text>', [(13, 45, 18, 50)]),
    "spaces kept by a style": ('<text x="10" y="50" style="white-space:pre"> a</text>', [(13, 45, 18, 50)]),
    "spaces collapse by a style": (
        '<g style="white-space:normal"><text x="10" y="50" xml:space="preserve"> a</text></g>',
        [(10, 45, 15, 50)],
    ),
    "anchor middle": ('<text x="50" y="50" text-anchor="middle">aa</text>', [(44, 45, 49, 50), (50, 45, 55, 50)]),
    "anchor end": ('<text x="50" y="50" text-anchor="end">a</text>', [(44, 45, 49, 50)]),
    "tspan moves on": ('<text x="10" y="50">a<tspan dy="5">a</tspan></text>', [(10, 45, 15, 50), (16, 50, 21, 55)]),
    "tspan placed": ('<text y="50">a<tspan x="30" y="20">a</tspan></text>', [(0, 45, 5, 50), (30, 15, 35, 20)]),
    "size of a tspan": ('<text y="50"><tspan font-size="20">a</tspan></text>', [(0, 40, 10, 50)]),
    "no markers": (
        '<marker id="m"><path d="M0 0h9v9"/></marker><text y="50" style="marker:url(#m)">a</text>',
        [(0, 45, 5, 50)],
    ),
    "font at once": ("<text y='50' style='font:bold 20px/2 Gone, \"Squares\"'>a</text>", [(0, 40, 10, 50)]),
    "font over its parts": (
        '<text y="50" font-variant="small-caps" style="font:20px Squares">a</text>',
        [(0, 40, 10, 50)],
    ),
    "font over what it takes back": (
        '<text y="50" font-size-adjust=".5" style="font-variant-caps:small-caps;font-kerning:none;font:20px Squares">'
        "a</text>",
        [(0, 40, 10, 50)],
    ),
    "part over the font": (
        '<text y="50" style="font:9px Gone;font-family:Squares;font-size:20px">a</text>',
        [(0, 40, 10, 50)],
    ),
    "transform": ('<text transform="translate(20 30)">a</text>', [(20, 25, 25, 30)]),
}


@pytest.mark.parametrize("name", CASES)
def test_glyphs_stand_where_the_metrics_say(name, squares):
    body, expected = CASES[name]
    assert boxes(body, squares) == [("#000000", box) for box in expected]


def test_text_takes_fill_and_stroke(squares):
    found = boxes(
        '<text x="10" y="50" fill="red" stroke="blue" stroke-width="1" stroke-linejoin="miter">a</text>', squares
    )
    assert found == [("#0000ff", (9.5, 44.5, 15.5, 50.5)), ("#ff0000", (10, 45, 15, 50))]


def test_outlined_text_is_told(squares):
    artwork = read_artwork(
        drawing("<text y='50' font-family=\"'squares', serif\">a</text>"), ReadOptions(fonts={"Squares": squares})
    )
    assert [notice.code for notice in artwork.notices] == ["text-outlined"]


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("<text>a</text>", "give the file of its font"),
        ('<text font-family="Other">a</text>', "Other"),
        ('<text font-family="Squares">ac</text>', "lacks 'c'"),
        ('<text font-family="Squares" letter-spacing="2">a</text>', "letter-spacing"),
        ('<text style="font:small-caps 9px Squares">a</text>', "font-variant"),
        ('<text style="font:caption;font-family:Squares">a</text>', "font 'caption'"),
        ('<text style="font:var(--f, 9px Squares)">a</text>', "hangs on a variable"),
        ('<text font-family="Squares" x="1 2">ab</text>', "a place for each letter"),
        ('<text font-family="Squares" rotate="3">ab</text>', "rotate"),
        ('<text font-family="Squares"><tspan style="font-size:hypot(6px,8px)">a</tspan></text>', "not computed"),
        ('<text font-family="Squares" direction="rtl">a</text>', "direction"),
        ('<text font-family="Squares" style="unicode-bidi:bidi-override">a</text>', "unicode-bidi"),
        ('<text font-family="Squares" style="font-variant-caps:small-caps">a</text>', "font-variant-caps"),
        ('<text font-family="Squares" style="font-kerning:none">a</text>', "font-kerning"),
        ('<text font-family="Squares" font-size-adjust=".5">a</text>', "font-size-adjust"),
        ('<text font-family="Squares" style="white-space:pre-line">a</text>', "white-space"),
        ('<text font-family="Squares" style="text-decoration-line:underline">a</text>', "text-decoration-line"),
        ('<g text-decoration="underline"><text font-family="Squares">a</text></g>', "text-decoration"),
        ('<text font-family="Squares"><tspan alignment-baseline="hanging">a</tspan></text>', "alignment-baseline"),
        ('<text font-family="Squares"><tspan opacity="0">a</tspan></text>', "opacity of its own"),
        ('<text font-family="Squares"><a clip-path="url(#c)">a</a></text>', "clip-path of its own"),
        ('<text font-family="Squares"><textPath href="#p">a</textPath></text>', "textPath"),
    ],
)
def test_text_that_cannot_be_set_is_refused(body, words, squares):
    with pytest.raises(ArtworkError, match=words):
        read_artwork(drawing(body), ReadOptions(fonts={"Squares": squares}))


def test_spaces_need_no_font():
    """Programs leave behind text that was emptied; a space paints nothing in any font."""
    assert not shapes_of('<text xml:space="preserve" x="9" y="9">  <tspan>\u00a0</tspan></text>')


@pytest.mark.parametrize(
    ("runs", "mixed"),
    [(["ab 1", "cd"], False), (["\u05d0\u05d1"], False), (["\u05d0 ab"], True), (["ab", "\u05d0"], True),
     (["\u0633\u0644 12"], True), (["\u05d0", "\u05d1"], True), (["a\u03b1\u0431\u6f22"], False),
     (["a\u0915"], True), (["\u0915\u093f"], False)],
)  # fmt: skip
def test_letters_that_need_more_than_one_run_are_told(runs, mixed):
    """Directions by Unicode Standard Annex 9, scripts by Annex 24: Latin, Hebrew, Arabic, Greek, Han, Devanagari."""
    assert (mixture_in(runs) is not None) == mixed


def test_letters_of_two_directions_are_refused(squares):
    """Set in one run, the letters from the left would stand in the wrong order."""
    with pytest.raises(ArtworkError, match="runs both ways"):
        read_artwork(drawing("<text font-family='Squares'>a \u05d0</text>"), ReadOptions(fonts={"Squares": squares}))


@pytest.mark.parametrize(
    ("asked", "told"), [("font-weight:bold", ["font-weight bold"]), ("font-weight:500", []), ("font-weight:normal", []),
                        ("font:italic 700 10px Squares", ["font-weight 700", "font-style italic"]),
                        ("font-stretch:condensed", ["font-stretch condensed"])]
)  # fmt: skip
def test_a_font_file_unlike_what_is_asked_is_told(asked, told, squares):
    """The font is regular and upright, 400 and 5 in its table OS/2."""
    body = f'<g font-family="Squares"><text y="9" style="{asked}">a</text></g>'
    notices = read_artwork(drawing(body), ReadOptions(fonts={"Squares": squares})).notices
    unlike = [notice.message for notice in notices if notice.code == "font-unlike"]
    assert all(f" {trait} of Squares" in message for trait, message in zip(told, unlike, strict=True))


def test_text_behind_unseen_text_of_unknown_width_is_refused(squares):
    """Where a run starts is told by the one before, drawn or not (SVG 2, 11.4)."""
    text = '<text y="9"><tspan {} font-family="Gone">a</tspan><tspan {} font-family="Squares">b</tspan></text>'
    for unseen in ('visibility="hidden"', 'fill="none"'):
        with pytest.raises(ArtworkError, match="behind unseen text"):
            shapes_of(text.format(unseen, ""), fonts={"Squares": squares})
        assert shapes_of(text.format(unseen, 'x="30"'), fonts={"Squares": squares})


def test_of_many_families_those_are_named_whole_that_fit_a_line():
    families = [f"Harbour Sans {word}" for word in ("One", "Two", "Three", "Four", "Five", "Six")]
    told = {
        ", ".join(families): "text in Harbour Sans One, Harbour Sans Two, Harbour Sans Three or 3 others is no shape",
        f"{'Q' * 70}, serif": f"text in {'Q' * 60} or 1 other is no shape",
        "Harbour Sans One, serif": "text in Harbour Sans One, serif is no shape",
    }
    for asked, words in told.items():
        with pytest.raises(ArtworkError) as caught:
            read_artwork(drawing(f'<text font-family="{asked}" y="9">a</text>'))
        assert f": {words}: " in str(caught.value)
