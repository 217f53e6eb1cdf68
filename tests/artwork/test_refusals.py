"""What flat ink cannot print is refused with element, id, line and reason, all at once, or left out with a notice."""

import gzip

import pytest
from svg import drawing

from vectorsep.artwork import read_artwork, report
from vectorsep.errors import ArtworkError
from vectorsep.settings import ReadOptions

REFUSED = {
    "gradient": ('<linearGradient id="g"><stop stop-color="red"/><stop offset="1"/></linearGradient>'
                 '<rect id="x" width="9" height="9" fill="url(#g)"/>', "gradient"),
    "gradient stroke": ('<radialGradient id="g"><stop stop-color="red"/><stop stop-opacity=".5"/></radialGradient>'
                        '<rect id="x" width="9" height="9" stroke="url(#g)"/>', "gradient"),
    "pattern stroke": ('<pattern id="p"/><rect id="x" width="9" height="9" stroke="url(#p)"/>', "is a pattern"),
    "pattern of a tint": (
        '<pattern id="p"/><rect id="x" width="9" height="9" fill="url(#p)" fill-opacity=".5"/>', "is a pattern"
    ),
    "pattern of too many tiles": (
        '<pattern id="p" width=".01" height=".01"><path d="M0 0h9v9"/></pattern>'
        '<rect id="x" width="9" height="9" fill="url(#p)"/>', "more than 4,000 times"
    ),
    "pattern of no end": (
        '<pattern id="p" patternUnits="userSpaceOnUse" width="1e-300" height="1e-300"><path d="M0 0h9v9"/></pattern>'
        '<rect id="x" width="9" height="9" fill="url(#p)"/>', "more than 4,000 times"
    ),
    "pattern of a gradient": (
        '<linearGradient id="g"><stop stop-color="red"/><stop offset="1"/></linearGradient>'
        '<pattern id="p" width="1" height="1"><rect id="x" width="9" height="9" fill="url(#g)"/></pattern>'
        '<rect width="9" height="9" fill="url(#p)"/>', "gradient"
    ),
    "circle of patterns": (
        '<pattern id="p" width="1" height="1"><rect id="x" width="9" height="9" fill="url(#p)"/></pattern>'
        '<rect width="9" height="9" fill="url(#p)"/>', "in a circle"
    ),
    "pattern moved by a style": (
        '<pattern id="p" width="1" height="1" style="transform:scale(2)"><path d="M0 0h9v9"/></pattern>'
        '<rect id="x" width="9" height="9" fill="url(#p)"/>', "use patternTransform"
    ),
    "pattern that cannot be turned": (
        '<pattern id="p" width="1" height="1" patternTransform="turn(3)"><path d="M0 0h9v9"/></pattern>'
        '<rect id="x" width="9" height="9" fill="url(#p)"/>', "its pattern's transform is unreadable"
    ),
    "pattern of nothing, and a colour": (
        '<pattern id="p" width="0" height="1"><path d="M0 0h9v9"/></pattern>'
        '<rect id="x" width="9" height="9" fill="url(#p) red"/>', "its pattern shows nothing"
    ),
    "pattern without shapes, and a colour": (
        '<pattern id="p" width="1" height="1"/><rect id="x" width="9" height="9" fill="url(#p) red"/>',
        "its pattern shows nothing",
    ),
    "hidden pattern": (
        '<g display="none"><pattern id="p" width="1" height="1"><path d="M0 0h9v9"/></pattern></g>'
        '<rect id="x" width="9" height="9" fill="url(#p)"/>', "its pattern is hidden itself, or stands"
    ),
    "mask hidden by a variable": (
        '<g style="--off:none"><mask id="m" style="display:var(--off)"/></g>'
        '<rect id="x" width="9" height="9" mask="url(#m)"/>', "its mask is hidden",
    ),
    "hidden mask": (
        '<mask id="m" systemLanguage="xx"/><rect id="x" width="9" height="9" mask="url(#m)"/>', "its mask is hidden"
    ),
    "mask on a nested page": (
        '<mask id="m"/><svg id="x" mask="url(#m)"><rect width="9" height="9"/></svg>', "masked: put it on a group"
    ),
    "clipped symbol": (
        '<clipPath id="c"/><symbol id="x" clip-path="url(#c)"><rect width="9" height="9"/></symbol><use href="#x"/>',
        "clipped or masked: put it on a group",
    ),
    "clip by a use of a use": (
        '<defs><rect id="r" width="9" height="9"/><use id="x" href="#r"/></defs><clipPath id="c"><use href="#x"/>'
        '</clipPath><rect width="9" height="9" clip-path="url(#c)"/>',
        "by a <use> of another <use>",
    ),
    "mask on a use that moves": (
        '<mask id="m"/><defs><rect id="r" width="9" height="9"/></defs><use id="x" href="#r" x="3" mask="url(#m)"/>',
        "masked: place it by `transform` instead of x and y",
    ),
    "stroke that does not scale in a pattern": (
        '<pattern id="p" width="1" height="1"><path id="x" d="M0 0h9" stroke="red" vector-effect="non-scaling-stroke"/>'
        '</pattern><rect width="9" height="9" fill="url(#p)"/>', "does not scale in a mask, pattern or marker",
    ),
    "stroke that does not scale in a marker": (
        '<marker id="m"><path id="x" d="M0 0h9" stroke="red" vector-effect="non-scaling-stroke"/></marker>'
        '<path d="M1 1h9" marker-start="url(#m)"/>', "does not scale in a mask, pattern or marker",
    ),
    "stroke that does not scale in a mask": (
        '<mask id="m"><path d="M0 0h9v9" stroke="#fff" vector-effect="non-scaling-stroke"/></mask>'
        '<rect id="x" width="9" height="9" mask="url(#m)"/>', "does not scale in a mask, pattern or marker",
    ),
    "image": ('<image id="x" href="a.png" width="9" height="9"/>', "pixel picture"),
    "mask": ('<rect id="x" width="9" height="9" mask="url(#m)"/>', "mask"),
    "mask by a gradient": (
        '<mask id="m"><linearGradient id="g"><stop stop-color="#fff"/><stop offset="1"/></linearGradient>'
        '<rect width="9" height="9" fill="url(#g)"/></mask><rect id="x" width="9" height="9" mask="url(#m)"/>',
        "of the mask: its fill is a gradient",
    ),
    "grey mask": (
        '<mask id="m"><path d="M0 0h9v9" fill="#808080"/></mask><rect id="x" width="9" height="9" mask="url(#m)"/>',
        "of the mask: lets 50.2 % through",
    ),
    "mask of a tint": (
        '<mask id="m"><g opacity=".3"><path d="M0 0h9v9" fill="#fff"/></g></mask>'
        '<rect id="x" width="9" height="9" mask="url(#m)"/>',
        "of the mask: 30 % opacity",
    ),
    "circle of masks": (
        '<mask id="m"><g mask="url(#m)"><path d="M0 0h9v9" fill="#fff"/></g></mask>'
        '<rect id="x" width="9" height="9" mask="url(#m)"/>',
        "in a circle",
    ),
    "masked mask": (
        '<clipPath id="c"/><mask id="m" clip-path="url(#c)"/><rect id="x" width="9" height="9" mask="url(#m)"/>',
        "its mask is clipped or masked itself",
    ),
    "mask by two": ('<mask id="m"/><g id="x" style="mask:url(#m), url(#m)"><path d="M0 0h9v9"/></g>', "mask other"),
    "mask by its mode": (
        '<mask id="m"/><g id="x" style="mask-image:url(#m);mask-mode:alpha"><path d="M0 0h9v9"/></g>', "mask other"
    ),
    "mask by a picture": ('<g id="x" style="mask:url(a.png)"><path d="M0 0h9v9"/></g>', "'a.png'"),
    "filter": ('<g id="x" filter="url(#f)"><rect width="9" height="9"/></g>', "filter"),
    "blend mode": ('<rect id="x" width="9" height="9" style="mix-blend-mode:multiply"/>', "blend mode"),
    "foreignObject": ('<foreignObject id="x" width="9" height="9"/>', "another language"),
    "external use": ('<use id="x" href="other.svg#a"/>', "another file"),
    "external paint": ('<rect id="x" width="9" height="9" fill="url(other.svg#a)"/>', "another file"),
    "external clip": ('<rect id="x" width="9" height="9" clip-path="url(other.svg#a)"/>', "another file"),
    "import": ('<style id="x">@import "a.css";</style>', "@import"),
    "script": ('<script id="x">1</script>', "script"),
    "animation": ('<rect width="9" height="9"><animate id="x" attributeName="x" to="3"/></rect>', "animation"),
    "paint by process inks": (
        '<rect id="x" width="9" height="9" style="fill:device-cmyk(0 .5 1 0)"/>', "'device-cmyk(0 .5 1 0)' is no colour"
    ),
    "colour beyond a screen's": (
        '<rect id="x" width="9" height="9" fill="oklch(70% 0.4 150)"/>', "'oklch(70% 0.4 150)' is no colour"
    ),
    "colour of less than no chroma": (
        '<rect id="x" width="9" height="9" fill="lch(50% -20 20)"/>', "'lch(50% -20 20)' is no colour"
    ),
    **{
        f"colour {text}": (f'<rect id="x" width="9" height="9" fill="{text}"/>', "is no colour")
        for text in ("color(srgb 1.2 .5 0)", "color(display-p3 1 0 0)", "color(srgb-linear -.1 0 0)",
                     "color(rec2020 .4 .4 .2)", "color(srgb 1 .5)", "color(thread 1 1 1)")
    },
    "flowed text": ('<flowRoot id="x"><flowPara>a</flowPara></flowRoot>', "flowed text"),
    "paint": ('<rect id="x" width="9" height="9" fill="redd"/>', "'redd' is no colour"),
    "paint variable": ('<rect id="x" width="9" height="9" style="fill:var(--ink)"/>', "no colour"),
    "variable by way of itself": (
        '<rect id="x" width="9" height="9" style="--a:var(--b);--b:var(--a);fill:var(--a)"/>', "no colour"
    ),
    "sum of what does not add up": (
        '<g style="--w:calc(1px + 2)">'
        '<path id="x" d="M0 0h9" stroke="red" style="stroke-width:var(--w)"/></g>', "stroke-width 'calc("
    ),
    "sum without a unit": ('<rect id="x" style="width:calc(3 * 3);height:9px"/>', "has no unit"),
    **{
        f"sum as {text}": (f'<rect id="x" height="9" width="{text}"/>', "is no length")
        for text in (
            "calc(9px+1px)", "calc(9px / 0)", "calc(2px * 2px)", "calc(9px + 1)", "calc()", "max(9px, 2)",
            "calc(2 / 1px)", "clamp(1px, 2px)", "calc(1px 2px)", "calc(1px * * 2)", "calc(9 px)", "9px calc(1px)",
            "calc(" * 40 + "9px" + ")" * 40, "calc(9px" + " + 0px" * 400 + ")", "calc(1e400px)", "calc(9px + 1zz)",
        )
    },
    "sum of two kinds": ('<rect id="x" width="9" height="9" opacity="calc(.2 + 30%)"/>', "opacity 'calc("),
    "sum of a keyword": ('<rect id="x" width="9" height="9" style="visibility:max(1)"/>', "visibility 'max("),
    "sum of dashes": ('<path id="x" d="M0 0h9" stroke="red" stroke-dasharray="calc(2px + 1) 3"/>', "stroke-dasharray"),
    "sum of a font": ('<g id="x" style="font-size:calc(9px + 1)"><path d="M0 0h9v9"/></g>', "font-size 'calc("),
    **{
        f"variable by {text}": (f'<rect id="x" width="9" height="9" style="fill:teal;--y:red;fill:{text}"/>', "colour")
        for text in ("var(y, red)", "var(--y z, red)", "var(1, red)", "var(, red)", "var(--, red)", "var(--y, var(z))")
    },
    "variable of an unreadable one": (
        '<rect id="x" width="9" height="9" style="--a:red;--a:var(b, red);fill:var(--a, teal)"/>', "no colour"
    ),
    "unit behind a variable": (
        '<path id="x" d="M0 0h9" stroke="red" style="--w:6;stroke-width:var(--w)px"/>', "stroke-width 'var("
    ),
    "share behind a variable": (
        '<rect id="x" width="9" height="9" style="--w:50;transform:translate(var(--w)%)"/>', "transform"
    ),
    "rule for a variable": (
        '<style id="x">@property --x{syntax:"*";inherits:false;initial-value:teal}</style>', "@property is not read"
    ),
    "chain of variables": (
        '<g style="' + "".join(f"--a{i}:var(--a{i + 1});" for i in range(400)) + '--a400:red">'
        '<rect id="x" width="9" height="9" style="fill:var(--a0, teal)"/></g>', "no colour"
    ),
    "variables that double": (
        '<g style="' + "".join(f"--a{i}:var(--a{i + 1}) var(--a{i + 1});" for i in range(25)) + '--a25:red">'
        '<rect id="x" width="9" height="9" style="fill:var(--a0, teal)"/></g>', "no colour"
    ),
    "brackets without end": (
        f'<rect id="x" width="9" height="9" fill="var(--a, {"(" * 3000})"/>', "goes on without end"
    ),
    "brackets beyond measure": (f'<rect id="x" width="9" height="9" fill="var(--a, {"f(" * 99})"/>', "no colour"),
    "path": ('<path id="x" d="10 10 L 5 5"/>', "path data is unreadable"),
    "path without a segment": ('<path id="x" d="M 10 10 L foo"/>', "path data is unreadable"),
    "points": ('<polygon id="x" points="1,2 three"/>', "points"),
    "length": ('<rect id="x" width="9" height="nine"/>', "'nine' is no length"),
    "length with a space": ('<rect id="x" width="9 mm" height="9"/>', "width '9 mm' is no length with a space"),
    "end of a line with a space": ('<line id="x" x2="9 mm" stroke="red"/>', "x2 '9 mm' is no length"),
    "pen with a space": ('<path id="x" d="M0 0h9" stroke="red" stroke-width="3 mm"/>', "stroke-width '3 mm' is no len"),
    "nested page with a space": ('<svg id="x" width="50 %"><path d="M0 0h9v9"/></svg>', "width '50 %' is no length"),
    "transform": ('<rect id="x" width="9" height="9" transform="rotate(a)"/>', "transform is unreadable"),
    "dashes": ('<path id="x" d="M0 0h9" stroke="red" stroke-dasharray="1 x"/>', "stroke-dasharray"),
    "text": ('<text id="x" font-family="Some Face">a</text>', "outlines"),
    "tint": ('<rect id="x" width="9" height="9" fill-opacity=".5"/>', "50 % opacity"),
    "tint by alpha": ('<rect id="x" width="9" height="9" fill="#ff000080"/>', "50.2 % opacity"),
    "tint of a group": ('<g id="x" opacity=".3"><rect width="9" height="9"/></g>', "30 % opacity"),
    "circle of use": ('<g id="a"><use id="x" href="#a"/></g>', "circle"),
    "circle of clips": ('<clipPath id="c"><rect id="x" width="9" height="9" clip-path="url(#c)"/></clipPath>'
                        '<rect width="9" height="9" clip-path="url(#c)"/>', "circle"),
    "circle of markers": ('<marker id="m"><path id="x" d="M0 0h1" marker-end="url(#m)"/></marker>'
                          '<path d="M0 0h1" marker-end="url(#m)"/>', "circle"),
    "markers of a rectangle": (
        '<marker id="m"><path d="M0 0h9v9"/></marker><rect id="x" width="9" height="9" marker-start="url(#m)"/>',
        "programs differ on markers of a <rect>",
    ),
    "markers of a circle in a group": (
        '<marker id="m"><path d="M0 0h9v9"/></marker><g style="marker:url(#m)"><circle id="x" r="9"/></g>',
        "programs differ on markers of a <circle>",
    ),
    "marker let through": (
        '<marker id="x" opacity="0"><path d="M0 0h9v9"/></marker><path d="M0 0h9" marker-end="url(#x)"/>',
        "a marker with opacity of its own",
    ),
    "marker held by a word": (
        '<marker id="x" refX="center"><path d="M0 0h9v9"/></marker><path d="M0 0h9" marker-end="url(#x)"/>',
        "programs differ on its refX 'center'",
    ),
    "symbol held by a point": (
        '<symbol id="x" refX="5"><rect width="9" height="9"/></symbol><use href="#x"/>', "programs differ on its refX"
    ),
    "symbol that is hidden": (
        '<symbol id="x" display="none"><rect width="9" height="9"/></symbol><use href="#x"/>', "a hidden symbol"
    ),
    "web page in a switch": (
        '<switch><foreignObject id="x" requiredExtensions="http://www.w3.org/1999/xhtml" width="9" height="9"/>'
        '<rect width="9" height="9"/></switch>', "another language",
    ),
    "missing use": ('<use id="x" href="#gone"/>', "lacks"),
    "missing paint": ('<rect id="x" width="9" height="9" fill="url(#gone)"/>', "lacks"),
    "no-break space behind a place": ('<line id="x" x1="20\u00a0" y2="9" stroke="red"/>', "x1 '20\\xa0' is no length"),
    "no-break space in a gradient": (
        '<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="5\u00a0"><stop offset="0.5" stop-color="red"/>'
        '<stop offset="0.5" stop-color="blue"/></linearGradient><rect id="x" width="9" height="9" fill="url(#g)"/>',
        "an end that cannot be read",
    ),
    "no-break space in a pattern": (
        '<pattern id="p" width="5\u00a0" height="5" patternUnits="userSpaceOnUse"><path d="M0 0h3v3"/></pattern>'
        '<rect id="x" width="9" height="9" fill="url(#p)"/>',
        "width is no length",
    ),
    "offset": ('<rect id="x" width="9" height="9" style="offset:path(\'M0 0h9\') 50%"/>', "path of motion"),
    "zoom": ('<g id="x" style="zoom:2"><rect width="9" height="9"/></g>', "zoom"),
    "turn in space": ('<rect id="x" width="9" height="9" style="rotate:x 45deg"/>', "no turn in the plane"),
    "scale in space": ('<rect id="x" width="9" height="9" style="scale:1 2 3"/>', "no scale in the plane"),
    "move without a unit": ('<rect id="x" width="9" height="9" style="translate:20"/>', "no move in the plane"),
    "prefixed mask": ('<rect id="x" width="9" height="9" style="-webkit-mask:url(#m)"/>', "mask"),
    "mask border": ('<rect id="x" width="9" height="9" style="mask-border:url(a.png) 30"/>', "mask"),
    "prefixed filter": ('<rect id="x" width="9" height="9" style="-webkit-filter:blur(3px)"/>', "filter"),
    "prefixed clip": ('<rect id="x" width="9" height="9" style="-webkit-clip-path:circle(3px)"/>', "CSS shape"),
    "medium": ('<style id="x">\n@media (min-width:10px) {rect{fill:red}}</style>', "(min-width:10px) on line 2"),
    "medium of a sheet": ('<style id="x" media="(prefers-color-scheme: dark)">rect{fill:red}</style>', "dark"),
    "variable": ('<rect id="x" width="9" height="9" style="display:var(--shown)"/>', "display 'var(--shown)'"),
    **{
        f"condition {text}": (f'<style id="x">@supports {text}{{rect{{fill:red}}}}</style>', "hangs on who looks")
        for text in ("(thread: red)", "not (thread: red)", "(fill: 12zz)", "selector(a)", "not(fill: red)", "fill: red",
                     "(fill: red) and (stroke: red) or (fill: red)", "(fill: red) and (thread: 1)", "(fill: red) and")
    },
    "layer for print alone": (
        '<style id="x">@media print{@layer a{rect{fill:red}}}</style>', "in a rule for print or for screens alone"
    ),
    "layer of two names": ('<style id="x">@layer a, b{rect{fill:red}}</style>', "for more than one layer"),
    "value of a lower layer": ('<style id="x">@layer a{path{fill:revert-layer}}</style>', "asks for revert-layer"),
    "frames": ('<style id="x">@keyframes a{from{fill:red}}</style>', "@keyframes is not read"),
    "nested rule": ('<style id="x">g{fill:red;&amp; rect{fill:blue}}</style>', "further rules"),
    "CSS clip shape": ('<rect id="x" width="9" height="9" clip-path="circle(3px)"/>', "CSS shape"),
}  # fmt: skip
MOVED_PAGES = ('transform="scale(.5)"', 'style="translate:9px"', 'style="rotate:9deg"', 'style="scale:2"')
UNSEEN = {
    "not drawn": '<g display="none"><image/></g>',
    "hidden": '<g visibility="hidden"><image/><text>a</text></g>',
    "in defs": '<defs><image/><rect fill="url(#gone)"/></defs>',
    "without opacity": '<g opacity="0"><image/></g>',
    "paint of no share": '<rect width="9" height="9" fill="url(#gone)" fill-opacity="0"/>',
    "properties that ask for nothing": '<g style="-webkit-mask:none;-webkit-filter:none;zoom:1;offset:none;rotate:0deg;'
    'translate:none;scale:none;mask-border:none"/>',
    "stop with an offset": '<linearGradient id="g"><stop offset=".5" stop-color="#000"/></linearGradient>'
    '<rect width="9" height="9" fill="url(#g)" visibility="hidden"/>',
    "empty leavings": '<flowRoot><flowRegion><rect width="9" height="9"/></flowRegion><flowPara> </flowPara></flowRoot>'
    '<image width="0" height="9" href="a.png"/><image opacity="0" width="9" height="9" href="a.png"/>',
    "pattern with a view box of no area": '<pattern id="p" width="1" height="1" viewBox="0 0 0 9"><path d="M0 0h9v9"/>'
    '</pattern><rect width="9" height="9" fill="url(#p)"/>',
    "gradient without stops": '<linearGradient id="g"/><rect width="9" height="9" fill="url(#g)"/>',
    "stroke of no width": '<line x2="9" stroke="red" stroke-width="0"/>',
}


