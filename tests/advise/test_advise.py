"""The sweep on designs whose best pair is known, and its relations to the plates that would be made."""

import dataclasses
import re
import xml.etree.ElementTree as ET

import pytest
import shapely
from shapely import box

import vectorsep
from vectorsep.advise import advise, draw_chart, table_lines
from vectorsep.advise.sweep import pair_count
from vectorsep.check import measure_stack
from vectorsep.cli import main
from vectorsep.errors import SettingsError
from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.pipeline import separate
from vectorsep.plates import make_plates, make_stack
from vectorsep.press_settings import GarmentSetting
from vectorsep.settings import Settings, TrapSetting

RED = "#c81e28"


def design(*areas):
    painted = tuple(PaintedShape(area, RED, Place("path")) for area in areas)
    return separate_inks(Artwork(200.0, 200.0, painted), Settings())


BLOCK = design(box(50, 50, 100, 100))
LINES = design(box(50, 50, 100, 100), *(box(110, 50 + 3 * i, 150, 50.9 + 3 * i) for i in range(8)))


def test_a_plain_block_takes_the_least_spread_and_choke_that_leave_room_to_spare():
    advice = advise(BLOCK, Settings(registration_mm=0.25))
    assert len(advice.pairs) == pair_count(Settings())
    assert (advice.chosen.spread_mm, advice.chosen.choke_mm) == (0.35, 0.3)
    assert advice.chosen.safe
    assert advice.chosen.white_hides
    assert advice.chosen.receding_mm2 == 0


def test_costs_move_the_way_they_must():
    advice = advise(LINES, Settings(registration_mm=0.2, min_choke_mm=0.2))
    by_pair = {(pair.spread_mm, pair.choke_mm): pair for pair in advice.pairs}
    spreads, chokes = (sorted({key[i] for key in by_pair}) for i in (0, 1))
    for choke in chokes:
        row = [by_pair[spread, choke] for spread in spreads]
        assert [pair.rim_mm2 for pair in row] == sorted(pair.rim_mm2 for pair in row)
        assert row[0].receding_mm2 >= row[-1].receding_mm2
    for spread in spreads:
        column = [by_pair[spread, choke] for choke in chokes]
        assert [pair.no_white_mm2 for pair in column] == sorted(pair.no_white_mm2 for pair in column)


def test_a_pair_costs_what_the_plates_made_with_it_show():
    settings = Settings(registration_mm=0.2)
    pair = advise(LINES, settings).pairs[7]
    stack = make_stack(
        LINES, dataclasses.replace(settings, spread_mm=pair.spread_mm, choke_mm=pair.choke_mm, min_choke_mm=0.2)
    )
    assert pair.rim_mm2 == pytest.approx(stack.rim_mm2, abs=0.1)
    blocker, white, red = (plate.area for plate in stack.plates)
    assert pair.no_white_mm2 == pytest.approx(shapely.difference(red, white).area, abs=0.2)
    check = measure_stack(stack.plates, settings)
    assert pair.clearance_mm == pytest.approx(min(c.distance_mm for c in check.clearances[1:]), abs=1e-3)
    assert blocker.covers(red)


def test_colours_that_run_over_the_blockers_black_come_as_near_to_its_edge_as_the_plates_do():
    """With each choke: the less white is choked the farther colours run. Held to the job's own choke alone, pairs that
    come 0.1 mm nearer passed as safe."""
    outlined = ((box(49.6, 49.6, 100.4, 100.4), "#101010"), (box(50, 50, 100, 100), RED))
    painted = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in outlined)
    badge = separate_inks(Artwork(200.0, 200.0, painted), Settings())
    settings = Settings(registration_mm=0.3, clearance_mm=0.1, merge_black=True)
    pairs = advise(badge, settings).pairs
    for pair in pairs:
        tried = dataclasses.replace(
            settings, spread_mm=pair.spread_mm, choke_mm=pair.choke_mm, min_choke_mm=min(pair.choke_mm, 0.3)
        )
        check = measure_stack(make_plates(badge, tried), tried)
        assert pair.clearance_mm == pytest.approx(min(c.distance_mm for c in check.clearances[1:]), abs=1e-3)
        assert pair.safe == check.safe
    assert {pair.safe for pair in pairs if pair.spread_mm < 0.4} == {True, False}


