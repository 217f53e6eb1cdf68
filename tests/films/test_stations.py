"""What the report says of flashes and cool-downs, against the stations of the plan, counted one by one."""

import re

import lxml.html
import pytest
from shapely import box

from vectorsep.films.stations import told_stations
from vectorsep.model import Plate, Stack
from vectorsep.pipeline import separate
from vectorsep.press import plan_press
from vectorsep.press_settings import PressSetting
from vectorsep.settings import Settings

AREA = box(0, 0, 50, 50)
BLOCKER = Plate("blocker", "blocker black", "#1c1c1e", AREA)
WHITE = Plate("white", "white", "#ffffff", AREA)
GOLD, NAVY = (Plate("colour", name, hex_, AREA) for name, hex_ in (("gold", "#ffd700"), ("navy", "#000080")))
HIGHLIGHT = Plate("colour", "highlight white", "#ffffff", AREA)
WET, NO_LAST, NO_COOL = {"flash_colours": False}, {"last_flash": False}, {"cooldown": False}


def plan_of(*plates, **press):
    return plan_press(Stack(plates, rim_mm2=0.0, savings=()), Settings(press=PressSetting(**press))).plan


TOLD = [
    ((BLOCKER,), {}, "a flash after the only layer"),
    ((BLOCKER,), NO_LAST, "no flash"),
    ((BLOCKER, WHITE), NO_COOL, "a flash after each layer"),
    ((BLOCKER, WHITE), {}, "a flash after each layer and a station to cool down after each flash but the last"),
    ((BLOCKER, WHITE), WET | NO_COOL | NO_LAST, "a flash after each layer but the last"),
    ((BLOCKER, WHITE, GOLD), WET, "a flash after each layer but the last and a station to cool down after each flash"),
    ((BLOCKER, WHITE, GOLD, NAVY), WET | NO_COOL, "a flash after blocker and white, the colours wet on wet"),
    ((BLOCKER, GOLD, NAVY), WET | NO_COOL, "a flash after blocker, the colours wet on wet"),
    ((BLOCKER, WHITE, GOLD, HIGHLIGHT), WET | NO_COOL, "a flash after each layer but the last"),
    (
        (BLOCKER, WHITE, GOLD, NAVY, HIGHLIGHT),
        WET | NO_COOL,
        "a flash after blocker and white, the colours wet on wet but for a flash before the highlight white",
    ),
]


@pytest.mark.parametrize(("plates", "press", "said"), TOLD)
def test_the_flashes_are_told_as_they_stand_on_the_heads(plates, press, said):
    """The kinds are counted from the stations; which of them a sentence claims is read from it by hand, above."""
    plan = plan_of(*plates, **press)
    assert told_stations(plan) == said
    kinds = [station.kind for station in plan.stations]
    if "each layer" in said:
        assert kinds.count("flash") == len(plates) - ("layer but the last" in said)
    if "cool down" in said:
        assert kinds.count("cool-down") == kinds.count("flash") - said.endswith("flash but the last")
    assert ("wet on wet" in said) == plan.prints_wet
    assert plan.prints_wet == ("screen screen" in " ".join(kinds))


ONE_COLOUR = b"""<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="30mm" viewBox="0 0 60 30">
<circle cx="15" cy="15" r="10" fill="#c81e28"/><rect x="32" y="5" width="20" height="20" fill="#fff"/></svg>"""


@pytest.mark.parametrize("highlight", [False, True])
def test_one_colour_never_prints_wet_on_wet(highlight):
    settings = Settings(highlight_white=highlight, press=PressSetting(flash_colours=False))
    _, files = separate(ONE_COLOUR, settings, "one.svg")
    text = re.sub(r"\s+", " ", lxml.html.fromstring(files["stacking-report.html"]).text_content())
    assert "print wet on wet" not in text
    assert ("The colour is flashed before the highlight white" in text) == highlight


@pytest.mark.parametrize("last_flash", [False, True])
def test_a_press_sheet_without_a_flash_tells_nothing_of_flashes(last_flash):
    black = ONE_COLOUR.replace(b"#c81e28", b"#000").replace(b"#fff", b"#000")
    settings = Settings(merge_black=True, press=PressSetting(last_flash=last_flash))
    page = lxml.html.fromstring(separate(black, settings, "black.svg")[1]["stacking-report.html"])
    (sheet,) = page.find_class("press-sheet")
    assert ("Each flash heats" in sheet.text_content()) == last_flash
    assert ("take the ink wet" in sheet.text_content()) != last_flash


def test_a_single_screen_has_no_order():
    svg = ONE_COLOUR.replace(b"#c81e28", b"#000").replace(b"#fff", b"#000")
    job, files = separate(svg, Settings(merge_black=True), "black.svg")
    assert len(job.films) == 1
    assert "in this order" not in files["stacking-report.html"].decode()
    assert "in this order" in separate(svg, Settings(), "black.svg")[1]["stacking-report.html"].decode()
