"""Mesh arithmetic against published tables, at the tables' own rounding."""

import pytest

from vectorsep.mesh import (
    THICKNESS_PER_THREAD,
    Mesh,
    common_mesh,
    ink_volume_cm3_m2,
    open_area,
    told_per_cm,
)

# Nippon Tokushu Fabric, Screen Specifications: thread, opening, open area %, thickness, ink volume.
WEAVES = {
    "90/225-40": (40, 73, 42, 59, 25),
    "90/225-48": (48, 65, 33, 72, 24),
    "90/225-54": (54, 59, 27, 84, 23),
}
# AGH Krakow, Zieba, polyester fabrics I to III: pitch, thread, opening, open area %.
PITCHES = {"I": (169, 51, 118, 49), "II": (67, 40, 27, 16), "III": (53, 37, 16, 9)}
# Computed from thread count and diameter alone: count per cm, thread, opening, open area %.
PLAIN = [
    (34, 100, 194, 43.6),
    (43, 80, 153, 43.0),
    (48, 70, 138, 44.1),
    (54, 64, 121, 42.8),
    (61, 64, 100, 37.2),
    (77, 55, 75, 33.2),
    (90, 48, 63, 32.3),
    (120, 34, 49, 35.1),
]


@pytest.mark.parametrize(("thread", "opening", "percent", "thickness", "volume"), WEAVES.values(), ids=WEAVES)
def test_open_area_and_volume_of_published_weaves(thread, opening, percent, thickness, volume):
    share = open_area(opening, thread)
    assert share * 100 == pytest.approx(percent, abs=0.5)
    assert ink_volume_cm3_m2(share, thickness) == pytest.approx(volume, abs=0.5)


@pytest.mark.parametrize(("pitch", "thread", "opening", "percent"), PITCHES.values(), ids=PITCHES)
def test_open_area_of_published_pitches(pitch, thread, opening, percent):
    assert opening + thread == pitch
    assert open_area(opening, thread) * 100 == pytest.approx(percent, abs=0.5)


@pytest.mark.parametrize(("count", "thread", "opening", "percent"), PLAIN)
def test_plain_weave_from_count_and_thread(count, thread, opening, percent):
    mesh = Mesh(count, thread)
    assert mesh.opening_um == pytest.approx(opening, abs=0.5)
    assert mesh.open_area * 100 == pytest.approx(percent, abs=0.15)


@pytest.mark.parametrize(
    ("per_cm", "per_inch", "two_more"),
    [
        (34, 85, 34),
        (43, 110, 44),
        (48, 120, 48),
        (54, 135, 54),
        (61, 155, 62),
        (77, 195, 78),
        (90, 230, 91),
        (120, 305, 121),
    ],
)
def test_threads_per_inch_as_catalogues_round_them(per_cm, per_inch, two_more):
    """43 per cm is 110 per inch (published); catalogues round 2.54 n to the nearest 5. What no catalogue has, two
    threads more to the inch here, was divided by hand: 112 by 2.54 are 44.1, 232 are 91.3."""
    assert told_per_cm(per_inch) == per_cm
    assert told_per_cm(per_inch + 2) == two_more
    assert common_mesh(per_inch).threads_per_cm == pytest.approx(per_cm, rel=0.02)


@pytest.mark.parametrize(("count", "thread", "opening", "percent"), PLAIN)
def test_a_shop_has_the_usual_thread_of_each_count(count, thread, opening, percent):
    mesh = common_mesh(count * 2.54)
    assert (mesh.thread_um, mesh.opening_um) == (pytest.approx(thread), pytest.approx(opening, abs=0.5))
    assert mesh.open_area * 100 == pytest.approx(percent, abs=0.15)


def test_common_mesh_lies_between_its_neighbours_and_keeps_its_share_beyond_the_table():
    assert 55 < common_mesh(165).thread_um < 64
    assert common_mesh(50).open_area == pytest.approx(Mesh(34, 100).open_area)
    assert common_mesh(400).open_area == pytest.approx(Mesh(120, 34).open_area)


def test_thickness_factor_against_the_published_meshes():
    """The three weaves above, and 305/40 with 63 micrometres ("Mesh matters", Screen Printing, June 2009)."""
    ratios = [thickness / thread for thread, _, _, thickness, _ in WEAVES.values()] + [63 / 40]
    assert sum(ratios) / len(ratios) == pytest.approx(THICKNESS_PER_THREAD, abs=0.005)
    assert max(ratios) < 2


def test_finest_detail_is_two_threads_and_an_opening():
    assert Mesh(43, 80).finest_detail_mm == pytest.approx(0.3126, abs=1e-4)