@pytest.mark.parametrize("moved", MOVED_PAGES)
def test_a_page_that_is_moved_as_a_whole_is_refused(moved):
    """Chromium moves it about its middle and by screen pixels, others about its corner and by its own units."""
    with pytest.raises(ArtworkError, match="its corner or its middle"):
        read_artwork(drawing('<rect width="9" height="9"/>', f'width="50" height="50" viewBox="0 0 99 99" {moved}'))


@pytest.mark.parametrize("name", REFUSED)
def test_a_thing_is_refused_by_name(name):
    body, words = REFUSED[name]
    with pytest.raises(ArtworkError) as caught:
        read_artwork(drawing("\n" + body))
    [offence] = [offence for offence in caught.value.offences if offence.place.id == "x"]
    assert offence.place.line == 2
    assert words in offence.reason
    assert str(offence) in str(caught.value)


@pytest.mark.parametrize("name", REFUSED)
def test_a_thing_is_left_out_on_request(name):
    body, words = REFUSED[name]
    rest = '<rect x="50" width="7" height="7" fill="#123456"/>'
    artwork = read_artwork(drawing(body + rest), ReadOptions(skip_unprintable=True))
    assert "#123456" in [shape.hex for shape in artwork.shapes]
    left_out = [notice for notice in artwork.notices if notice.code == "left-out"]
    assert any(words in notice.message and 'id="x"' in notice.message for notice in left_out)