def test_a_pair_of_inks_that_the_art_does_not_have_is_told_as_it_is_by_separate():
    with pytest.raises(SettingsError, match="no pair of the art's inks"):
        advise(BLOCK, Settings(traps=(TrapSetting("sea", "sky", 0.2),)))


def test_art_that_recedes_from_a_gap_leaves_no_sliver_behind_that_would_count():
    discs = [shapely.Point(60 + 10.6 * i, 60 + 0.37 * i).buffer(5, quad_segs=20) for i in range(4)]
    advice = advise(design(*discs), Settings(registration_mm=0.2, clearance_mm=0.25))
    assert all(pair.receding_mm2 > 0 for pair in advice.pairs)
    assert all(pair.clearance_mm >= 0.25 and pair.safe for pair in advice.pairs)


def test_no_pair_is_praised_when_none_is_safe():
    advice = advise(BLOCK, Settings(registration_mm=0.3, clearance_mm=0.1))
    # Every spread tried starts from the clearance asked for, and every plate is cut to that: less than is needed.
    assert all(pair.clearance_mm < 0.3 for pair in advice.pairs if pair.spread_mm < 0.2)
    worst = advise(BLOCK, Settings(registration_mm=1.0, clearance_mm=0.1))
    assert not worst.chosen.safe
    assert worst.reason.startswith("no pair")
    assert [pair for pair in worst.pairs if pair.safe] == []


def test_art_that_the_blocker_prints_alone_is_safe_at_any_pair():
    painted = (PaintedShape(box(50, 50, 90, 90), "#101010", Place("path")),)
    black = separate_inks(Artwork(200.0, 200.0, painted), Settings())
    advice = advise(black, Settings(merge_black=True))
    assert all(pair.safe and pair.clearance_mm is None for pair in advice.pairs)


def test_the_chart_shows_every_pair_and_frames_the_chosen_one():
    advice = advise(BLOCK, Settings())
    root = ET.fromstring(draw_chart(advice, "a <b>hostile</b> name"))
    svg = "{http://www.w3.org/2000/svg}"
    frames = [rect for rect in root.iter(f"{svg}rect") if rect.get("fill") == "none"]
    assert len(frames) == pair_count(Settings())
    assert [rect.get("stroke-width") for rect in frames].count("3") == 1
    assert "a <b>hostile</b> name" in [text.text for text in root.iter(f"{svg}text")]


@pytest.mark.parametrize("values", [{}, {"spread_mm": 0.47, "choke_mm": 0.33}])
def test_the_chart_shows_the_jobs_own_pair_and_says_how(values):
    """The grey ground lies in the row and the column whose heads are the job's choke and spread."""
    settings = Settings(**values)
    root = ET.fromstring(draw_chart(advise(BLOCK, settings), "own"))
    svg = "{http://www.w3.org/2000/svg}"
    (ground,) = [rect for rect in root.iter(f"{svg}rect") if rect.get("fill") == "#e4e4e4"]
    left, top = float(ground.get("x")), float(ground.get("y"))
    heads = [text for text in root.iter(f"{svg}text") if text.get("font-weight") == "bold"]
    (spread,) = [text.text for text in heads if left < float(text.get("x")) < left + float(ground.get("width"))]
    (choke,) = [text.text for text in heads if top < float(text.get("y")) < top + float(ground.get("height"))]
    assert (float(spread), float(choke)) == (settings.spread_mm, settings.choke_mm)
    notes = " ".join(text.text for text in root.iter(f"{svg}text"))
    assert "grey ground: the job's own pair" in notes
    assert "heavy frame: the pair to take" in notes


def test_no_bar_stands_beside_a_figure_of_nothing():
    """A rim of 0.02 mm² is told as 0: the longest of such bars looked like the worst of all costs."""
    advice = advise(BLOCK, Settings())
    hardly = tuple(dataclasses.replace(pair, rim_mm2=0.02) for pair in advice.pairs)
    svg = "{http://www.w3.org/2000/svg}"
    root = ET.fromstring(draw_chart(dataclasses.replace(advice, pairs=hardly), "bars"))
    (cell, *_) = [group for group in root.iter(f"{svg}g") if group.find(f"{svg}text").text == "rim"]
    bar = next(rect for rect in cell.findall(f"{svg}rect") if rect.get("fill") == "#9a9a9a")
    assert [text.text for text in cell.findall(f"{svg}text")][1] == "0 mm²"
    assert float(bar.get("width")) <= 0.5


