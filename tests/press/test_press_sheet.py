"""Heads and ink of a stack, against counting by hand and published mesh figures."""

import dataclasses
import random
import re
from collections import Counter
from itertools import chain, combinations

import pytest
from shapely import box

from vectorsep.errors import SettingsError
from vectorsep.job import read_job
from vectorsep.mesh import Mesh
from vectorsep.model import Plate, Saving, Stack
from vectorsep.press import heads as press_heads
from vectorsep.press import plan_press, stack_findings
from vectorsep.press.heads import MOST_SAVINGS, _at_once, _Step
from vectorsep.press_settings import GarmentSetting, PressSetting
from vectorsep.settings import InkSetting, Settings

KEYS = (None, "colour.merge_inks = 2", "colour.merge_inks = 3", "blocker.merge_black = true")
AREA = box(0, 0, 100, 100)
PLATES = (
    Plate("blocker", "blocker black", "#000000", AREA),
    Plate("white", "white", "#ffffff", AREA),
    Plate("colour", "gold", "#ffd700", AREA),
    Plate("colour", "navy", "#000080", AREA),
)
SAVING = Saving("let the blocker print the design's black", 1, "its black is matt", taken=False)
STACK = Stack(PLATES, rim_mm2=0.0, savings=(SAVING,))


def sheet(**press):
    return plan_press(STACK, Settings(press=PressSetting(**press)))


def test_heads_counted_by_hand():
    """Four screens, each flashed, a cool-down between: S F C S F C S F C S F = 11."""
    kinds = [station.kind for station in sheet().plan.stations]
    assert kinds == ["screen", "flash", "cool-down"] * 3 + ["screen", "flash"]
    assert len(sheet(last_flash=False).plan.stations) == 10
    assert len(sheet(cooldown=False).plan.stations) == 8
    assert len(sheet(cooldown=False, last_flash=False).plan.stations) == 7


def test_plates_keep_their_print_order_on_the_heads():
    screens = [station.plate for station in sheet().plan.stations if station.kind == "screen"]
    assert tuple(screens) == PLATES


@pytest.mark.parametrize(("heads", "fits"), [(None, None), (10, False), (11, True), (12, True)])
def test_whether_it_fits(heads, fits):
    assert sheet(heads=heads).plan.fits is fits


def test_a_press_too_small_is_a_finding_with_remedies_that_were_counted():
    small = sheet(heads=8)
    assert ("too-few-heads", "warning") in {(finding.code, finding.severity) for finding in small.findings}
    heads = {remedy.step: remedy.heads for remedy in small.plan.remedies}
    assert heads["no cool-down stations"] == 8
    assert heads["do not flash the last layer"] == 10
    assert heads[SAVING.step] == 8
    assert heads["two rounds: blocker and white, then the colours"] == 5
    assert sheet(heads=11).plan.remedies == ()


def test_two_rounds_part_the_base_that_there_is_from_the_colours():
    """Without white the blocker is a round by itself: one screen and one flash; two colours then take 2 x 2 + 1."""
    bare = dataclasses.replace(STACK, plates=(PLATES[0], *PLATES[2:]), savings=())
    remedies = plan_press(bare, Settings(press=PressSetting(heads=3))).plan.remedies
    rounds = [(remedy.step, remedy.heads) for remedy in remedies if "rounds" in remedy.step]
    assert rounds[0] == ("two rounds: blocker, then the colours", 5)
    base = dataclasses.replace(STACK, plates=PLATES[:2], savings=())
    small = plan_press(base, Settings(press=PressSetting(heads=1))).plan.remedies
    assert not any("rounds" in remedy.step for remedy in small)


def test_a_remedy_does_what_it_says():
    """Take the step and count again."""
    remedies = {remedy.step: remedy.heads for remedy in sheet(heads=3).plan.remedies}
    taken = sheet(heads=3, cooldown=False)
    assert len(taken.plan.stations) == remedies["no cool-down stations"]
    fewer = dataclasses.replace(STACK, plates=PLATES[:-1], savings=())
    assert len(plan_press(fewer, Settings(press=PressSetting(heads=3))).plan.stations) == remedies[SAVING.step]


