"""The chart's folder: films as of any job, and the sheet that says how to read the print."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from vectorsep.chart.layout import HEIGHT_MM, WIDTH_MM, chart_stack
from vectorsep.chart.steps import AMPLE_MM, BLEED_STACKS, USUAL_CHOKE_MM, WIDTHS_MM
from vectorsep.chart.vernier import PAIRS, RANGE_MM, STEP_MM
from vectorsep.films import lay_out_sheet, write_films, write_films_pdf, write_separations_pdf
from vectorsep.films.labels import printed_side
from vectorsep.films.marks import rule_mm, upper_to_lower_mm
from vectorsep.mesh import threads_per_inch, told_mesh
from vectorsep.model import Design, Film, Sheet
from vectorsep.paper.pages import page_environment
from vectorsep.paper.strict_json import StrictJson, file_sums, json_bytes
from vectorsep.settings import Settings

PAPERS_MM = ((297.0, 210.0), (279.4, 215.9))
"""A4 (ISO 216) and Letter (ANSI/ASME Y14.1, size A), lying."""
PRINTER_MARGIN_MM = 10.0
"""What a desk printer may leave bare along an edge (common practice, no source)."""
EXAMPLE_MM = (4 * STEP_MM, 3 * STEP_MM)
"""Two readings, across and along, whose distance is a round number too."""
NAME = "test chart"
SHEET = "chart-sheet.html"
RECORD = "chart-files.json"
"""What the folder holds, with sums, so that a later chart replaces nothing else."""


def make_chart(settings: Settings) -> dict[str, bytes]:
    """The files of the chart, name to content: a film a plate, both PDFs, the sheet to read the print by, the record.

    The films carry the settings' meshes, film size and mirroring. Raises SettingsError when they do not fit.
    """
    settings = replace(settings, inks=())  # the chart's colour is none of the job's, however alike
    stack = chart_stack(settings)
    sheet = lay_out_sheet(Design(WIDTH_MM, HEIGHT_MM, ()), stack.plates, settings)
    films = write_films(stack, sheet, settings, NAME)
    files = {film.file: film.svg for film in films}
    files |= {
        "films.pdf": write_films_pdf(films, sheet, settings, NAME),
        "separations.pdf": write_separations_pdf(films, sheet, settings, NAME),
    }
    files |= {SHEET: _reading_sheet(films, sheet, settings)}
    return files | {RECORD: json_bytes({"files": file_sums(files)})}


def _reading_sheet(films: Sequence[Film], sheet: Sheet, settings: Settings) -> bytes:
    """The page to read the print by."""
    page = (
        page_environment("vectorsep.chart")
        .get_template("chart.html.j2")
        .render(
            films=films,
            screens=tuple((film, told_mesh(threads_per_inch(film.plate, settings))) for film in films),
            sheet=sheet,
            rule_mm=rule_mm(sheet),
            crosses_mm=upper_to_lower_mm(sheet),
            fits_paper=_fits_paper(sheet),
            printed_side=printed_side(sheet),
            view=f"0 0 {WIDTH_MM:g} {HEIGHT_MM:g}",
            step_mm=STEP_MM,
            range_mm=RANGE_MM,
            example_mm=(*EXAMPLE_MM, math.hypot(*EXAMPLE_MM)),
            pairs=PAIRS,
            widths_mm=WIDTHS_MM,
            ample_mm=AMPLE_MM,
            usual_choke_mm=USUAL_CHOKE_MM,
            bleed=BLEED_STACKS,
        )
    )
    return f"{page}\n".encode()


def _fits_paper(sheet: Sheet) -> bool:
    """Whether the films print at full size, lying, on every usual paper with room for a printer's margins."""
    return all(
        sheet.width_mm <= long_mm - 2 * PRINTER_MARGIN_MM and sheet.height_mm <= short_mm - 2 * PRINTER_MARGIN_MM
        for long_mm, short_mm in PAPERS_MM
    )


def read_record(data: bytes) -> Mapping[str, str]:
    """The sums of a chart's other files, by name. Raises FolderError when the record is none."""
    reader = StrictJson(RECORD, "move the folder away, or restore the file")
    return reader.sums(reader.field(reader.parse(data), "files"))
