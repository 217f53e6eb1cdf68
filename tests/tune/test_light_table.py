"""What the page is told: plates as path data, distances, and all that is wrong at once."""

import pytest
from disc import DISC
from svgelements import Path as SvgPath

from vectorsep.api import read_design
from vectorsep.errors import CalledOff, SettingsError
from vectorsep.job import KEYS
from vectorsep.pipeline import separate
from vectorsep.settings import Settings
from vectorsep.tune.light_table import TUNED, LightTable

RIM = "45,25,55,35"


def test_a_look_gives_plates_in_print_order_and_all_distances(table):
    look = table.look({"window": RIM, "white.choke": "0.5mm"})
    assert [plate["role"] for plate in look["plates"]] == ["blocker", "white", "colour"]
    assert look["window"] == (45, 25, 55, 35)
    assert look["distances"]["white.choke"] == 0.5
    assert look["distances"]["blocker.spread"] == Settings().spread_mm


def test_the_loupe_sees_the_plates_of_a_few_millimetres_in_the_window(table):
    seen = table.loupe({"window": "40,20,60,40", "white.choke": "0.5"})
    assert seen["window"] == pytest.approx((46.4, 26.4, 53.6, 33.6))  # at the disc's edge
    look = table.look({"window": ",".join(map(str, seen["window"])), "white.choke": "0.5"})
    assert seen["plates"] == look["plates"]
    with pytest.raises(SettingsError, match=r"@ white\.choke"):
        table.loupe({"window": RIM, "white.choke": "-1"})


def test_a_look_is_left_off_once_nobody_waits_for_it(table):
    with pytest.raises(CalledOff):
        table.look({"window": RIM, "white.choke": "0.123"}, lambda: False)
    assert table.look({"window": RIM, "white.choke": "0.123"})["distances"]["white.choke"] == 0.123


def test_paths_are_read_by_others_as_what_they_are(table):
    white = table.look({"window": RIM, "white.choke": "0.5"})["plates"][1]
    _, _, right, _ = SvgPath(white["path"]).bbox()  # svgelements' own reading of the path data
    assert right == pytest.approx(50 - 0.5, abs=0.002)


def test_distances_that_follow_the_registration_follow_it_until_the_job_or_the_page_sets_them(table):
    look = table.look({"window": RIM, "press.registration": "0.4", "colour.trap": "0.1"})
    assert [look["distances"][key] for key in ("colour.clearance", "white.min_choke", "colour.trap")] == [0.4, 0.4, 0.1]
    follows = {str(key) for key, _, following in table.tuned() if following}
    assert follows == {"white.min_choke", "colour.clearance", "colour.trap"}
    set_by_job = LightTable("x.svg", table.svg, table.design, {"clearance_mm": 0.3}, table.first_window)
    assert {str(key): (mm, following) for key, mm, following in set_by_job.tuned()}["colour.clearance"] == (0.3, False)
    assert set_by_job.look({"window": RIM, "press.registration": "0.4"})["distances"]["colour.clearance"] == 0.3


def test_everything_wrong_is_told_at_once(table):
    with pytest.raises(SettingsError) as caught:
        table.look({"window": "1,2,3", "white.choke": "wide", "blocker.mesh": "86"})
    assert sorted(problem.rpartition(" @ ")[2] for problem in caught.value.problems) == [
        "blocker.mesh", "white.choke", "window"
    ]  # fmt: skip


def test_what_is_wrong_is_told_in_the_order_in_which_it_was_asked(table):
    wrong = [str(key) for key in TUNED]
    with pytest.raises(SettingsError) as caught:
        table.look({"window": RIM} | dict.fromkeys(wrong, "wide"))
    assert [problem.rpartition(" @ ")[2] for problem in caught.value.problems] == wrong