SEVEN = (*PLATES, *(Plate("colour", f"ink {n}", f"#00000{n}", AREA) for n in range(3)))


def plan_of(plates, **press):
    return plan_press(dataclasses.replace(STACK, plates=plates, savings=()), Settings(press=PressSetting(**press))).plan


def test_colours_wet_on_wet_take_one_head_each():
    """Seven screens, blocker and white flashed and cooled: S F C S F C, then five colours = 11, counted by hand."""
    plan = plan_of(SEVEN, flash_colours=False)
    assert [station.kind for station in plan.stations] == ["screen", "flash", "cool-down"] * 2 + ["screen"] * 5
    assert [plan.is_flashed(plate) for plate in SEVEN] == [True, True] + [False] * 5
    assert len(plan_of(SEVEN, flash_colours=False, cooldown=False).stations) == 9
    assert len(plan_of(SEVEN[:2], flash_colours=False).stations) == 5, "white alone is flashed as ever"


WITH_HIGHLIGHT = (*SEVEN[:4], Plate("colour", "highlight white", "#ffffff", AREA))


def test_wet_colours_are_flashed_before_a_highlight_white_where_a_head_is_free():
    """Counted by hand: S F C S F C, gold, navy and the white are 9; a flash and a cool-down before it make 11."""
    for heads in (None, 11):
        plan = plan_of(WITH_HIGHLIGHT, flash_colours=False, heads=heads)
        kinds = [station.kind for station in plan.stations]
        assert kinds == ["screen", "flash", "cool-down"] * 2 + ["screen", "screen", "flash", "cool-down", "screen"]
        assert [plan.is_flashed(plate) for plate in WITH_HIGHLIGHT] == [True, True, False, True, False]
        assert (plan.highlight_on, plan.fits) == ("flashed", None if heads is None else True)


def test_without_a_free_head_a_highlight_white_prints_on_wet_colours_and_that_is_a_warning():
    stack = dataclasses.replace(STACK, plates=WITH_HIGHLIGHT, savings=())
    for heads, fits in ((10, True), (9, True), (8, False)):
        pressed = plan_press(stack, Settings(press=PressSetting(flash_colours=False, heads=heads)))
        assert (len(pressed.plan.stations), pressed.plan.highlight_on, pressed.plan.fits) == (9, "wet", fits)
        (finding,) = [finding for finding in pressed.findings if finding.code == "wet-highlight"]
        assert (finding.severity, finding.plate) == ("warning", "highlight white")
    assert plan_of(WITH_HIGHLIGHT, flash_colours=False, heads=9).remedies == ()


@pytest.mark.parametrize(
    ("heads", "cooldown", "said"),
    [
        (10, True, "free 1 head (with that flash, and a cool-down after it, the job takes 11)"),
        (9, True, "free 2 heads (with that flash, and a cool-down after it, the job takes 11)"),
        (8, True, "free 3 heads (with that flash, and a cool-down after it, the job takes 11)"),
        (7, False, "free 1 head (with that flash the job takes 8)"),
    ],
)
def test_so_many_heads_as_a_highlight_white_asks_for_give_it_its_flash(heads, cooldown, said):
    """Counted by hand: S F C S F C S S F C S, and without the cool-downs 8. What it asks for is given it."""
    press = {"flash_colours": False, "cooldown": cooldown}
    stack = dataclasses.replace(STACK, plates=WITH_HIGHLIGHT, savings=())
    small = plan_press(stack, Settings(press=PressSetting(heads=heads, **press)))
    (message,) = [finding.message for finding in small.findings if finding.code == "wet-highlight"]
    assert said in message
    asked = int(re.search(r"free (\d+) head", message)[1])
    assert plan_of(WITH_HIGHLIGHT, heads=heads + asked, **press).highlight_on == "flashed"
    assert plan_of(WITH_HIGHLIGHT, heads=heads + asked - 1, **press).highlight_on == "wet"