def test_all_offenders_are_told_at_once():
    body = "\n".join(body for body, _ in REFUSED.values() if 'id="g"' not in body)
    with pytest.raises(ArtworkError) as caught:
        read_artwork(drawing(body))
    assert len(caught.value.offences) >= 25
    assert len({offence.place.line for offence in caught.value.offences}) >= 25


def test_one_reason_is_told_once_with_every_place():
    texts = "\n".join(f'<text id="t{nth}">a</text>' for nth in range(40))
    with pytest.raises(ArtworkError) as caught:
        read_artwork(drawing(f'{texts}<image id="i" width="9" height="9" href="a.png"/>'))
    told = str(caught.value)
    assert told.count("convert it to outlines") == 1 and len(told.splitlines()) == 4
    assert all(f'id="{place}"' in told for place in (*(f"t{nth}" for nth in range(40)), "i"))


def test_a_linked_style_sheet_is_refused_with_its_line():
    data = b"<?xml version='1.0'?>\n<?xml-stylesheet href='a.css'?>\n" + drawing('<rect width="9" height="9"/>')
    with pytest.raises(ArtworkError, match="style sheet in another file") as caught:
        read_artwork(data)
    assert [offence.place.line for offence in caught.value.offences] == [2]
    assert read_artwork(data, ReadOptions(skip_unprintable=True)).shapes


