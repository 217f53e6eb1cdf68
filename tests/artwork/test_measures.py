"""Sizes and areas against numbers worked out from the standard, not from this program."""

import math

import pytest
import shapely
from svg import PAGE, areas_of, drawing, shapes_of

from vectorsep.artwork import read_artwork
from vectorsep.errors import ArtworkError
from vectorsep.geometry.curves import FLATNESS_MM
from vectorsep.settings import ReadOptions

STAR = "M50 0L21 90 98 35 2 35 79 90Z"
INCH = 25.4


@pytest.mark.parametrize(("rule", "area"), [("nonzero", 2792.298), ("evenodd", 1929.597)])
def test_the_star_by_both_rules(rule, area):
    """Areas of the pentagram from its corner coordinates, by hand."""
    assert areas_of(f'<path d="{STAR}" fill-rule="{rule}"/>')[0][1] == pytest.approx(area, abs=5e-4)


@pytest.mark.parametrize(
    ("limit", "angle", "pointed"),
    [(4, 29.0, True), (4, 28.9, False), (10, 11.5, True), (10, 11.4, False), (2, 60.1, True), (2, 59.9, False)],
)
def test_miters_bevel_past_the_limit(limit, angle, pointed):
    """Miter length over width is 1 / sin(angle / 2) (SVG 2, 13.5.5): 28.955, 11.478 and 60 degrees at 4, 10 and 2."""
    half = math.radians(angle) / 2
    x, y = 40 * math.cos(half), 40 * math.sin(half)
    [(_, area)] = areas_of(
        f'<path d="M{60 - x} {50 - y}L60 50 {60 - x} {50 + y}" fill="none" stroke="red" stroke-width="2" '
        f'stroke-miterlimit="{limit}"/>'
    )
    bevelled = areas_of(
        f'<path d="M{60 - x} {50 - y}L60 50 {60 - x} {50 + y}" fill="none" stroke="red" stroke-width="2" '
        'stroke-linejoin="bevel"/>'
    )[0][1]
    tip = math.cos(half) ** 2 / math.tan(half)  # the triangle beyond a bevel, half width 1
    assert area - bevelled == pytest.approx(tip if pointed else 0, abs=1e-6)


@pytest.mark.parametrize("radius", [0.05, 1, 10, 45])
def test_a_circle_is_within_the_flatness(radius):
    [shape] = shapes_of(f'<circle cx="50" cy="50" r="{radius}"/>')
    reach = [math.hypot(x - 50, y - 50) for x, y in shape.area.exterior.coords]
    assert max(reach) == pytest.approx(radius, rel=4e-7)
    assert 0 <= math.pi * radius**2 - shape.area.area < 2 * math.pi * radius * FLATNESS_MM


@pytest.mark.parametrize(("length", "mm"), [("10mm", 10), ("1cm", 10), ("1in", INCH), ("72pt", INCH), ("6pc", INCH),
                                            ("96px", INCH), ("96", INCH), ("40Q", 10),
                                            ("calc(5mm * 2 + 0in)", 10)])  # fmt: skip
def test_units_of_the_page(length, mm):
    """1 in = 96 px = 72 pt = 6 pc = 25.4 mm = 101.6 Q (CSS Values 3, 6.2)."""
    page = f'width="{length}" height="{length}" viewBox="0 0 10 10"'
    artwork = read_artwork(drawing('<rect width="10" height="10"/>', page))
    assert (artwork.width_mm, artwork.height_mm) == pytest.approx((mm, mm))
    assert artwork.shapes[0].area.area == pytest.approx(mm * mm)


def test_a_page_in_units_of_its_own_font():
    """On the outermost element these go by its own font (CSS Values 4, 6.1.1); Chromium shows this 100 x 50 pixels."""
    page = 'style="font-size:10px" width="10em" height="5rem" viewBox="0 0 10 10"'
    artwork = read_artwork(drawing("", page))
    assert (artwork.width_mm, artwork.height_mm) == pytest.approx((100 * INCH / 96, 50 * INCH / 96))


