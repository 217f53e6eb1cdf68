"""The finished job as one frozen value: what the report tells of and what goes to disk."""

from __future__ import annotations

from dataclasses import dataclass

from vectorsep.model import Check, Design, Film, Sheet, Stack
from vectorsep.press_model import PressSheet
from vectorsep.settings import Settings


@dataclass(frozen=True, slots=True)
class Separation:
    """One design, separated. The check is of the films as written, read back."""

    job_name: str
    design: Design
    settings: Settings
    stack: Stack
    sheet: Sheet
    films: tuple[Film, ...]
    check: Check
    press: PressSheet