def test_a_linked_style_sheet_is_found_in_any_encoding_and_not_in_comments():
    text = drawing('<rect width="9" height="9"/>').decode()
    commented = "<!-- <?xml-stylesheet href='a.css'?> -->" + text + "<?other xml-stylesheet?>"
    assert read_artwork(commented.encode()).shapes
    linked = "<?xml version='1.0' encoding='utf-16'?>\n<?xml-stylesheet href='a.css'?>" + text
    with pytest.raises(ArtworkError, match=r"<\?xml-stylesheet> at line 2: .*style sheet in another file"):
        read_artwork(linked.encode("utf-16"))


@pytest.mark.parametrize("name", UNSEEN)
def test_what_is_not_painted_is_no_offence(name):
    artwork = read_artwork(drawing(UNSEEN[name] + '<rect width="9" height="9"/>'))
    assert [shape.hex for shape in artwork.shapes] == ["#000000"]


def test_a_path_that_breaks_off_says_so():
    artwork = read_artwork(drawing('<path id="p" d="M0 0H9V9L 5"/>'))
    [notice] = artwork.notices
    assert notice.code == "path-cut-short"
    assert notice.severity == "warning"
    assert 'id="p"' in notice.message


def test_unknown_elements_are_told():
    artwork = read_artwork(drawing('<widget id="w"><rect width="99" height="99"/></widget>'))
    assert [notice.code for notice in artwork.notices] == ["unknown-element"]
    assert not artwork.shapes