def test_the_chart_tells_nobody_to_take_a_pair_that_is_not_safe():
    worst = advise(BLOCK, Settings(registration_mm=1.0, clearance_mm=0.1))
    assert b"heavy frame: the nearest to safe" in draw_chart(worst, "worst")
    assert b"pair to take" not in draw_chart(worst, "worst")


@pytest.mark.parametrize("name", ["chart.png", "chart.svg.pdf", "chart", "chart.svgz"])
def test_a_chart_of_another_ending_is_refused_before_any_work(tmp_path, capsys, name):
    """The design is none: it would be refused were it read."""
    (tmp_path / "block.svg").write_text("no design")
    assert main(["advise", str(tmp_path / "block.svg"), "--chart", str(tmp_path / name), "--replace"]) == 2
    error = capsys.readouterr().err
    assert name in error and "ends in .svg" in error
    assert [path.name for path in tmp_path.iterdir()] == ["block.svg"]


LETTER_PX = 6.0
"""Wider than the mean letter of a sans-serif face at 10 px (from memory)."""


def test_nothing_in_the_chart_is_drawn_over_its_figures():
    """Bars and crosses stay clear of every line of text, on a page with safe and unsafe pairs and wide figures."""
    svg = "{http://www.w3.org/2000/svg}"
    mixed = advise(design(box(10, 10, 190, 190)), Settings(registration_mm=0.3, clearance_mm=0.1))
    root = ET.fromstring(draw_chart(mixed, "mixed"))
    texts = [text_box(text) for text in root.iter(f"{svg}text")]
    bars = [
        box(x, y, x + float(bar.get("width")), y + float(bar.get("height")))
        for bar in root.iter(f"{svg}rect")
        if bar.get("fill") == "#9a9a9a"
        for x, y in [(float(bar.get("x")), float(bar.get("y")))]
    ]
    crosses = [cross_box(path) for path in root.iter(f"{svg}path")]
    assert len(bars) == 4 * len(mixed.pairs)
    assert len(crosses) == sum(not pair.safe for pair in mixed.pairs) > 0
    assert not any(text.intersects(mark) for text in texts for mark in (*bars, *crosses))
    assert not list(root.iter(f"{svg}line")), "no line through a cell"


def text_box(text):
    x, y, wide = float(text.get("x")), float(text.get("y")), LETTER_PX * len(text.text)
    left = x - wide if text.get("text-anchor") == "end" else x
    return box(left, y - 8, left + wide, y + 2)


def cross_box(path):
    numbers = [float(number) for number in re.findall(r"-?[\d.]+", path.get("d"))]
    return box(min(numbers[::2]), min(numbers[1::2]), max(numbers[::2]), max(numbers[1::2]))


def test_the_jobs_own_pair_is_among_those_tried():
    advice = advise(BLOCK, Settings(spread_mm=0.47, choke_mm=0.33))
    assert (advice.own.spread_mm, advice.own.choke_mm) == (0.47, 0.33)
    assert len(advice.pairs) == pair_count(Settings(spread_mm=0.47, choke_mm=0.33)) == 7 * 6
    assert sum(line.endswith("the job's own") for line in table_lines(advice)) == 1
    assert advise(BLOCK, Settings()).own in advise(BLOCK, Settings()).pairs


def test_a_choke_of_the_whole_tolerance_hides_the_white_whatever_its_decimals():
    settings = Settings(registration_mm=0.7 * 25.4 / 72)
    advice = advise(BLOCK, settings)
    whole = [pair for pair in advice.pairs if pair.choke_mm == settings.registration_mm]
    assert whole
    assert all(pair.white_hides for pair in whole)
    assert not any(pair.receding_mm2 > 0.01 for pair in advice.pairs if pair.spread_mm > settings.registration_mm)