@pytest.mark.parametrize(
    "window", ["", "1,2,3", "1,2,3,x", "5,0,5,9", "5,9,6,0", "nan,0,1,1", "0,0,inf,1", "0,0,1e9,1", "1e300,0,2e300,1"]
)
def test_a_window_that_is_none_is_refused(table, window):
    with pytest.raises(SettingsError, match="give left,top,right,bottom in mm @ window"):
        table.look({"window": window})


@pytest.mark.parametrize("length", ["-1", "50mm", "1e999"])
def test_distances_out_of_range_are_refused(table, length):
    with pytest.raises(SettingsError, match=r"@ blocker\.spread"):
        table.look({"window": RIM, "blocker.spread": length})


def test_the_map_shows_the_whole_page_coarsely(table):
    shown = table.map()
    assert shown["size"] == (60, 60)
    assert shown["cloth"] == "#202024"
    assert SvgPath(shown["inks"][0]["path"]).bbox() == pytest.approx((10, 10, 50, 50), abs=0.2)
    whole = sum(len(ring.coords) for ring in (table.design.inks[0].area.exterior,))
    assert shown["inks"][0]["path"].count(" ") < whole


def test_what_is_tuned_are_lengths_of_the_job_file():
    assert set(TUNED) <= set(KEYS)
    assert all(key.read("0.01in") == pytest.approx(0.254) for key in TUNED)


def test_where_nothing_is_drawn_a_look_is_empty(table):
    assert table.look({"window": "200,200,260,260"})["plates"] == []


def test_a_check_says_what_separating_says(table):
    asked = {"window": RIM, "blocker.spread": "0.6", "white.choke": "0.1"}
    job, _ = separate(DISC.encode(), Settings(spread_mm=0.6, choke_mm=0.1, garment_hex="#202024"), "a <disc>.svg")
    checked = table.check(asked)()
    assert (checked["safe"], checked["screens"]) == (job.check.safe, "3 screens")
    assert checked["verdict"] == "SAFE at a registration tolerance of 0.25 mm"
    remarks = [*job.design.notices, *job.stack.notices, *job.check.findings]
    assert sorted(remark["message"] for remark in checked["remarks"]) == sorted(remark.message for remark in remarks)
    assert {remark["message"]: remark["at"] for remark in checked["remarks"]} == {
        remark.message: remark.at_mm for remark in remarks
    }
    assert any(remark.severity == "warning" for remark in remarks)


def test_what_is_unsafe_is_told_as_unsafe(table):
    checked = table.check({"window": RIM, "colour.clearance": "0.1", "blocker.spread": "0.1"})()
    assert checked["safe"] is False
    assert checked["verdict"] == "NOT SAFE at a registration tolerance of 0.25 mm"
    assert checked["remarks"][0]["severity"] == "unsafe"


def test_a_check_refuses_what_a_look_refuses(table):
    with pytest.raises(SettingsError, match=r"@ white\.choke"):
        table.check({"window": RIM, "white.choke": "-1"})


def test_gaps_fill_or_stay_open_as_the_page_switches_them():
    bars = "".join(f'<rect x="{5 + 8.5 * i}" y="5" width="8" height="30" fill="#c81e28"/>' for i in range(3))
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 40 40">{bars}</svg>'
    table = LightTable("bars.svg", svg.encode(), read_design(svg), {"garment_hex": "#1c1c1f"}, (4, 15, 31, 25))
    window = {"window": "4,15,31,25"}
    by_itself, filled, opened = (
        SvgPath(table.look(window | switched)["plates"][0]["path"])
        for switched in ({}, {"blocker.fill_gaps": "true"}, {"blocker.fill_gaps": "false"})
    )
    assert [len(list(path.as_subpaths())) for path in (by_itself, filled, opened)] == [1, 1, 3]


def test_a_switch_is_on_or_off(table):
    with pytest.raises(SettingsError, match=r"'perhaps' is neither true nor false @ blocker\.fill_gaps"):
        table.look({"window": RIM, "blocker.fill_gaps": "perhaps"})
    with pytest.raises(SettingsError, match=r"@ white\.choke"):
        table.look({"window": RIM, "white.choke": "true"})