def test_a_page_background_is_drawn():
    artwork = read_artwork(drawing("", 'width="9mm" height="9mm" style="background:#abc"'))
    assert [(shape.hex, shape.area.area) for shape in artwork.shapes] == [("#aabbcc", 81)]


def test_gzipped_drawings_are_read():
    data = drawing('<rect width="9" height="9"/>')
    assert read_artwork(gzip.compress(data)) is not None
    assert [shape.area.area for shape in read_artwork(gzip.compress(data)).shapes] == [81]
    in_members = gzip.compress(data[:50]) + gzip.compress(data[50:])  # RFC 1952, 2.2
    assert [shape.area.area for shape in read_artwork(in_members).shapes] == [81]
    damaged = bytearray(gzip.compress(data))
    damaged[-8] ^= 1  # of its checksum
    with pytest.raises(ArtworkError, match=r"broken gzip file .*: export it again"):
        read_artwork(bytes(damaged))


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b"%PDF-1.7\n", "is a PDF file, no SVG: save it as SVG in the drawing program"),
        (b"\x89PNG\r\n\x1a\n", "is a picture of pixels, no SVG"),
        (b"PK\x03\x04abc", "zip archive"),
        (b"<html><body/></html>", "its outermost element is <html>: save the drawing itself"),
        (b'<x xmlns="http://example.com/a"/>', "its outermost element is <x>"),
        (b'{"a": 1}', "no readable XML: Start tag expected, '<' not found, line 1, column 1. Export it again as SVG"),
    ],
)
def test_what_is_no_svg_is_told_by_what_it_is(data, words):
    with pytest.raises(ArtworkError) as caught:
        read_artwork(data)
    assert words in str(caught.value)