@pytest.mark.parametrize(
    ("style", "told"),
    [("border:1px solid red", True), ("border-left:solid", True), ("padding:0 9px", True), ("margin-top:-1em", True),
     ("box-shadow:0 0 9px red", True), ("margin:0 auto;border:0 NONE;padding:0px;box-shadow:none", False),
     ("border:solid;border:none", False)],
)  # fmt: skip
def test_a_page_in_a_web_page_s_box_is_told(style, told):
    """Chromium draws the frame and moves the art within; on elements inside none of it counts."""
    body = f'<g style="{style}"><rect width="9" height="9"/></g>'
    notices = read_artwork(drawing(body, f'{PAGE} style="{style}"')).notices
    assert [notice.code for notice in notices] == ["page-box"] * told
    assert not read_artwork(drawing(body)).notices


@pytest.mark.parametrize(
    ("style", "told"), [("width:60mm", True), ("width:5cm;height:.2in", True), ("width:5cm;height:auto", False),
                        ("width:100%;height:100%", False), ("", False)]
)  # fmt: skip
def test_a_page_that_a_style_sizes_otherwise_is_told(style, told):
    """Chromium obeys the style where it shows the drawing by itself, and the attributes in a page's <img>."""
    page = f'width="50mm" height="20mm" viewBox="0 0 50 20" style="{style}"'
    artwork = read_artwork(drawing("", page))
    assert (artwork.width_mm, artwork.height_mm) == (50, 20)
    assert [notice.code for notice in artwork.notices] == ["size-unconfirmed"] * told
    assert not read_artwork(drawing("", page), ReadOptions(width_mm=50)).notices


def test_a_page_in_pixels_asks_to_confirm_the_size():
    body, page = '<rect width="10" height="10"/>', 'width="100" height="50"'
    [notice] = read_artwork(drawing(body, page)).notices
    assert notice.code == "size-unconfirmed"
    assert "26.458 mm × 13.229 mm" in notice.message
    assert not read_artwork(drawing(body, page), ReadOptions(width_mm=200)).notices
    assert not read_artwork(drawing(body)).notices


@pytest.mark.parametrize(("options", "size"), [({"width_mm": 50}, (50, 25)), ({"height_mm": 100}, (200, 100)),
                                               ({"width_mm": 60, "height_mm": 30}, (60, 30))])  # fmt: skip
def test_print_size_override_keeps_the_art_in_proportion(options, size):
    artwork = read_artwork(drawing('<circle cx="50" cy="25" r="20"/>', 'viewBox="0 0 100 50"'), ReadOptions(**options))
    assert (artwork.width_mm, artwork.height_mm) == size
    left, top, right, bottom = artwork.shapes[0].area.bounds
    assert right - left == pytest.approx(bottom - top, rel=1e-6)
    assert right - left == pytest.approx(0.4 * min(size[0], 2 * size[1]), rel=1e-4)


def test_dashes_of_odd_lists_repeat_twice():
    """SVG 2, 13.5.6: the list "2,5,3" has period 20: dash 2, gap 5, dash 3, gap 2, dash 5, gap 3."""
    [shape] = shapes_of('<path d="M0 50H40" stroke="red" stroke-width="1" stroke-dasharray="2,5,3"/>')
    spans = sorted((round(part.bounds[0], 6), round(part.bounds[2], 6)) for part in shape.area.geoms)
    assert spans == [(0, 2), (7, 10), (12, 17), (20, 22), (27, 30), (32, 37)]


def test_a_stroke_covers_what_lies_within_half_its_width():
    """A circle's stroke is a ring: area 2 pi r w."""
    [(_, area)] = areas_of('<circle cx="50" cy="50" r="30" fill="none" stroke="red" stroke-width="8"/>')
    assert area == pytest.approx(2 * math.pi * 30 * 8, abs=2 * math.pi * 60 * FLATNESS_MM)


