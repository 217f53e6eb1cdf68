"""What each film says of itself, and the marks it carries: the same for every form a film is written in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from vectorsep.films.marks import Label, Mark, draw_marks
from vectorsep.mesh import threads_per_inch
from vectorsep.model import Plate, Sheet
from vectorsep.settings import Settings

READING = {False: "right reading, emulsion up", True: "mirrored, emulsion down"}
"""What the film says of its side. Right reading with the emulsion up is the usual positive (published glossary)."""


def film_marks(
    plates: Sequence[Plate], order: int, sheet: Sheet, settings: Settings, job_name: str
) -> tuple[Mark, ...]:
    """The marks of the film that prints as number `order`, counted from 1, of the plates in print order."""
    labels = [
        Label(job_name, i, len(plates), plate.ink, threads_per_inch(plate, settings), READING[sheet.mirrored])
        for i, plate in enumerate(plates, start=1)
    ]
    letters = max(len(" ".join(label.parts)) for label in labels)
    return draw_marks(sheet, replace(labels[order - 1], letters=letters))