LEFT_OUT = {
    "off the page": (
        '<rect id="a" x="200" width="9" height="9" stroke="red"/><circle cx="-50" cy="5" r="9"/>',
        "off-page",
        'off the page, and not printed: 2 shapes, the first <rect id="a"> at line 2',
    ),
    "partly off the page": (
        '<rect id="a" x="95" y="50" width="9" height="9" stroke="red"/>',
        "cut-at-page",
        """cut off at the page's edge: 45 mm², up to 4.50 mm past it, of <rect id="a"> at line 2; enlarge the page""",
    ),
    "three of them": (
        '<circle r="3"/><rect id="a" x="95" y="50" width="9" height="9"/><circle cx="50" cy="100" r="2"/>',
        "cut-at-page",
        '36 mm², up to 4.00 mm past it, of <rect id="a"> at line 2, the largest loss of 3 shapes; ',
    ),
    "only its stroke on the page": (
        '<rect id="a" x="101" y="50" width="9" height="9" stroke="red" stroke-width="5"/>',
        "cut-at-page",
        '<rect id="a"> at line 2',
    ),
    "another language": (
        '<g id="a" systemLanguage="fr, de"><rect width="99" height="99"/></g><use href="#a"/>',
        "left-out",
        "left out, being for other languages than 'en' (remove systemLanguage to print it): <g id=\"a\"> at line 2",
    ),
    "another language in a switch": (
        '<switch><rect width="9"/><g id="a" systemLanguage="de"><rect width="99" height="99"/></g></switch>',
        "left-out",
        '<g id="a"> at line 2',
    ),
    "an extension": (
        '<g id="a" requiredExtensions="x"><rect width="99" height="99"/></g><rect requiredExtensions="y"/>',
        "left-out",
        "left out, asking for extensions of a viewer (remove requiredExtensions to print it): 2 elements, the first ",
    ),
    "extensions in a switch without another way": (
        '<switch><g id="a" requiredExtensions="x"><rect width="99" height="99"/></g></switch>',
        "left-out",
        "remove requiredExtensions",
    ),
    "a clip's shape for another language": (
        '<clipPath id="c"><rect id="a" systemLanguage="de" width="9" height="9"/></clipPath>'
        '<rect width="9" height="9" clip-path="url(#c)"/>',
        "left-out",
        '<rect id="a"> at line 2',
    ),
}
LEFT_OUT |= {
    "no namespace": (
        '<rect id="a" xmlns="" width="9" height="9"/><g xmlns=""><circle r="5"/></g><note xmlns="">b</note>',
        "left-out",
        "left out, being in no namespace, so that browsers draw nothing of them (move them into SVG's): 3 elements, "
        'the first <rect id="a"> at line 2',
    ),
    "colours by a profile": (
        '<circle id="a" cx="9" cy="9" r="5" fill="red icc-color(p, 1)" style="stroke:#fff device-cmyk(0,0,0,0)"/>',
        "by-profile",
        "printed in the colour that stands before one by a profile, where browsers pass over both (write it alone): "
        '<circle id="a"> at line 2',
    ),
    "joins that browsers do not know": (
        '<g stroke-linejoin="arcs"><path id="a" d="M9 9H50V50" stroke="red" stroke-width="9"/></g>',
        "uneven-stroke",
        '<path id="a"> at line 2: programs differ on joins by miter-clip or arcs, which browsers pass over',
    ),
    "path with a dot at a number's end": (
        '<path id="a" d="M9. 9H50V50"/>',
        "uneven-number",
        '<path id="a"> at line 2: a number of its d ends in a dot, where browsers stop drawing',
    ),
    "polygon with a dot at a number's end": (
        '<polygon id="a" points="9 9 50. 9 50 50"/>',
        "uneven-number",
        '<polygon id="a"> at line 2: a number of its points ends in a dot',
    ),
    "a clip's path that breaks off": (
        '<clipPath id="c"><path id="a" d="M0 0H9V9L 5"/></clipPath><rect width="9" height="9" clip-path="url(#c)"/>',
        "path-cut-short",
        '<path id="a"> at line 2: its path data breaks off',
    ),
}
WIDE = {
    "red beyond sRGB": ("fill:teal;fill:color(display-p3 1 0 0);fill-opacity:1", "#008080", True),
    "green by its chroma": ("fill:gold;fill:teal;fill:oklch(70% 0.4 150)", "#008080", True),
    "a colour that sRGB holds": ("fill:teal;fill:color(display-p3 .2 .3 .4)", "#2b4d68", False),
}
SILENT = {
    "an extension with another way": "<switch>"
    '<g requiredExtensions="x"><image/></g><circle cx="5" cy="5" r="2"/></switch>',
    "English": '<g systemLanguage="de, en-GB"><circle cx="5" cy="5" r="2"/></g>',
    "hidden": '<g display="none" systemLanguage="de"><circle cx="5" cy="5" r="2"/></g>',
    "rounding": '<rect width="100.004" height="5"/><rect x="100" width="1e-9" height="5"/>',
    "clipped to the page": '<clipPath id="c"><rect width="9" height="9"/></clipPath>'
    '<rect x="50" width="99" height="9" clip-path="url(#c)"/>',
}


@pytest.mark.parametrize("name", LEFT_OUT)
def test_art_that_is_left_out_is_told_in_one_notice_a_kind(name):
    body, code, words = LEFT_OUT[name]
    notices = read_artwork(drawing("\n" + body + '<rect x="50" y="50" width="9" height="9"/>')).notices
    assert [notice.code for notice in notices] == [code]
    assert words in notices[0].message
    assert notices[0].severity == "warning"


def test_art_that_the_page_cuts_is_told_at_the_edge_where_it_is_lost():
    art = '<rect x="95" y="50" width="9" height="9"/><circle cx="20" cy="20" r="9"/>'
    (told,) = read_artwork(drawing(art)).notices
    assert told.at_mm == pytest.approx((100, 54.5))


def test_what_covers_all_of_the_page_loses_nothing_at_its_edge():
    art = '<rect x="-9" y="-9" width="120" height="120"/><circle cx="50" cy="50" r="90" fill="red"/>'
    assert read_artwork(drawing(art)).notices == ()


@pytest.mark.parametrize("form", ['<rect id="a" width="9" height="9" style="{}"/>',
                                  '<style id="a">rect{{{}}}</style><rect width="9" height="9"/>'])  # fmt: skip