def test_a_tight_curve_stroked_wide_covers_the_sum_of_discs():
    """A half circle of radius 2 under a round pen of 10: two half discs, and the ring sector between them is a disc."""
    [shape] = shapes_of('<path d="M48 50A2 2 0 0 1 52 50" fill="none" stroke="red" stroke-width="20" '
                        'stroke-linecap="round"/>')  # fmt: skip
    arc = shapely.LineString([(50 - 2 * math.cos(t * math.pi / 500), 50 - 2 * math.sin(t * math.pi / 500))
                              for t in range(501)])  # fmt: skip
    true = arc.buffer(10, quad_segs=500)
    assert shapely.symmetric_difference(shape.area, true).area < 2 * FLATNESS_MM * true.length


@pytest.mark.parametrize(
    ("radius", "width", "dashes"),
    [(0.15, 20, ""), (0.15, 20, 'stroke-dasharray="1000 1"'), (0.02, 20, ""), (0.05, 40, "")],
)
def test_a_corner_rounded_in_steps_of_a_slip_keeps_its_ends(radius, width, dashes):
    """Discs along two legs and the arc between them, by plain shapely. All of the arc was taken for one slip."""
    path = f'<path d="M30 50H50a{radius} {radius} 0 0 1 {radius} {radius}V70" fill="none" stroke="red" {dashes}'
    [shape] = shapes_of(f'{path} stroke-width="{width}" stroke-linecap="round" stroke-linejoin="round"/>')
    turned = [math.radians(degrees) for degrees in range(91)]
    arc = [(50 + radius * math.sin(turn), 50 + radius * (1 - math.cos(turn))) for turn in turned]
    legs = zip([(30, 50), *arc], [*arc, (50 + radius, 70)], strict=True)
    true = shapely.union_all([shapely.LineString(leg).buffer(width / 2, quad_segs=200) for leg in legs])
    assert shape.area.hausdorff_distance(true) < 2 * FLATNESS_MM


@pytest.mark.parametrize(
    "slips", ["l.0004 0l.0004 0l-.0008 0", "l.0003 0l-.0003 0", "l.0003 0l.0003 0l-.0003 0l-.0003 0"]
)
def test_slips_out_and_back_leave_a_line_as_it_was(slips):
    """Steps of a few hundred thousandths of the pen, out and back: a bar of 20 by 10 with round ends."""
    [shape] = shapes_of(f'<path d="M20 50{slips}L40 50" fill="none" stroke="red" stroke-width="10" '
                        'stroke-linecap="round" stroke-linejoin="round"/>')  # fmt: skip
    true = shapely.LineString([(20, 50), (40, 50)]).buffer(5, quad_segs=200)
    assert shape.area.hausdorff_distance(true) < 2 * FLATNESS_MM


def test_what_lies_off_the_page_is_cut():
    [shape] = shapes_of('<rect x="-50" y="-50" width="100" height="100"/>')
    assert shape.area.bounds == (0, 0, 50, 50)


@pytest.mark.parametrize(
    ("page", "words"),
    [
        ('width="0" height="0"', "no area"),
        ('width="10mm" height="10mm" viewBox="0 0 0 9"', "viewBox has no area"),
        ("", "no size"),
        ('width="9000mm" height="10mm"', "2000 mm"),
        ('width="ten" height="10mm"', "'ten' is unreadable"),
        ('width="90 mm" height="10mm"', "width '90 mm' has a space before its unit.*write '90mm'"),
        ('width="calc(50% - 10px)" height="10mm"', "no area"),
        ('width="9mm" height="9mm" viewBox="0 0 9"', "'0 0 9' is unreadable"),
    ],
)
def test_pages_that_cannot_print_are_refused(page, words):
    with pytest.raises(ArtworkError, match=words):
        read_artwork(drawing('<rect width="9" height="9"/>', page))


def test_page_constant_is_a_hundred_millimetres():
    artwork = read_artwork(drawing("", PAGE))
    assert (artwork.width_mm, artwork.height_mm, artwork.shapes) == (100, 100, ())


def test_width_and_height_that_are_not_of_the_pages_shape_are_refused():
    art = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 120"><rect width="9" height="9"/></svg>'
    with pytest.raises(ArtworkError, match="--width or --height alone"):
        read_artwork(art, ReadOptions(width_mm=280, height_mm=300))
    page = read_artwork(art, ReadOptions(width_mm=280, height_mm=336))
    assert (page.width_mm, page.height_mm) == (280, 336)
