"""The summary of a batch, one line a design: a table for spreadsheets and a page for people."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from vectorsep.batch.records import write_atomic
from vectorsep.batch.result import Row
from vectorsep.films.pages import page_environment
from vectorsep.films.wording import told_mm

COLUMNS = ("design", "verdict", "screens", "clearance_mm", "unsafe", "warnings", "kept", "folder", "message")
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""A cell that starts so may be run as a formula by a spreadsheet."""


def write_summary(rows: Sequence[Row], out: Path) -> None:
    """Write `batch-summary.csv` and `batch-summary.html` into the batch's folder. Raises FolderError."""
    write_atomic(out / "batch-summary.csv", summary_csv(rows))
    write_atomic(out / "batch-summary.html", summary_page(rows))


def summary_csv(rows: Sequence[Row]) -> bytes:
    """The table (RFC 4180, UTF-8): a head line, then a line a design. Names never run as formulas."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    writer.writerows([_plain(cell) for cell in _cells(row)] for row in rows)
    return text.getvalue().encode()


def _cells(row: Row) -> tuple[str, ...]:
    result = row.result
    failed = result.verdict == "failed"
    numbers = (
        ("", "", "", "") if failed else (str(result.screens), _clearance(row), str(result.unsafe), str(result.warnings))
    )
    return (
        row.label,
        result.verdict,
        *numbers,
        "yes" if row.kept else "no",
        "" if failed else row.folder,
        result.message,
    )


def _clearance(row: Row) -> str:
    clearance_mm = row.result.clearance_mm
    return "" if clearance_mm is None else told_mm(clearance_mm)


def _plain(cell: str) -> str:
    return f"'{cell}" if cell.startswith(_FORMULA) else cell


def summary_page(rows: Sequence[Row]) -> bytes:
    """The page (HTML, UTF-8): self-contained, every name escaped, each design linked to its stacking report."""
    page = (
        page_environment("vectorsep.batch")
        .get_template("summary.html.j2")
        .render(
            rows=[(row, _clearance(row)) for row in rows],
            count=Counter(row.result.verdict for row in rows),
            kept=sum(row.kept for row in rows),
        )
    )
    return (page + "\n").encode()
