"""Lengths at the program's edges, against CSS Values and Units 3, section 6.2."""

import pytest

from vectorsep.units import LengthError, counted, format_mm, format_mm2, parse_length_mm, split_dimension


@pytest.mark.parametrize(
    ("written", "mm"),
    [
        (0.4, 0.4),
        ("0.4", 0.4),
        ("0.4mm", 0.4),
        (" .4 MM ", 0.4),
        ("1in", 25.4),
        ("72pt", 25.4),
        ("6pc", 25.4),
        ("96px", 25.4),
        ("101.6Q", 25.4),
        ("2.54cm", 25.4),
        ("1pt", 0.352778),
        ("1e-1mm", 0.1),
    ],
)
def test_lengths_in_css_units(written, mm):
    assert parse_length_mm(written) == pytest.approx(mm, abs=1e-6)


@pytest.mark.parametrize(
    "written", ["", "mm", "1 furlong", "1,5mm", "nan", "inf", "1e999", None, True, [1], "0.4mm;", 10**400]
)
def test_what_is_no_length_is_refused_with_its_text(written):
    with pytest.raises(LengthError, match=r"length|unit"):
        parse_length_mm(written)


def test_lengths_are_written_with_their_unit():
    assert format_mm(0.25) == "0.25 mm"
    assert format_mm(0.0) == "0 mm"
    assert format_mm(10.0) == "10 mm"


def test_one_is_no_plural():
    assert [counted(n, "screen") for n in (0, 1, 2)] == ["0 screens", "1 screen", "2 screens"]
    assert counted(2, "patch", "patches") == "2 patches"


AREAS = {
    1e-5: "less than 0.01",
    0.01: "0.01",
    0.1264: "0.126",
    12.34: "12.3",
    99.96: "100",
    126.4: "126",
    4.1e7: "41000000",
}


@pytest.mark.parametrize(("area_mm2", "told"), AREAS.items())
def test_areas_are_told_as_a_printer_writes_them(area_mm2, told):
    assert format_mm2(area_mm2) == f"{told} mm²"


@pytest.mark.parametrize(
    ("written", "number", "unit"),
    [
        ("1em", 1.0, "em"),
        ("1e2em", 100.0, "em"),
        (" -.5E-1 MM", -0.05, "mm"),
        ("+4.", 4.0, ""),
        ("25%", 25.0, "%"),
    ],
)
def test_numbers_and_units_are_parted_as_css_does(written, number, unit):
    assert split_dimension(written) == (number, unit)  # CSS Syntax 3, 4.3.3: an e without digits starts the unit


@pytest.mark.parametrize("written", ["", "e2", "1 2", "--1", "1..2", "٣mm", "0x1f", "1px;"])
def test_what_is_no_dimension_is_none(written):
    assert split_dimension(written) is None