@pytest.mark.parametrize(
    ("values", "why"),
    [
        ({"blocker": "grey", "white_under_colours": False}, "no white under its colours"),
        ({"registration_mm": 0.02}, "no press registers finer"),
    ],
)
def test_no_pair_is_safe_where_separate_calls_none_so(values, why):
    settings = Settings(**values)
    assert any(
        finding.severity == "unsafe" for finding in vectorsep.check_stack(make_plates(BLOCK, settings), settings)
    )
    advice = advise(BLOCK, settings)
    assert not any(pair.safe for pair in advice.pairs)
    assert advice.reason.startswith("no pair tried is safe") and why in advice.reason
    assert "take" not in list(table_lines(advice))[-1]


DISC = '<circle cx="{}" cy="20" r="6" fill="#c81e28"/>'
HAIRS = "".join(f'<path d="M5 {y}h30" stroke="#c81e28" stroke-width="0.2"/>' for y in (15, 20))
BLOCK_AND_HAIRS = f'{HAIRS}<path d="M5 2h9v9h-9z"/>'
"""Lines of 0.2 mm with 0.05 mm of blocker on either side are 0.3 mm wide, finer than what 86 threads/inch hold."""


@pytest.mark.parametrize(
    ("art", "settings", "code"),
    [
        (DISC.format(30), Settings(turn_deg=3.0), None),
        (DISC.format(20), Settings(turn_deg=3.0), "ink-on-cloth"),
        (BLOCK_AND_HAIRS, Settings(registration_mm=0.05, spread_mm=0.05), "blocker-too-thin"),
        (BLOCK_AND_HAIRS, Settings(registration_mm=0.05, spread_mm=0.2), None),
    ],
    ids=["turned amid the page", "turned aside", "blocker washes out", "blocker holds"],
)
def test_the_jobs_own_pair_is_safe_where_separate_says_so(art, settings, code):
    """A pair that is called safe is made next, and would end NOT SAFE."""
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">{art}</svg>'
    job, _ = separate(svg.encode(), settings, "art.svg")
    assert {finding.code for finding in job.check.findings if finding.severity == "unsafe"} == ({code} - {None})
    assert advise(job.design, settings).own.safe is (code is None)


@pytest.mark.parametrize("option", [["--trap", "0.2mm"], ["--mirror"]])
def test_options_that_would_do_nothing_are_not_taken(capsys, option):
    with pytest.raises(SystemExit, match="2"):
        main(["advise", "block.svg", *option])
    assert option[0] in capsys.readouterr().err


def test_every_column_of_the_table_is_explained_below_it():
    lines = list(table_lines(advise(BLOCK, Settings())))
    heads = re.split(r"\s{2,}", lines[0].strip())
    assert heads == [
        "spread",
        "choke",
        "rim",
        "receding",
        "no white",
        "gaps closed",
        "lines bare",
        "clearance",
        "white",
    ]
    below = lines[lines.index("") + 1 :]
    for head in heads:
        assert sum(bool(re.match(rf"{head}\s{{2,}}\w", line)) for line in below) == 1, head
    table = lines[: lines.index("")]
    assert all(
        re.fullmatch(r"\s*[\d. -]+(hidden|may show|-)(  (<- take|not safe|the job's own))?", line) for line in table[2:]
    )


def test_the_command_prints_the_table_and_writes_the_chart(tmp_path, capsys):
    art = tmp_path / "block.svg"
    art.write_text('<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="60mm" viewBox="0 0 60 60">'
                   '<rect x="10" y="10" width="40" height="40" fill="#c81e28"/></svg>')  # fmt: skip
    assert main(["advise", str(art), "--chart", str(tmp_path / "chart.svg")]) == 0
    printed = capsys.readouterr().out
    assert printed.count("<- take") == 1
    assert "take spread" in printed
    assert (tmp_path / "chart.svg").stat().st_size > 1000
    assert sorted(path.name for path in tmp_path.iterdir()) == ["block.svg", "chart.svg"]


