"""From film to run: what the crew reads must be what the films are."""

import dataclasses

import numpy as np
import pytest

from vectorsep.films.marks import MARK_LINE_MM, draw_marks
from vectorsep.films.places import Labels
from vectorsep.films.run_steps import run_steps
from vectorsep.geometry.curves import flatten
from vectorsep.pipeline import separate
from vectorsep.press_settings import FilmSetting
from vectorsep.settings import Settings


def steps(job):
    return {step.name: step.text for step in run_steps(job)}


def circles(mark):
    return [line for line in flatten(mark.outline, 0.01) if line.closed]


@pytest.mark.parametrize("width_mm", [24, 60, 300])
def test_the_rule_and_the_films_size_are_those_of_the_films(width_mm):
    art = f"""<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm}mm" height="40mm" viewBox="0 0 10 10">
    <circle cx="5" cy="5" r="3" fill="#c81e28"/></svg>"""
    job, _ = separate(art.encode(), Settings(), "disc.svg")
    crosses, rule, *_ = draw_marks(job.sheet, Labels("", (), ("",), ("",)), 1)
    ends = [x for line in flatten(rule.outline, 0.01) for x, _ in line.points]
    assert f"the rule on each film is {max(ends) - min(ends):g} mm long" in steps(job)["Films"]
    middles = sorted(line.points[:, 1].min() + np.ptp(line.points[:, 1]) / 2 for line in circles(crosses))
    assert f"cross stand {middles[-1] - middles[0]:.1f} mm apart" in steps(job)["Films"]
    assert f"{job.sheet.width_mm:.1f} × {job.sheet.height_mm:.1f} mm each" in steps(job)["Films"]


def test_mirrored_films_say_so_and_what_comes_of_it(small_art):
    plain, mirrored = (
        steps(separate(small_art, Settings(film=FilmSetting(mirror=mirror)), "small.svg")[0])["Films"]
        for mirror in (False, True)
    )
    assert "towards you (emulsion up)" in plain and "film.mirror" not in plain
    assert "away from you (emulsion down)" in mirrored and "film.mirror = false" in mirrored


def test_the_tolerance_is_told_by_the_line_of_the_crosses(small_job):
    job = dataclasses.replace(small_job[0], settings=Settings(registration_mm=MARK_LINE_MM / 2))
    assert f"the tolerance of {MARK_LINE_MM / 2:g} mm is about 0.5 of that" in steps(job)["Set-up"]


@pytest.mark.parametrize(
    ("settings", "said", "unsaid"),
    [
        (Settings(blocker_mesh_per_inch=86), "a second stroke)", "in place of"),
        (Settings(blocker_mesh_per_inch=110), "or 86 threads/inch in place of 110", "white.under_colours"),
        (Settings(blocker="grey", white_under_colours=False), "white.under_colours = true", "in place of"),
    ],
)
def test_against_stains_only_what_the_job_has_not_done_is_named(small_job, settings, said, unsaid):
    told = steps(dataclasses.replace(small_job[0], settings=settings))["It has stained"]
    assert said in told and unsaid not in told


@pytest.mark.parametrize(("left", "told"), [(10, ""), (40, "20 mm to the right of it"), (0, "20 mm to the left of it")])
def test_ink_beside_the_middle_of_its_page_is_told(left, told):
    """Art of 40 mm, or of 20 mm from 0, on a page of 60 mm, whose middle the crosses stand on."""
    wide = 40 if left == 10 else 20
    art = f"""<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
    <rect x="{left}" y="5" width="{wide}" height="30" fill="#c81e28"/></svg>"""
    said = steps(separate(art.encode(), Settings(), "off.svg")[0])["Set-up"]
    assert told in said and ("own middle" in said) == bool(told)


def test_the_inks_middle_is_that_of_all_inks_together():
    art = b"""<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
    <path d="M2 5h18v30H2z" fill="#e0452c"/><path d="M20 5h38v30H20z" fill="#14285a"/></svg>"""
    assert "own middle" not in steps(separate(art, Settings(), "two.svg")[0])["Set-up"]


def test_mirrored_films_print_their_ink_on_the_other_side_of_the_middle():
    art = (
        b'<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm"><path d="M0 0h99v99H0z" fill="red"/></svg>'
    )
    said = steps(separate(art, Settings(film=FilmSetting(mirror=True)), "off.svg")[0])["Set-up"]
    assert "17 mm to the right of it, mirrored" in said


def test_a_job_of_one_screen_is_told_of_no_other():
    art = b'<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm"><path d="M9 9h99v99H9z"/></svg>'
    job, _ = separate(art, Settings(merge_black=True), "black.svg")
    assert len(job.films) == 1
    told = " ".join(steps(job).values())
    elsewhere = ("each other", "ink above it", "All films", "past the blocker", "white shows", "Look at register")
    assert not any(words in told for words in elsewhere)
    assert "the blocker has a pinhole" in told


@pytest.mark.parametrize(("lines", "told"), [(0.625, "0.6"), (9.9, "10"), (25, "20")])
def test_how_many_lines_of_a_cross_the_tolerance_is_stands_in_plain_digits(small_job, lines, told):
    job = dataclasses.replace(small_job[0], settings=Settings(registration_mm=MARK_LINE_MM * lines))
    assert f"is about {told} of that" in steps(job)["Set-up"]
