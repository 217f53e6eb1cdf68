"""Names of colours against the ISCC-NBS blocks (NBS Special Publication 440) and keywords of CSS Color 4."""

import csv
import itertools
from pathlib import Path

import pytest
from tinycss2.color5 import parse_color

from vectorsep.colour import is_plain_white, oklch_of
from vectorsep.films.svg import slug
from vectorsep.inks.naming import BANDS, DULL_CHROMA, colour_name

TABLE = Path(__file__).parents[1] / "data" / "iscc_nbs_centroids.tsv"
TOGETHER = {"greenish yellow": "yellow", "yellowish green": "green"}
"""Hues that go by their neighbour's name here."""
HUES = {kind.word for band in BANDS for kind in (band.kind, *(kind for kind, _ in band.instead))}
MODIFIERS = {"", "pale", "light", "bright", "deep", "dark", "greyish", "dark greyish"}
BASIC = {
    "pink": "red",  # a light red
    "reddish": "red",
    "yellowish": "yellow",
    "greenish": "green",
    "bluish": "blue",
    "purplish": "purple",
}


def blocks():
    """(hue, modifier, centroid) of each ISCC-NBS block."""
    lines = [line for line in TABLE.read_text().splitlines() if not line.startswith("#")]
    return [(TOGETHER.get(hue, hue), modifier, colour) for hue, modifier, colour in csv.reader(lines, delimiter="\t")]


def hue_of(name):
    """The hue in a name: the longest that it ends in."""
    return max((hue for hue in {*HUES, "white", "grey", "black"} if name.endswith(hue)), key=len)


def basic_words(hue):
    return {BASIC.get(word, word) for word in hue.split()}


def test_nine_in_ten_blocks_keep_their_hue():
    table = blocks()
    assert len(table) == len({colour for *_, colour in table}) == 267
    kept = [colour for hue, _, colour in table if hue_of(colour_name(colour)) == hue]
    assert len(kept) >= 0.9 * len(table)


def test_no_block_that_is_not_dull_leaves_its_family():
    for hue, modifier, colour in blocks():
        if oklch_of(colour).chroma > DULL_CHROMA:
            name = colour_name(colour)
            assert basic_words(hue) & basic_words(hue_of(name)), (modifier, hue, name)


OPPOSITE = {
    "light": "dark",
    "very light": "dark",
    "pale": "dark",
    "dark": "light",
    "very dark": "light",
    "deep": "light",
}


def test_modifiers_never_say_the_opposite():
    for hue, modifier, colour in blocks():
        name = colour_name(colour)
        assert OPPOSITE.get(modifier, "-") not in name.split(), (modifier, hue, name)


@pytest.mark.parametrize(
    ("keyword", "name"),
    [
        ("red", "red"), ("blue", "blue"), ("yellow", "yellow"), ("green", "green"), ("lime", "bright green"),
        ("orange", "orange"), ("darkorange", "orange"), ("crimson", "red"), ("navy", "deep blue"),
        ("white", "white"), ("snow", "white"), ("black", "black"), ("gray", "grey"), ("silver", "light grey"),
        ("olive", "olive"), ("pink", "light purplish pink"), ("purple", "deep purple"), ("violet", "bright purple"),
        ("teal", "bluish green"), ("gold", "yellow"), ("saddlebrown", "brown"), ("darkred", "deep red"),
    ],
)  # fmt: skip
def test_keywords_of_css_are_called_as_a_printer_would(keyword, name):
    red, green, blue = (round(channel * 255) for channel in parse_color(keyword).coordinates)
    assert colour_name(f"#{red:02x}{green:02x}{blue:02x}") == name


def test_what_is_called_white_is_what_prints_with_the_white():
    for channels in itertools.product(range(200, 256, 5), repeat=3):
        hex_ = "#{:02x}{:02x}{:02x}".format(*channels)
        assert (colour_name(hex_) == "white") == is_plain_white(hex_)
    assert {colour_name(hex_) for hex_ in ("#f0f0f0", "#e8e8e8", "#f4efe6")} == {"off-white"}


def test_every_colour_has_a_name_that_is_its_files_name():
    for channels in itertools.product(range(0, 256, 15), repeat=3):
        name = colour_name("#{:02x}{:02x}{:02x}".format(*channels))
        hue = hue_of(name)
        assert hue in {"white", "black"} or name.removesuffix(hue).strip() in MODIFIERS
        assert slug(name) == name.replace(" ", "-")
        assert len(name) <= 28
