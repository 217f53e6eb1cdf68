"""Questions about the page: a backdrop that would print as a block, and art beyond any platen. Read from drawings."""

import re

import pytest

from vectorsep.artwork import read_artwork
from vectorsep.inks import page_questions, separate_inks
from vectorsep.press_settings import PressSetting
from vectorsep.settings import InkSetting, ReadOptions, Settings

ART = '<circle cx="50" cy="30" r="20" fill="#c81e28"/><circle cx="50" cy="30" r="8" fill="#ffd700"/>'
WHITE_PAGE = '<rect id="bg" width="100" height="60" fill="#fff"/>'


def told(body, code, *, root='width="100mm" height="60mm"', art=ReadOptions(), **values):  # noqa: B008 - frozen
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" {root} viewBox="0 0 100 60">\n{body}</svg>'.encode()
    settings = Settings(art=art, **values)
    return [notice for notice in separate_inks(read_artwork(svg, art), settings).notices if notice.code == code]


BACKDROPS = {
    "a rectangle": WHITE_PAGE + ART,
    "a path": '<path id="bg" d="M0 0h100v60h-100z" fill="#fff"/>' + ART,
    "with bleed": '<rect id="bg" x="-3" y="-3" width="106" height="66" fill="#fff"/>' + ART,
    "nearly all of it": '<rect id="bg" x="1" y="1" width="98" height="58" fill="#fff"/>' + ART,
    "below another page": '<rect id="low" width="100" height="60" fill="#123"/>'
    + '<rect id="bg" x="1" y="1" width="98" height="58" fill="#fff"/>'
    + ART,
    "traced, with the art left out of it": '<path id="bg" fill-rule="evenodd" fill="#fff" d="M0 0h100v60h-100z'
    'M30 30a20 20 0 0 0 40 0a20 20 0 0 0 -40 0z"/>' + ART,
}
NONE = {
    "round": '<ellipse cx="50" cy="30" rx="50" ry="30" fill="#fff"/>' + ART,
    "round corners": '<rect width="100" height="60" rx="6" fill="#fff"/>' + ART,
    "corners rounded a little": '<rect width="100" height="60" rx="1" fill="#fff"/>' + ART,
    "a board that letters are cut through": '<path fill="#123" fill-rule="evenodd" d="M0 0h100v60h-100z'
    'M10 5v10h15v-10zM30 5v10h15v-10z"/>' + ART,
    "a wide frame": '<path d="M0 0h100v60h-100zM12 12v36h76v-36z" fill="#123"/>' + ART,
    "a frame": '<path d="M0 0h100v60h-100zM8 8v44h84v-44z" fill="#123"/>' + ART,
    "a panel": '<rect x="10" y="10" width="80" height="40" fill="#fff"/>' + ART,
    "nothing on it": WHITE_PAGE,
    "hidden by what lies on it": '<rect width="100" height="60" fill="#123"/>'
    '<path d="M0 0h100v30h-100z" fill="#c81e28"/><path d="M0 30h100v30h-100z" fill="#fff"/>',
}


@pytest.mark.parametrize("name", BACKDROPS)
def test_a_rectangle_behind_everything_is_asked_about_once(name):
    (asked,) = told(BACKDROPS[name], "backdrop")
    assert asked.severity == "warning"
    assert 'id="bg"> at line 2' in asked.message
    assert "white #ffffff" in asked.message
    assert "delete that backdrop in the art" in asked.message
    assert "garment.knock_out" not in asked.message


@pytest.mark.parametrize("count", [1, 2])
def test_backdrops_below_it_are_counted(count):
    sides = [(i / 4, 100 - i / 2, 60 - i / 2) for i in range(count)]
    lower = "".join(
        f'<rect x="{x}" y="{x}" width="{w}" height="{h}" fill="#1{i}3"/>' for i, (x, w, h) in enumerate(sides)
    )
    (asked,) = told(lower + BACKDROPS["nearly all of it"], "backdrop")
    assert f"over {count} more like it" in asked.message


def test_of_backdrops_alike_what_lies_before_them_is_measured_once(monkeypatch):
    """Layers that each bring one, all hidden but the last."""
    measured, measure = [], page_questions._covered_mm2
    monkeypatch.setattr(page_questions, "_covered_mm2", lambda box, areas: measured.append(box) or measure(box, areas))
    assert "over 9 more like it" in told(10 * WHITE_PAGE + ART, "backdrop")[0].message
    assert len(measured) == 2, "as drawn, and as printed"


def test_it_says_what_the_block_costs():
    block, ink = map(int, re.findall(r"(\d+) mm²", told(WHITE_PAGE + ART, "backdrop")[0].message))
    assert block == 6000
    assert ink == pytest.approx(6000 - 3.14159 * 20**2, abs=1)


def test_a_block_with_the_art_left_out_of_it_is_as_large_as_both():
    message = told(BACKDROPS["traced, with the art left out of it"], "backdrop")[0].message
    assert "one block of 6000 mm²" in message
    assert "no cloth shows" in message


