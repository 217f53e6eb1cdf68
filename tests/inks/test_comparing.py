"""Words that tell colours of one name apart, against the modifiers and hues of the ISCC-NBS blocks (NBS Special
Publication 440): what is lighter, purer or redder there is never told the other way round."""

import csv
from itertools import permutations
from pathlib import Path

import pytest

from vectorsep.inks.comparing import comparatives
from vectorsep.inks.palette import name_inks
from vectorsep.settings import InkSetting

TABLE = Path(__file__).parents[1] / "data" / "iscc_nbs_centroids.tsv"
LINES = [line for line in TABLE.read_text().splitlines() if not line.startswith("#")]
BLOCKS = {(modifier, hue): colour for hue, modifier, colour in csv.reader(LINES, delimiter="\t")}
HUES = sorted({hue for _, hue in BLOCKS})


def pairs(one, other):
    """The colours of each hue that has both modifiers."""
    return [[BLOCKS[one, hue], BLOCKS[other, hue]] for hue in HUES if {(one, hue), (other, hue)} <= BLOCKS.keys()]


@pytest.mark.parametrize(
    ("one", "other"), [("light", "dark"), ("pale", "dark greyish"), ("brilliant", "deep"), ("light", "deep")]
)
def test_lighter_and_darker(one, other):
    assert len(pairs(one, other)) >= 4
    assert {tuple(comparatives(pair)) for pair in pairs(one, other)} == {("lighter", "darker")}
    assert {tuple(comparatives(pair[::-1])) for pair in pairs(one, other)} == {("darker", "lighter")}


def test_purer_and_duller():
    found = [comparatives(pair) for pair in pairs("vivid", "greyish")]
    assert found.count(["purer", "duller"]) >= len(found) / 2  # of the others lightness tells more
    assert not [words for words in found if "duller" in words[0] or "purer" in words[1]]
    assert comparatives(["#8a845a", "#c6602a"]) == ["duller", "purer"]  # alike in lightness, hues 55 degrees apart


@pytest.mark.parametrize(
    ("modifier", "one", "other", "words"),
    [
        ("strong", "green", "bluish green", ["greener", "bluer"]),
        ("strong", "greenish blue", "purplish blue", ["greener", "redder"]),
        ("vivid", "violet", "purple", ["bluer", "redder"]),
        ("strong", "purplish red", "red", ["bluer", "yellower"]),
        ("strong", "yellow", "orange yellow", ["yellower", "redder"]),
    ],
)
def test_hues_lean_to_what_lies_that_way(modifier, one, other, words):
    colours = [BLOCKS[modifier, one], BLOCKS[modifier, other]]
    assert comparatives(colours) == words
    assert comparatives(colours[::-1]) == words[::-1]


def test_the_middle_one_of_three_goes_without():
    shades = {"#e04048": "lighter", "#c81e28": "", "#a01820": "darker"}
    for order in permutations(shades):
        assert comparatives(order) == [shades[hex_] for hex_ in order]


def test_no_word_for_what_is_too_alike_or_too_much():
    assert comparatives(["#0000ff", "#0101ff"]) is None
    assert comparatives(["#e04048", "#c81e28", "#c81e29"]) is None
    assert comparatives(["#c81e28"]) is None
    assert comparatives(["#e04048", "#c81e28", "#a01820", "#801018"]) is None


def test_greys_have_no_hue_to_tell():
    assert comparatives(["#808380", "#838083"]) is None
    assert comparatives(["#6c706c", "#8f8a8f"]) == ["darker", "lighter"]
    assert comparatives(["#707a70", "#7a707a"]) == ["greener", "redder"]  # of those that have a little, their own


def test_inks_of_one_name_are_told_apart_and_the_jobs_own_names_stay():
    yellows = ["#ffff00", "#ffbf00", "#bbbb78"]
    assert list(name_inks(yellows, ()).values()) == ["lighter yellow", "yellow", "darker yellow"]
    named = (InkSetting("#ffbf00", "sun"), InkSetting("#010101", "lighter yellow"))
    assert list(name_inks(yellows, named).values()) == ["sun", "lighter yellow 2", "darker yellow"]
    reds = ["#e04048", "#c81e28", "#b41a22", "#a01820"]
    assert list(name_inks(reds, ()).values()) == ["red", "red 2", "red 3", "red 4"]


BLUES, LIGHT, DARK = ["#2a62b0", "#3a7ccc"], "#7aa8d8", "#24405c"


@pytest.mark.parametrize(
    ("beside", "names"),
    [
        ([], ["darker blue", "lighter blue"]),
        ([LIGHT], ["darker blue", "blue", "light blue"]),
        ([DARK], ["blue", "lighter blue", "dark blue"]),
        ([LIGHT, DARK], ["blue", "blue 2", "light blue", "dark blue"]),
    ],
)
def test_no_lighter_ink_beside_a_light_one_and_no_darker_beside_a_dark_one(beside, names):
    for hexes in ([*BLUES, *beside], [*beside, *BLUES]):
        assert [name_inks(hexes, ())[hex_] for hex_ in [*BLUES, *beside]] == names