def test_the_price_of_wet_colours_tells_of_a_highlight_white_where_there_is_one():
    for plates, tells in ((WITH_HIGHLIGHT, True), (SEVEN, False)):
        costs = {remedy.keys: remedy.cost for remedy in plan_of(plates, heads=3).remedies}
        assert ("highlight white turns dull" in costs[("press.flash_colours = false",)]) == tells


def test_a_step_that_saves_no_head_by_itself_is_not_offered_as_one():
    """Counted by hand: colours that print wet leave the last layer no flash to be saved, 9 heads with or without; and a
    single screen has no cool-down and no colours."""
    wet = plan_of(SEVEN, heads=3, flash_colours=False, cooldown=False)
    assert len(wet.stations) == 9
    assert wet.remedies and all(remedy.heads < 9 for remedy in wet.remedies)
    assert "press.last_flash = false" not in {key for remedy in wet.remedies for key in remedy.keys}
    assert [remedy.keys for remedy in plan_of(PLATES[:1], heads=1).remedies] == [("press.last_flash = false",)]


@pytest.mark.parametrize(("colours", "offered"), [(1, False), (2, True)])
def test_one_colour_is_offered_no_printing_wet_on_wet(colours, offered):
    remedies = plan_of(PLATES[: 2 + colours], heads=3).remedies
    assert any("wet on wet" in remedy.step for remedy in remedies) == offered


def test_one_head_is_told_of_as_one():
    """A blocker alone and its flash take two heads."""
    alone = dataclasses.replace(STACK, plates=PLATES[:1], savings=())
    (finding,) = plan_press(alone, Settings(press=PressSetting(heads=1))).findings
    assert "the press has 1; 1 would do with press.last_flash = false, see" in finding.message


def test_only_white_that_prints_over_colours_is_a_highlight():
    """Off-white with a screen of its own prints first of the colours, and white alone lies on flashed white."""
    cream = Plate("colour", "cream", "#fffdfa", AREA)
    for plates in (SEVEN, (*SEVEN[:2], cream, *SEVEN[2:4]), (*SEVEN[:2], WITH_HIGHLIGHT[-1])):
        assert plan_of(plates, flash_colours=False).highlight_on is None
    assert plan_of(WITH_HIGHLIGHT).highlight_on == "flashed", "as every colour is"


def test_steps_are_put_together_until_they_fit_and_the_cheapest_come_first():
    """Seven screens take 20 heads; on 10, no step alone is enough: 19 without the last flash, 11 wet on wet, 14
    without cool-downs, 14 in two rounds. Wet on wet without cool-downs takes 9, all counted by hand."""
    plan = plan_of(SEVEN, heads=10)
    assert len(plan.stations) == 20
    assert [remedy.heads for remedy in plan.remedies] == [19, 11, 14, 14, 9]
    assert plan.remedy == plan.remedies[-1]
    assert plan.remedy.keys == ("press.flash_colours = false", "press.cooldown = false")


def test_nothing_is_put_together_where_one_step_is_enough():
    assert max(len(remedy.keys) for remedy in plan_of(SEVEN, heads=11).remedies) == 1
    assert plan_of(SEVEN, heads=11).remedy.keys == ("press.flash_colours = false",)


def test_a_press_that_nothing_helps_is_told_so():
    small = sheet(heads=1)
    assert small.plan.remedy is None
    (finding,) = [finding for finding in small.findings if finding.code == "too-few-heads"]
    assert "has 1; no step known is enough, see" in finding.message


def saving(step, *changes, key=None):
    return Saving(step, 1, f"cost of {step}", taken=False, key=key, changes=frozenset(changes))