def test_it_says_how_much_cloth_shows_where_art_is_left_to_it():
    (asked,) = told(WHITE_PAGE + ART, "backdrop", garment_hex="#c81e28", knock_out_garment=True)
    bare_mm2 = 3.14159 * (20**2 - 8**2)
    assert int(re.search(r"one block of (\d+) mm²", asked.message)[1]) == pytest.approx(6000 - bare_mm2, abs=1)
    assert f"cloth shows on {100 * bare_mm2 / 6000:.1f} % of it alone" in asked.message


@pytest.mark.parametrize("name", NONE)
def test_what_is_no_backdrop_is_not_asked_about(name):
    assert told(NONE[name], "backdrop") == []


def test_a_page_background_of_the_style_is_asked_about_too():
    (asked,) = told(ART, "backdrop", root='width="100mm" height="60mm" style="background:#abc"')
    assert "<svg> at line 1" in asked.message
    assert "#aabbcc" in asked.message


def test_a_backdrop_of_the_garments_colour_can_be_left_to_it_and_is_asked_about_no_more():
    cloth = "#fcfdfd"
    (asked,) = told(WHITE_PAGE + ART, "backdrop", garment_hex=cloth)
    assert "set garment.knock_out (--knock-out)" in asked.message
    assert told(WHITE_PAGE + ART, "backdrop", garment_hex=cloth, knock_out_garment=True) == []


def test_a_backdrop_that_merged_goes_by_the_ink_that_it_became():
    body = '<rect id="bg" width="100" height="60" fill="#ffd802"/>' + ART
    inks = (InkSetting("#ffd700", "brass"),)
    (asked,) = told(body, "backdrop", merge_inks=2.0, inks=inks)
    assert asked.plate == "brass"
    assert "brass #ffd802" in asked.message


WIDE = '<rect x="0" y="20" width="99" height="20" fill="#c81e28"/><circle cx="30" cy="30" r="5" fill="#fff"/>'


@pytest.mark.parametrize("asked_mm", [420, 900])
def test_art_beyond_any_platen_is_told_with_a_width_that_fits(asked_mm):
    (told_once,) = told(WIDE, "beyond-platen", art=ReadOptions(width_mm=asked_mm))
    fitting = float(re.search(r"--width (\d+)mm", told_once.message)[1])
    assert told_once.severity == "warning"  # as the README says of platen_height
    assert told(WIDE, "beyond-platen", art=ReadOptions(width_mm=fitting)) == []
    assert told(WIDE, "beyond-platen", art=ReadOptions(width_mm=fitting + 1)) != []


def test_tall_art_is_told_by_its_height():
    tall = '<rect x="45" y="0" width="10" height="60" fill="#c81e28"/>'
    (told_once,) = told(tall, "beyond-platen", art=ReadOptions(height_mm=600))
    fitting = float(re.search(r"--width (\d+)mm", told_once.message)[1])
    assert told(tall, "beyond-platen", art=ReadOptions(width_mm=fitting)) == []


def test_small_art_on_a_large_page_is_fine():
    """Its circle prints 400 mm wide and high, far from the page's corner."""
    assert told(ART, "beyond-platen", art=ReadOptions(width_mm=1000)) == []


def test_a_shop_with_a_larger_platen_says_so_once_and_is_asked_no_more():
    art = ReadOptions(width_mm=900)
    (usual,) = told(WIDE, "beyond-platen", art=art)
    assert "largest usual platen holds 406.4 × 533.4 mm" in usual.message
    assert "press.platen_width and press.platen_height" in usual.message
    assert told(WIDE, "beyond-platen", art=art, press=PressSetting(platen_width_mm=900, platen_height_mm=700)) == []
    (own,) = told(WIDE, "beyond-platen", art=art, press=PressSetting(platen_width_mm=800))
    assert "the largest platen holds 800.0 × 533.4 mm" in own.message
    assert "press.platen" not in own.message, "it has told its platen"


def test_a_small_platen_is_asked_about_below_the_usual_size():
    assert told(WIDE, "beyond-platen", art=ReadOptions(width_mm=300), press=PressSetting(platen_width_mm=280)) != []


@pytest.mark.parametrize("platen_mm", [0.5, 1.0, 1.2])
def test_no_width_is_told_where_the_rim_alone_is_as_wide_as_the_platen(platen_mm):
    """0.5 mm on both sides; and 0.2 mm of room, which a page of under a millimetre would take."""
    press = PressSetting(platen_width_mm=platen_mm)
    (asked,) = told(WIDE, "beyond-platen", press=press, spread_mm=0.5)
    assert "--width" not in asked.message and "mend press.platen_width" in asked.message


@pytest.mark.parametrize(("platen_mm", "fits"), [(198.9, False), (198.0 + 2 * 0.5 + 0.01, True)])
def test_the_blockers_rim_lies_on_the_platen_too(platen_mm, fits):
    """The rectangle prints 198 mm wide on a page of 200 mm, and 0.5 mm of blocker beyond it on both sides."""
    art, press = ReadOptions(width_mm=200), PressSetting(platen_width_mm=platen_mm)
    asked = told(WIDE, "beyond-platen", art=art, press=press, spread_mm=0.5)
    assert (asked == []) == fits
    for notice in asked:
        fitting = float(re.search(r"--width (\d+)mm", notice.message)[1])
        assert 0.99 * fitting + 1 <= platen_mm
        assert "print 199.0 × 41.0 mm at most" in notice.message
