"""The summary of a batch, one line a design: a table for spreadsheets and a page for people."""

from __future__ import annotations

import codecs
import csv
import io
import json
from collections import Counter
from collections.abc import Sequence
from hashlib import sha256
from pathlib import Path

from vectorsep.batch.records import RECORDS, write_making_folder
from vectorsep.batch.result import Row
from vectorsep.files import read_file
from vectorsep.films import REPORT_PAGE
from vectorsep.paper.pages import page_environment
from vectorsep.paper.wording import told_mm
from vectorsep.writing import refuse_to_overwrite

TABLE, PAGE = "batch-summary.csv", "batch-summary.html"
SUMS = "batch-summary.json"
"""Beside the records of the designs: the SHA-256 sums of the summaries that the batch wrote last and before that."""
COLUMNS = ("design", "verdict", "screens", "clearance_mm", "unsafe", "warnings", "kept", "folder", "message")
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""A cell that starts so may be run as a formula by a spreadsheet."""


def write_summary(rows: Sequence[Row], out: Path, *, replace: bool = False) -> None:
    """Write `batch-summary.csv` and `batch-summary.html` into the batch's folder.

    Raises FolderError, as `refuse_to_overwrite_summary` does. Their sums are written first: a batch that is stopped
    between the two knows the summary that still stands there for its own.
    """
    refuse_to_overwrite_summary(out, replace=replace)
    papers = {TABLE: summary_csv(rows), PAGE: summary_page(rows)}
    standing = [read_file(out / name) for name in papers if (out / name).exists()]
    sums = [sha256(content).hexdigest() for content in (*papers.values(), *standing)]
    write_making_folder(out / RECORDS / SUMS, (json.dumps(sums, indent=1) + "\n").encode())
    for name, content in papers.items():
        write_making_folder(out / name, content)


def refuse_to_overwrite_summary(out: Path, *, replace: bool) -> None:
    """Raise FolderError when a summary stands there that is not as the batch wrote it, unless `replace`."""
    own = _own_sums(out)
    for name in (TABLE, PAGE):
        refuse_to_overwrite(out / name, replace=replace, own=own)


def _own_sums(out: Path) -> list[object]:
    """The sums that are remembered; none when they cannot be understood."""
    try:
        sums = json.loads((out / RECORDS / SUMS).read_bytes())
    except (OSError, ValueError, RecursionError):
        return []
    return sums if isinstance(sums, list) else []


def summary_csv(rows: Sequence[Row]) -> bytes:
    """The table (RFC 4180): a head line, then a line a design. Names never run as formulas.

    UTF-8 with its signature (Unicode 15, 23.8), by which alone some spreadsheets know it (common practice, no source).
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    writer.writerows([_plain(cell) for cell in _cells(row)] for row in rows)
    return codecs.BOM_UTF8 + text.getvalue().encode(errors="backslashreplace")  # for names of files that are no UTF-8


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
            report=REPORT_PAGE,
            rows=[(f"design-{i}", row, _clearance(row)) for i, row in enumerate(rows, 1)],
            count=Counter(row.result.verdict for row in rows),
            kept=sum(row.kept for row in rows),
        )
    )
    return (page + "\n").encode(errors="backslashreplace")
