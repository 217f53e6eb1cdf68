"""For those who script it: a design from a file, plates from a design, findings from plates."""

from __future__ import annotations

from collections.abc import Sequence

from vectorsep.artwork import read_artwork
from vectorsep.check import measure_stack
from vectorsep.files import Source, read_source
from vectorsep.inks import separate_inks
from vectorsep.model import Design, Finding, Plate
from vectorsep.press import stack_findings
from vectorsep.settings import Settings


def read_design(source: Source, settings: Settings | None = None) -> Design:
    """Read SVG artwork into ink areas.

    `source` is a path, SVG text, or bytes. Lengths of the result are mm, y down, origin at the page's top left.
    Raises ArtworkError (naming element, id and line), FolderError, SettingsError.
    """
    settings = settings or Settings()
    return separate_inks(read_artwork(read_source(source), settings.art), settings)


def check_stack(plates: Sequence[Plate], settings: Settings) -> tuple[Finding, ...]:
    """What would go wrong on press with these plates, in print order, on the settings' garment.

    Areas are mm. With no `unsafe` finding the stack is safe.
    """
    return (*measure_stack(plates, settings).findings, *stack_findings(plates, settings))