@pytest.mark.parametrize("name", WIDE)
def test_of_two_colours_the_one_that_srgb_holds_is_taken(name, form):
    """CSS 2, 4.2: what a program does not know leaves the declaration before it standing."""
    style, colour, told = WIDE[name]
    artwork = read_artwork(drawing(form.format(style)))
    assert [shape.hex for shape in artwork.shapes] == [colour]
    assert [notice.severity for notice in artwork.notices if 'id="a"' in notice.message] == ["warning"] * told


@pytest.mark.parametrize("name", SILENT)
def test_art_that_every_viewer_leaves_out_is_not_told(name):
    assert read_artwork(drawing(SILENT[name])).notices == ()


IN_PIXELS = 'width="100" height="80" viewBox="0 0 100 80"'
"""Units are CSS pixels, as around the page in a browser, which takes a root's clip and mask to be in those."""


@pytest.mark.parametrize("page", ['width="100mm" height="80mm" viewBox="0 0 100 80"', IN_PIXELS.replace("0 0", "0 5")])
def test_a_root_that_is_clipped_in_units_other_than_pixels_is_refused(page):
    body = '<clipPath id="c"><path d="M0 0h9v9"/></clipPath><path d="M0 0h20v20H0z"/>'
    with pytest.raises(ArtworkError, match="programs differ on where it is clipped or masked"):
        read_artwork(drawing(body, f'{page} clip-path="url(#c)"'))


@pytest.mark.parametrize("units", ["userSpaceOnUse", "objectBoundingBox"])
def test_a_root_in_pixels_is_clipped_and_its_box_is_the_page(units):
    side = 'width="50" height="40"' if units == "userSpaceOnUse" else 'width=".5" height=".5"'
    body = f'<clipPath id="c" clipPathUnits="{units}"><rect {side}/></clipPath><path d="M20 20h60v60h-60z"/>'
    (shape,) = read_artwork(drawing(body, f'{IN_PIXELS} clip-path="url(#c)"')).shapes
    assert shape.area.area == pytest.approx(30 * 20 * (25.4 / 96) ** 2)


def test_a_hidden_clip_clips_and_is_told():
    artwork = read_artwork(drawing('<clipPath id="c" display="none"><path d="M0 0h9v9H0z"/></clipPath>'
                                   '<path clip-path="url(#c)" d="M0 0h20v20H0z"/>'))  # fmt: skip
    assert [shape.area.area for shape in artwork.shapes] == [81]
    assert [notice.severity for notice in artwork.notices if notice.code == "hidden-clip"] == ["warning"]


TURNED = '<path d="M5 5h20v9z" transform="rotate({})"/>'
BY_BOX = {
    "clip": '<clipPath id="c" clipPathUnits="objectBoundingBox"><path d="M0 0h1v.5z"/></clipPath>'
    '<g id="x" clip-path="url(#c)">{}</g>',
    "mask": '<mask id="c" maskContentUnits="objectBoundingBox"><path d="M0 0h1v.5z" fill="#fff"/></mask>'
    '<g id="x" mask="url(#c)">{}</g>',
    "region of a mask": '<mask id="c" width=".5"><path d="M0 0h99v99z" fill="#fff"/></mask>'
    '<g id="x" mask="url(#c)">{}</g>',
    "transform": '<g id="x" style="transform-box:fill-box;transform-origin:center;transform:scale(.5)">{}</g>',
}


@pytest.mark.parametrize("asked", BY_BOX)
@pytest.mark.parametrize(
    ("shapes", "told"),
    [
        (TURNED.format(0), False),
        (TURNED.format(90), False),
        (TURNED.format(30), True),
        (f'<path d="M-40-40h80v80h-80z"/>{TURNED.format(30)}', False),
    ],
)
def test_what_lies_by_a_box_that_a_browser_has_larger_is_told(asked, shapes, told):
    """Chromium unites the boxes of a group's shapes after their transforms; SVG 2, 8.10, asks for the tight box."""
    notices = read_artwork(drawing(BY_BOX[asked].format(shapes), 'viewBox="-50 -50 99 99"')).notices
    assert [notice.severity for notice in notices if notice.code == "loose-box"] == ["warning"] * told


def test_a_mask_with_its_usual_region_is_not_told_of_a_box():
    body = '<mask id="c"><path d="M-9 0h99v99z" fill="#fff"/></mask><g mask="url(#c)">{}</g>'
    notices = read_artwork(drawing(body.format(TURNED.format(30)))).notices
    assert not [notice for notice in notices if notice.code == "loose-box"]


SHADOWED = """<filter id="f"><feGaussianBlur stdDeviation="1"/></filter>
<g style="filter:url(#f);opacity:.5;mix-blend-mode:multiply">
<rect width="9" height="9" fill="#c00"/><image width="5" height="5" href="data:image/png;base64,AAAA"/></g>
<rect x="20" width="9" height="9" fill="#0a0"/>"""


def test_all_that_is_to_be_mended_within_a_refused_group_is_told_in_one_round():
    with pytest.raises(ArtworkError) as refusal:
        read_artwork(drawing(SHADOWED))
    told = [offence.reason for offence in refusal.value.offences]
    for part in ("a filter (a shadow", "a blend mode", "50 % opacity", "a pixel picture"):
        assert sum(part in reason for reason in told) == 1
    assert len(told) == 4


def test_of_a_group_that_is_left_out_as_a_whole_nothing_else_is_told():
    notices = read_artwork(drawing(SHADOWED), ReadOptions(skip_unprintable=True)).notices
    told = " ".join(notice.message for notice in notices)
    assert len(notices) == 2
    assert "a filter" in told
    assert "a blend mode" in told


NAMED = '<g id="g3" e:label="Badge front"><title>not this</title>{}</g>'
TINT = '<rect width="9" height="9" fill="#c00" fill-opacity=".5"/>'


