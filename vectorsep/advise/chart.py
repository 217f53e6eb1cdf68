"""The sweep as a picture: a table of cells, spread across and choke down, each with its costs as bars."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import svgwrite

from vectorsep.advise.sweep import Advice, PairCost

CELL_W, CELL_H = 170, 92
LEFT, TOP = 90, 88
"""Where the first cell lies: room for the chokes on its left, for the title and the spreads above."""
EDGE = 20
"""From the picture's edges to what is in it."""
GAP, INDENT = 3, 8
"""From a cell's sides to its frame, and to what is written in it."""
LINE = 15
"""Base line to base line."""
BAR_LEFT, BAR_W = 58, 46
"""The bars stand between their labels and their figures, and reach under neither."""
CROSS = 5
"""Half the width of the cross in the corner of a pair that is not safe."""
COSTS: tuple[tuple[str, str, Callable[[PairCost], float]], ...] = (
    ("rim", "mm²", lambda pair: pair.rim_mm2),
    ("receding", "mm²", lambda pair: pair.receding_mm2),
    ("no white", "mm²", lambda pair: pair.no_white_mm2),
    ("detail", "mm", lambda pair: pair.detail_lost_mm),
)
"""What each bar of a cell shows: its label, its unit, its value. The longest bar of a kind is its largest value,
as it is told."""
SIGNS = (
    "heavy frame: {chosen}; grey ground: the job's own pair; cross in the corner: not safe; dashed: white may show "
    "when out of register"
)
MEANINGS = (
    "rim: blocker that shows past the art; receding: art left unprinted at its edges; no white: colour without white "
    "beneath; detail: gaps that close and lines without white"
)
OWN_GROUND = "#e4e4e4"
"""Under the job's own pair: lighter than the bars, so that they stand out from it."""
FONT = {"font_family": "sans-serif", "font_size": 10, "fill": "#222222"}
FIGURE = FONT | {"text_anchor": "end"}


def draw_chart(advice: Advice, title: str) -> bytes:
    """Draw every pair of the sweep: the pair to take has a heavy frame, the job's own a grey ground, unsafe pairs a
    cross in their corner."""
    notes = (SIGNS.format(chosen="the pair to take" if advice.chosen.safe else "the nearest to safe"), MEANINGS)
    spreads = sorted({pair.spread_mm for pair in advice.pairs})
    chokes = sorted({pair.choke_mm for pair in advice.pairs})
    below = TOP + CELL_H * len(chokes)
    width, height = LEFT + CELL_W * len(spreads) + EDGE, below + EDGE + LINE * len(notes)
    drawing = svgwrite.Drawing(size=(width, height), viewBox=f"0 0 {width} {height}", debug=False, role="img")
    drawing.set_desc(title=title, desc=" ".join(notes))
    drawing.add(drawing.rect((0, 0), (width, height), fill="#ffffff"))
    for text in _headings(drawing, title, spreads, chokes):
        drawing.add(text)
    largest = {label: max(1, *(round(value(pair)) for pair in advice.pairs)) for label, _, value in COSTS}
    for pair in advice.pairs:
        corner = (LEFT + CELL_W * spreads.index(pair.spread_mm), TOP + CELL_H * chokes.index(pair.choke_mm))
        if pair is advice.own:
            drawing.add(drawing.rect(*_frame(corner), fill=OWN_GROUND))
        drawing.add(_cell(drawing, pair, corner, largest, chosen=pair is advice.chosen))
    for i, note in enumerate(notes):
        drawing.add(drawing.text(note, (EDGE, below + EDGE + LINE * i), **FONT))
    return f"{drawing.tostring()}\n".encode()


def _headings(
    drawing: svgwrite.Drawing, title: str, spreads: Sequence[float], chokes: Sequence[float]
) -> Iterator[svgwrite.text.Text]:
    """The title, and what each column and row stands for."""
    yield drawing.text(title, (EDGE, 28), font_family="sans-serif", font_size=16, fill="#111111")
    yield drawing.text("spread of the blocker, mm", (LEFT, 54), **FONT)
    yield drawing.text("choke, mm", (EDGE, TOP - 12), **FONT)
    for column, spread_mm in enumerate(spreads):
        yield drawing.text(f"{spread_mm:g}", (LEFT + CELL_W * column + INDENT, TOP - 12), font_weight="bold", **FONT)
    for row, choke_mm in enumerate(chokes):
        yield drawing.text(f"{choke_mm:g}", (EDGE, TOP + CELL_H * row + 20), font_weight="bold", **FONT)


def _cell(
    drawing: svgwrite.Drawing, pair: PairCost, corner: tuple[int, int], largest: dict[str, int], *, chosen: bool
) -> svgwrite.container.Group:
    x, y = corner
    cell = drawing.g()
    frame = {"stroke": "#111111", "stroke_width": 3 if chosen else 0.5, "fill": "none"}
    if pair.white_hides is False:
        frame["stroke_dasharray"] = "4 3"
    cell.add(drawing.rect(*_frame(corner), **frame))
    for i, (label, unit, value) in enumerate(COSTS):
        line_y = y + 18 + LINE * i
        cell.add(drawing.text(label, (x + INDENT, line_y), **FONT))
        length = BAR_W * round(value(pair)) / largest[label]  # nothing but a hairline beside a figure of 0
        cell.add(drawing.rect((x + BAR_LEFT, line_y - 7), (max(length, 0.5), 7), fill="#9a9a9a"))
        cell.add(drawing.text(f"{value(pair):z.0f} {unit}", (x + CELL_W - INDENT, line_y), **FIGURE))
    clear = "no upper ink" if pair.clearance_mm is None else f"clear by {pair.clearance_mm:.3f} mm"
    cell.add(drawing.text(clear, (x + INDENT, y + 80), **FONT))
    if not pair.safe:
        cell.add(_cross(drawing, x + CELL_W - 14, y + CELL_H - 15))
    return cell


def _frame(corner: tuple[int, int]) -> tuple[tuple[int, int], tuple[int, int]]:
    """A cell's frame: its corner and its size."""
    x, y = corner
    return (x + GAP, y + GAP), (CELL_W - 2 * GAP, CELL_H - 2 * GAP)


def _cross(drawing: svgwrite.Drawing, x: float, y: float) -> svgwrite.path.Path:
    d = f"M{x - CROSS} {y - CROSS}L{x + CROSS} {y + CROSS}M{x + CROSS} {y - CROSS}L{x - CROSS} {y + CROSS}"
    return drawing.path(d, stroke="#111111", stroke_width=2, fill="none")
