"""The sweep in words: a table with a line for each pair, and below it what each column means."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from vectorsep.advise.sweep import Advice, PairCost
from vectorsep.units import format_mm

GAP = "  "
WHITE = {True: "hidden", False: "may show", None: "-"}


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, its unit, how a pair stands in it, what it means."""

    heading: str
    unit: str
    told: Callable[[PairCost], str]
    meaning: str


COLUMNS = (
    Column("spread", "mm", lambda pair: f"{pair.spread_mm:.2f}", "how far the blocker grows past the art"),
    Column("choke", "mm", lambda pair: f"{pair.choke_mm:.2f}", "how far the white stays inside the art"),
    Column("rim", "mm²", lambda pair: f"{pair.rim_mm2:z.0f}", "blocker that shows past the art, in its own colour"),
    Column(
        "receding",
        "mm²",
        lambda pair: f"{pair.receding_mm2:z.1f}",
        "art left unprinted at its edges, to keep clear of the blocker's edge",
    ),
    Column("no white", "mm²", lambda pair: f"{pair.no_white_mm2:z.0f}", "colour without white beneath: it looks dull"),
    Column("gaps closed", "mm", lambda pair: f"{pair.closed_gaps_mm:z.1f}", "length of gaps that fill with blocker"),
    Column("lines bare", "mm", lambda pair: f"{pair.bare_lines_mm:z.1f}", "length of lines too thin for any white"),
    Column(
        "clearance",
        "mm",
        lambda pair: "-" if pair.clearance_mm is None else f"{pair.clearance_mm:.3f}",
        "least distance from an ink above the blocker to the blocker's edge",
    ),
    Column(
        "white",
        "",
        lambda pair: WHITE[pair.white_hides],
        "whether white may show beside the colours where plates sit off by the tolerance",
    ),
)


def table_lines(advice: Advice) -> Iterator[str]:
    """The table, its columns explained, and the pair to take with the reason."""
    cells = [[column.told(pair) for column in COLUMNS] for pair in advice.pairs]
    widths = [max(len(column.heading), *(len(row[i]) for row in cells)) for i, column in enumerate(COLUMNS)]
    yield _row([column.heading for column in COLUMNS], widths)
    yield _row([column.unit for column in COLUMNS], widths).rstrip()
    for pair, row in zip(advice.pairs, cells, strict=True):
        yield f"{_row(row, widths)}{GAP}{', '.join(_marks(pair, advice))}".rstrip()
    yield ""
    widest = max(len(column.heading) for column in COLUMNS)
    for column in COLUMNS:
        yield f"{column.heading:{widest}}{GAP}{column.meaning}"
    yield ""
    chosen = advice.chosen
    take = "take" if chosen.safe else "the nearest is"
    yield f"{take} spread {format_mm(chosen.spread_mm)} and choke {format_mm(chosen.choke_mm)}: {advice.reason}"


def _marks(pair: PairCost, advice: Advice) -> Iterator[str]:
    if pair is advice.chosen:
        yield "<- take" if pair.safe else "<- nearest"
    if not pair.safe:
        yield "not safe"
    if pair is advice.own:
        yield "the job's own"


def _row(texts: list[str], widths: list[int]) -> str:
    return GAP.join(f"{text:>{width}}" for text, width in zip(texts, widths, strict=True))