def remedy_with(savings, plates=SEVEN, **press):
    stack = dataclasses.replace(STACK, plates=plates, savings=tuple(savings))
    return plan_press(stack, Settings(press=PressSetting(**press))).plan.remedy


def test_savings_of_different_screens_are_taken_together():
    """Wet on wet without cool-downs seven screens take 9 heads, counted by hand: 7 heads want two screens fewer."""
    gold, navy = saving("leave gold", "gold"), saving("leave navy", "navy")
    both = saving("one for gold and ink 0", "gold", "ink 0")
    remedy = remedy_with([gold, both, navy], heads=7)
    assert remedy.heads == 7
    assert remedy.step.split("; ")[-2:] == ["leave gold", "leave navy"]
    assert remedy.cost.endswith("cost of leave gold; cost of leave navy")
    assert remedy_with([gold, navy], heads=8).step.endswith("; leave gold"), "no more than needed"


def test_savings_that_exclude_each_other_are_not_taken_together():
    rounds_apart = {"plates": (PLATES[0], *SEVEN[2:]), "heads": 5}  # wet on wet: S F and five, less one, is 6
    same_screen = [saving("leave gold", "gold"), saving("one for gold and navy", "gold", "navy")]
    same_key = [saving(f"join {n}", f"ink {n}", key=f"colour.merge_inks = {n + 1}") for n in range(2)]
    for savings in (same_screen, same_key):
        remedy = remedy_with(savings, **rounds_apart)
        assert not all(each.step in remedy.step for each in savings)
    apart = [saving("leave gold", "gold"), saving("leave navy", "navy")]
    assert all(each.step in remedy_with(apart, **rounds_apart).step for each in apart)


@pytest.mark.parametrize("seed", range(20))
def test_of_savings_that_go_together_the_first_of_each_number_of_screens_is_tried(seed):
    """Against all combinations by itertools, of which those with as many screens need as many heads."""
    dice = random.Random(seed)
    savings = [
        _Step(f"saving {i}", "", dice.choice(KEYS), lambda same: same, dice.choice([1, 1, 2]), frozenset(changes))
        for i in range(8)
        for changes in [dice.sample("abcdefg", dice.choice([1, 2]))]
    ]
    expected = {}
    for steps in chain.from_iterable(combinations(savings, count) for count in range(MOST_SAVINGS + 1)):
        changed, keys = chain.from_iterable(step.changes for step in steps), [step.key for step in steps if step.key]
        if max(Counter((*changed, *(key.split(" = ")[0] for key in keys))).values(), default=0) < 2:
            expected.setdefault(sum(step.screens for step in steps), steps)
    assert list(_at_once(savings)) == list(expected.values())


def test_hundreds_of_savings_are_not_tried_in_all_combinations(monkeypatch):
    shades = [_Step(f"shade {i}", "", None, lambda same: same, 1, frozenset({str(i)})) for i in range(300)]
    all_ways, asked = press_heads._fitting, []

    def counted(savings, *others):
        asked.append(len(savings))
        assert len(asked) < 100
        return all_ways(savings, *others)

    monkeypatch.setattr(press_heads, "_fitting", counted)
    assert list(_at_once(shades)) == [(), *(tuple(shades[:count]) for count in (1, 2, 3))]


@pytest.mark.parametrize("heads", range(2, 20))
def test_the_keys_of_a_remedy_written_into_the_job_do_what_it_says(heads):
    for remedy in plan_of(SEVEN, heads=heads).remedies:
        if "two rounds" not in remedy.step:
            job = read_job("\n".join(remedy.keys))
            assert len(plan_of(SEVEN, **dataclasses.asdict(job["press"])).stations) == remedy.heads


def test_the_finding_names_the_keys_that_make_it_fit():
    (finding,) = sheet(heads=8).findings
    assert "; 8 would do with press.flash_colours = false, see" in finding.message


