"""The garment rule against the published grades, and its caution: what is not known counts as high."""

import itertools
from typing import get_args

import pytest
from shapely import MultiPolygon, box

from vectorsep.model import Plate
from vectorsep.press.garment import doubts, garment_findings, judge_garment, spare_findings
from vectorsep.press_model import strength_of
from vectorsep.press_settings import GRADES, Dyeing, Fibre, GarmentSetting

RANK = {"low": 0, "moderate": 1, "high": 2}
EVERY = [
    GarmentSetting(fibre, dyeing, grade)
    for fibre, dyeing, grade in itertools.product(get_args(Fibre), get_args(Dyeing), (None, *GRADES))
]


@pytest.mark.parametrize(
    ("grade", "risk"),
    [(5, "low"), (4.5, "low"), (4, "low"), (3.5, "moderate"), (3, "moderate"), (2.5, "high"), (1, "high")],
)
def test_published_grades(grade, risk):
    """ "How to test polyester garments for dye migration", supplier training article; below 3 is our reading."""
    assert judge_garment(GarmentSetting("polyester", "solid", grade)).risk == risk


def test_what_is_not_known_counts_as_high():
    assert judge_garment(GarmentSetting()).risk == "high"
    assert judge_garment(GarmentSetting(fibre="polyester")).risk == "high"
    assert judge_garment(GarmentSetting(dyeing="solid")).risk == "high"


@pytest.mark.parametrize("fibre", get_args(Fibre))
def test_cloth_without_dye_has_none_to_bleed_whatever_its_fibre(fibre):
    assert judge_garment(GarmentSetting(fibre, "undyed")).risk == "low"


def test_a_swatch_does_not_clear_a_sublimated_pattern():
    assert judge_garment(GarmentSetting("polyester", "sublimated", 5)).risk == "high"


@pytest.mark.parametrize(
    ("garment", "told"),
    [
        (GarmentSetting(), False),
        (GarmentSetting("polyester", "solid"), True),
        (GarmentSetting("polyester", "undyed"), True),
        (GarmentSetting("polyester", "solid", 2), False),
    ],
)
def test_a_stack_stronger_than_the_garment_calls_for_is_a_note(garment, told):
    notes = list(spare_findings(judge_garment(garment), "blocker with white"))
    assert [(note.code, note.severity) for note in notes] == [("stack-stronger", "note")] * told
    assert not list(spare_findings(judge_garment(garment), "ordinary inks"))


def test_exactly_one_line_applies_to_every_garment():
    for garment in EVERY:
        assert sum(rule.applies for rule in judge_garment(garment).rules) == 1, garment


def test_knowing_less_never_lowers_the_risk():
    for garment in EVERY:
        if garment.grade is None and not any(doubts(garment)):  # what cannot be so is no knowledge
            known = RANK[judge_garment(garment).risk]
            assert RANK[judge_garment(GarmentSetting(garment.fibre, "unknown")).risk] >= known
            assert RANK[judge_garment(GarmentSetting("unknown", garment.dyeing)).risk] >= known


def test_a_worse_grade_never_lowers_the_risk():
    for fibre, dyeing in itertools.product(get_args(Fibre), get_args(Dyeing)):
        risks = [RANK[judge_garment(GarmentSetting(fibre, dyeing, grade)).risk] for grade in GRADES]
        assert risks == sorted(risks, reverse=True)


@pytest.mark.parametrize("grade", [1, 2, 2.5])
def test_a_bad_grade_goes_before_whatever_else_is_said_of_the_cloth(grade):
    for fibre, dyeing in itertools.product(get_args(Fibre), get_args(Dyeing)):
        assert judge_garment(GarmentSetting(fibre, dyeing, grade)).risk == "high"


def test_the_lines_with_a_grade_stand_above_all_without_but_the_all_over_pattern():
    for garment in EVERY:
        applying = next(rule for rule in judge_garment(garment).rules if rule.applies)
        graded = garment.grade is not None and garment.dyeing != "sublimated"
        assert applying.said.startswith("bench test") is graded


def test_sublimated_cotton_is_doubted_and_taken_for_the_worse():
    """That sublimation takes polyester is common practice, no source."""
    cloth = GarmentSetting("cotton", "sublimated", 5)
    assert judge_garment(cloth).risk == "high"
    assert [(finding.code, finding.severity) for finding in doubts(cloth)] == [("garment-doubtful", "warning")]
    doubtful = [garment for garment in EVERY if list(doubts(garment))]
    assert {(garment.fibre, garment.dyeing) for garment in doubtful} == {("cotton", "sublimated")}


def test_a_stack_weaker_than_the_garment_calls_for_is_a_finding():
    blocker, white, red = (
        Plate("blocker", "blocker", "#000000", box(0, 0, 9, 9)),
        Plate("white", "white", "#ffffff", box(1, 1, 8, 8)),
        Plate("colour", "red", "#ff0000", box(1, 1, 8, 8)),
    )
    high, moderate, low = (judge_garment(GarmentSetting("polyester", "solid", grade)) for grade in (1, 3, 5))
    assert garment_findings((blocker, white, red), high) == ()
    assert garment_findings((blocker, white), high) == garment_findings((blocker,), high) == (), "white art, or black"
    for short in ((blocker, red), (white, red), (red,), (Plate("blocker", "b", "#000000", MultiPolygon()), white)):
        assert [finding.code for finding in garment_findings(short, high)] == ["stack-too-weak"]
    (bare,) = garment_findings((blocker, red), high, white_under_colours=False)
    assert "no white under its colours" in bare.message, "nobody drew it too fine"
    assert "add it (white.under_colours = true), or test" in bare.message, "the job left it out"
    assert garment_findings((white, red), low) == ()
    assert garment_findings((white, red), moderate)
    assert strength_of(high.calls_for) > strength_of(moderate.calls_for) > strength_of(low.calls_for)