@pytest.mark.parametrize(
    ("inside", "layer"),
    [
        (TINT, "Badge front"),
        (f"<g>{TINT}</g>", "Badge front"),
        (f'<g id="small">{TINT}</g>', "small"),
        (f"<g><title>small\n print</title>{TINT}</g>", "small print"),
        (TINT.replace("<rect", '<rect e:id="Sun"'), "Sun"),
        (TINT.replace("<rect", f'<rect e:label="{"x" * 90}"'), "x" * 40),
    ],
)
def test_a_refused_thing_is_told_with_the_name_that_a_drawing_program_shows(inside, layer):
    """SVG 2, 5.7, gives titles to any element; programs note the names of layers in attributes of their own."""
    named = drawing(NAMED.format(inside)).replace(b"<svg ", b'<svg xmlns:e="http://example.org/e" e:label="page" ', 1)
    with pytest.raises(ArtworkError) as refusal:
        read_artwork(named)
    (offence,) = refusal.value.offences
    assert str(offence.place).startswith(f'in "{layer}", <rect> at line')


def test_what_stands_in_no_named_group_has_no_name_told():
    with pytest.raises(ArtworkError) as refusal:
        read_artwork(drawing(f"<g>{TINT}</g>"))
    assert str(refusal.value.offences[0].place).startswith("<rect> at line")


def test_the_name_of_a_group_is_looked_up_once_however_much_is_refused_in_it(monkeypatch):
    """Each look goes through all that stands in the group: 20,000 tints in one took 147 s, and take 1."""
    asked = []
    monkeypatch.setattr(report, "label_of", lambda element: asked.append(element.tag.rpartition("}")[2]))
    with pytest.raises(ArtworkError):
        read_artwork(drawing(f'<g><g id="all">{TINT * 50}</g>{TINT * 50}</g>'))
    assert (asked.count("rect"), asked.count("g")) == (100, 2)


@pytest.mark.parametrize("between", ["", "<g/>", "\n"])
def test_things_in_one_line_are_counted_as_many_as_they_are(between):
    """Programs that save space write whole drawings in one line, and without ids."""
    pair = f"<g>{TINT}{between}{TINT}</g>"
    with pytest.raises(ArtworkError, match="holds 4 things that"):
        read_artwork(drawing(f'{pair}{between}{pair}<rect id="whole" width="5" height="5"/>'))
    art = read_artwork(drawing(f"{pair}{between}<circle r='9' fill-opacity='.5'/>"), ReadOptions(skip_unprintable=True))
    told = [notice.message.partition(":")[2].partition(": ")[0] for notice in art.notices if notice.code == "left-out"]
    in_one_line = [" <rect> at line 1 (2 of them)", " <circle> at line 1"]
    assert sum(notice.places for notice in art.notices if notice.code == "left-out") == 3
    assert told == (
        [" <rect> at line 1", " <rect> at line 2", " <circle> at line 3"] if "\n" in between else in_one_line
    )


def test_one_thing_that_is_used_twice_is_one():
    with pytest.raises(ArtworkError, match="holds 1 thing that"):
        read_artwork(drawing(f'<defs><g id="a">{TINT}</g></defs><use href="#a"/><use href="#a" x="20"/>'))


ALL_IN_A_TINT = {
    # what stands in the tint: the reasons that are told of it, beside the tint itself
    "a tint of its own, as LibreOffice writes one twice": ('<rect width="9" height="9" fill-opacity=".6"/>', ["60 %"]),
    "a picture": ('<image href="a.png" width="9" height="9"/>', ["a pixel picture"]),
    "both": (f'{TINT}<image href="a.png" width="9" height="9"/>', ["50 %", "a pixel picture"]),
    "nothing of it on the page": ('<image href="a.png" x="999" width="9" height="9"/>', []),
}


@pytest.mark.parametrize(("inside", "told"), ALL_IN_A_TINT.values(), ids=ALL_IN_A_TINT)
def test_a_tint_is_told_with_all_that_is_refused_in_it(inside, told):
    plain = '<rect x="20" width="9" height="9"/>'
    reasons = [offence.reason for offence in offences_of(f'{plain}<g opacity=".7">{inside}</g>')]
    assert len(reasons) == len(told) + bool(told)
    assert all(reason.startswith(start) for reason, start in zip(reasons, [*told, "70 %"], strict=False))


def test_a_shape_is_told_of_its_paint_and_its_own_opacity_at_once():
    blend = '<linearGradient id="g"><stop stop-color="red"/><stop offset="1"/></linearGradient>'
    first, second = offences_of(f'{blend}<rect width="9" height="9" fill="url(#g)" opacity=".7"/>')
    assert "its fill is a gradient" in first.reason and second.reason.startswith("70 %")


def test_what_is_left_out_of_a_tint_is_told_without_the_tint():
    art = read_artwork(drawing(f'<g opacity=".7">{TINT}</g><circle r="9"/>'), ReadOptions(skip_unprintable=True))
    (left_out,) = (notice.message for notice in art.notices if notice.code == "left-out")
    assert "<rect>" in left_out


def offences_of(body):
    try:
        read_artwork(drawing(body))
    except ArtworkError as refusal:
        return refusal.offences
    return ()


def test_no_name_in_the_art_writes_lines_of_its_own_or_moves_a_cursor():
    picture = '<image id="b&#10;\u202ec" width="9" height="9" href="x.png"/>'
    body = f'<g xmlns:d="urn:d" d:label="a&#10;SAFE&#x9b;2J">{picture}</g>'
    with pytest.raises(ArtworkError) as caught:
        read_artwork(drawing(body))
    (told,) = str(caught.value).splitlines()[1:]
    assert told.startswith('  in "a SAFE\ufffd2J", <image id="b \ufffdc"> at line 1: ')
