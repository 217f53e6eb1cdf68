"""The chart's folder: films as of any job, and the sheet that says how to read the print."""

from __future__ import annotations

from collections.abc import Mapping

from vectorsep.chart.layout import HEIGHT_MM, WIDTH_MM, chart_stack
from vectorsep.chart.steps import AMPLE_MM, BLEED_STACKS, STEPS_MM, USUAL_CHOKE_MM, WIDTHS_MM
from vectorsep.chart.vernier import RANGE_MM, STEP_MM
from vectorsep.films import lay_out_sheet, write_films, write_films_pdf, write_separations_pdf
from vectorsep.films.pages import page_environment
from vectorsep.films.strict_json import StrictJson, file_sums, json_bytes
from vectorsep.model import Design, InkArea
from vectorsep.settings import Settings

NAME = "test chart"
SHEET = "chart-sheet.html"
RECORD = "chart-files.json"
"""What the folder holds, with sums, so that a later chart replaces nothing else."""


def make_chart(settings: Settings) -> dict[str, bytes]:
    """The files of the chart, name to content: a film a plate, both PDFs, the sheet to read the print by, the record.

    The films carry the settings' meshes, film size and mirroring. Raises SettingsError when they do not fit.
    """
    stack = chart_stack(settings)
    inks = tuple(InkArea(plate.ink, plate.hex, plate.area) for plate in stack.plates)
    sheet = lay_out_sheet(Design(WIDTH_MM, HEIGHT_MM, inks), settings)
    films = write_films(stack, sheet, settings, NAME)
    files = {film.file: film.svg for film in films}
    files |= {
        "films.pdf": write_films_pdf(films, sheet, settings, NAME),
        "separations.pdf": write_separations_pdf(films, sheet, settings, NAME),
    }
    page = (
        page_environment("vectorsep.chart", "vectorsep.films")  # the report's style sheet serves here too
        .get_template("chart.html.j2")
        .render(
            films=films,
            settings=settings,
            view=f"0 0 {WIDTH_MM:g} {HEIGHT_MM:g}",
            step_mm=STEP_MM,
            range_mm=RANGE_MM,
            steps_mm=STEPS_MM,
            widths_mm=WIDTHS_MM,
            ample_mm=AMPLE_MM,
            usual_choke_mm=USUAL_CHOKE_MM,
            bleed=BLEED_STACKS,
        )
    )
    files |= {SHEET: (page + "\n").encode()}
    return files | {RECORD: json_bytes({"files": file_sums(files)})}


def read_record(data: bytes) -> Mapping[str, str]:
    """The sums of a chart's other files, by name. Raises FolderError when the record is none."""
    reader = StrictJson(RECORD, "move the folder away, or restore the file")
    return reader.sums(reader.field(reader.parse(data), "files"))