def test_the_finding_names_a_step_that_has_no_key_beside_those_that_have():
    """Of seven screens wet on wet eight heads take no more than five colours at one go, counted by hand."""
    stack = dataclasses.replace(STACK, plates=SEVEN, savings=())
    (finding,) = plan_press(stack, Settings(press=PressSetting(heads=8))).findings
    rounds = "two rounds: blocker and white, then the colours"
    assert f"; 5 would do with press.flash_colours = false; {rounds}, see" in finding.message


@pytest.mark.parametrize(("grade", "offered"), [(None, False), (3.0, False), (4.5, True)])
def test_no_head_is_saved_by_a_stack_too_weak_for_the_garment(grade, offered):
    """Colours straight on grey count as ordinary inks, enough for grades 4 to 5 (the supplier's article on the bench
    test) and for no other garment."""
    grey = Saving("print colours on the grey itself, without white", 1, "duller", taken=False, weakens=True)
    settings = Settings(
        blocker="grey", press=PressSetting(heads=4), garment=GarmentSetting("polyester", "solid", grade)
    )
    plan = plan_press(dataclasses.replace(STACK, savings=(grey,)), settings).plan
    assert any(grey.step in remedy.step for remedy in plan.remedies) == offered
    bare = (PLATES[0], *PLATES[2:])
    taken = dataclasses.replace(settings, white_under_colours=False)
    assert bool(stack_findings(bare, taken)) == (not offered), "what the check says of it"


def test_ink_on_a_print_is_area_times_volume_times_transfer():
    """90/225-48, Nippon Tokushu Fabric, Screen Specifications: 24 cm3/m2 (23.82 by formula). Over 100 cm2, all of it
    transferred, that is 0.24 cm3. The mesh here is 48 threads of 90/cm with the thickness estimated, hence 5 %."""
    settings = Settings(
        inks=(InkSetting("#ffd700", "gold", 229),), press=PressSetting(transfer=1.0, run=100, spoilage=0.0)
    )
    gold = plan_press(STACK, settings).screens[2]
    assert gold.mesh_per_inch == 229
    assert gold.print_cm3 == pytest.approx(0.24, rel=0.05)
    assert gold.run_cm3 == pytest.approx(100 * gold.print_cm3)


def test_transfer_and_spoilage_scale_the_ink():
    plain = plan_press(STACK, Settings(press=PressSetting(run=50, transfer=0.5, spoilage=0.0))).screens[0]
    mixed = plan_press(STACK, Settings(press=PressSetting(run=50, transfer=0.25, spoilage=0.2))).screens[0]
    assert mixed.print_cm3 == pytest.approx(plain.print_cm3 / 2)
    assert mixed.run_cm3 == pytest.approx(plain.run_cm3 / 2 * 1.2)
    assert plain.ink_volume_cm3_m2 == pytest.approx(Mesh(86 / 2.54, 100.3).ink_volume_cm3_m2, rel=0.01)


def test_without_a_run_no_amount_is_invented():
    assert all(screen.run_cm3 is None for screen in sheet().screens)


@pytest.mark.parametrize("mesh", [111, 156, 230])
def test_a_blocker_mesh_finer_than_110_is_an_error(mesh):
    """Common practice, no source: carbon clogs fine mesh and the protection grows with the deposit."""
    with pytest.raises(SettingsError, match=r"86 to 110 @ blocker\.mesh"):
        Settings(blocker_mesh_per_inch=mesh)
    assert Settings(blocker_mesh_per_inch=110).blocker_mesh_per_inch == 110


def test_a_blocker_mesh_coarser_than_86_is_told():
    codes = {finding.code for finding in plan_press(STACK, Settings(blocker_mesh_per_inch=60)).findings}
    assert "coarse-blocker-mesh" in codes


WRONG = {"heads": 0, "run": 0, "transfer": 0.0, "spoilage": 2}


@pytest.mark.parametrize("name", WRONG)
def test_values_out_of_range_are_named(name):
    with pytest.raises(SettingsError, match=f"press.{name}"):
        Settings(press=PressSetting(**{name: WRONG[name]}))