@pytest.mark.parametrize("target", ["block.svg", "job.toml", "letter.svg", "block.svg/chart.svg", "folder"])
def test_a_chart_is_drawn_over_nothing_that_somebody_may_miss(tmp_path, capsys, target):
    (tmp_path / "block.svg").write_text("<svg/>")  # refused by the place of the chart, before it is read
    (tmp_path / "job.toml").write_text("")
    (tmp_path / "letter.svg").write_text("mine")
    (tmp_path / "folder").mkdir()
    before = {path: path.read_bytes() for path in tmp_path.iterdir() if path.is_file()}
    command = ["advise", str(tmp_path / "block.svg"), "--job", str(tmp_path / "job.toml")]
    assert main([*command, "--chart", str(tmp_path / target)]) == 2
    error = capsys.readouterr().err
    assert ("--replace" in error) == (target == "letter.svg"), "only what it helps with is told the switch"
    if target != "letter.svg":
        assert main([*command, "--chart", str(tmp_path / target), "--replace"]) == 2
        assert error == capsys.readouterr().err
    assert {path: path.read_bytes() for path in tmp_path.iterdir() if path.is_file()} == before


def test_an_earlier_chart_is_replaced_on_request(tmp_path):
    art, chart = tmp_path / "block.svg", tmp_path / "chart.svg"
    art.write_text('<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="60mm" viewBox="0 0 60 60">'
                   '<rect x="10" y="10" width="9" height="9" fill="#c81e28"/></svg>')  # fmt: skip
    chart.write_text("earlier")
    assert main(["advise", str(art), "--chart", str(chart), "--replace", "--quiet"]) == 0
    assert chart.read_bytes().startswith(b"<svg")


def alone(markup, settings):
    page = '<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="50mm" viewBox="0 0 50 50">'
    svg = f"{page}{markup}</svg>".encode()
    return svg, vectorsep.read_design(svg, settings)


SQUARE = '<rect x="5" y="5" width="20" height="20" fill="{}"/>'
NO_WHITE = {"blocker": "grey", "white_under_colours": False, "garment": GarmentSetting(grade=5.0)}
# case: colour of the art, the job, what the table says of its white, what the reason says, how many pairs are dashed
WHITES = {
    "white art alone": ("#ffffff", {}, "-", "it has no white to hide, with room to spare", 0),
    "the blocker's black alone": ("#111111", {"merge_black": True}, "-", "it has no white to hide, with", 0),
    "no white below colours": (RED, NO_WHITE, "-", "it has no white to hide, with", 0),
    "a small least choke": (RED, {"min_choke_mm": 0.1}, "may show", "it may let white show at 0.25 mm", 30),
    "choked enough": (RED, {}, "hidden", "it hides its white at 0.25 mm with", 6),
}


@pytest.mark.parametrize(("colour", "job", "said", "reason", "dashed"), WHITES.values(), ids=WHITES)
def test_white_is_said_to_show_only_where_there_is_some_to_hide(colour, job, said, reason, dashed):
    """Held against the check of films that are made so: where none may show, the check finds none."""
    settings = Settings(**job)
    svg, art = alone(SQUARE.format(colour), settings)
    advice = advise(art, settings)
    (taken,) = [line for line in table_lines(advice) if line.endswith("<- take")]
    assert re.search(rf"  {said}  <- take$", taken)
    assert reason in advice.reason
    assert draw_chart(advice, "white").decode().count("stroke-dasharray") == dashed
    for pair in (advice.chosen, advice.pairs[0]):
        job, _ = separate(svg, dataclasses.replace(settings, spread_mm=pair.spread_mm, choke_mm=pair.choke_mm), "art")
        found = "white-shows" in [finding.code for finding in job.check.findings]
        assert not found or pair.white_hides is False


def test_a_clearance_set_too_small_is_named_with_what_cures_it():
    """Beside a gap that stays open art keeps only its clearance, however wide the blocker's spread."""
    gap = design(box(50, 50, 100, 100), box(101, 50, 150, 100))
    press = {"registration_mm": 0.4, "spread_mm": 0.7}
    advice = advise(gap, Settings(**press, clearance_mm=0.1))
    assert advice.reason == (
        "no pair tried keeps 0.4 mm clear of the blocker's edge; set colour.clearance to it, or leave it out"
    )
    assert advise(gap, Settings(**press, clearance_mm=0.4)).chosen.safe
    assert advise(gap, Settings(**press)).chosen.safe


def test_a_fault_names_the_plate_that_it_speaks_of():
    advice = advise(BLOCK, Settings(turn_deg=3.0))
    assert re.match(r"no pair tried is safe: (white|the colours): turned by 3 degrees", advice.reason)
