"""The press sheet as frozen values: what the press stage works out and the report shows. No logic."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias, get_args

from vectorsep.model import Finding, Plate

StationKind: TypeAlias = Literal["screen", "flash", "cool-down"]
Ground: TypeAlias = Literal["flashed", "wet"]
"""The ink that a screen prints on."""
Risk: TypeAlias = Literal["low", "moderate", "high"]
StackKind: TypeAlias = Literal["ordinary inks", "low-bleed white alone", "blocker with white"]
"""From the weakest up, which `strength_of` counts."""


def strength_of(kind: StackKind) -> int:
    """How many kinds of stack are weaker."""
    return get_args(StackKind).index(kind)


@dataclass(frozen=True, slots=True)
class Station:
    """One head of the press in print order, and the plate it prints or dries."""

    kind: StationKind
    plate: Plate


@dataclass(frozen=True, slots=True)
class Remedy:
    """A step, or several together, that bring the job onto fewer heads, how many it then needs, and what it costs."""

    step: str
    heads: int
    cost: str
    keys: tuple[str, ...] = ()
    """What to write into the job for it, such as `press.cooldown = false`; empty where no key does it."""
    ways: tuple[str, ...] = ()
    """All that must be done for it, each step by its key or, where it has none, in words."""


@dataclass(frozen=True, slots=True)
class PressPlan:
    """The heads in order. `heads` is what the press has, None where the job does not say."""

    stations: tuple[Station, ...]
    heads: int | None
    remedies: tuple[Remedy, ...]
    highlight_on: Ground | None = None
    """Which colours a highlight white prints on; None where there is none, or no colours below it."""
    heads_with_that_flash: int | None = None
    """How many heads a flash before the highlight white would make of it; None where it needs none more."""

    @property
    def fits(self) -> bool | None:
        """Whether the press has heads enough; None where that is not known."""
        return None if self.heads is None else len(self.stations) <= self.heads

    @property
    def remedy(self) -> Remedy | None:
        """The first remedy that makes it fit; None where none does, or none is needed."""
        return next((remedy for remedy in self.remedies if self.heads and remedy.heads <= self.heads), None)

    @property
    def flashed(self) -> tuple[bool, ...]:
        """Of each screen, in order, whether a flash follows it."""
        return tuple(self.is_flashed(station.plate) for station in self.stations if station.kind == "screen")

    @property
    def prints_wet(self) -> bool:
        """Whether a layer prints on the wet ink of the one before it."""
        return not all(self.flashed[:-1])

    def is_flashed(self, plate: Plate) -> bool:
        """Whether a flash follows the plate."""
        return any(station.kind == "flash" and station.plate == plate for station in self.stations)


@dataclass(frozen=True, slots=True)
class ScreenInk:
    """One screen: its mesh and the ink that it lays."""

    plate: Plate
    mesh_per_inch: int
    ink_volume_cm3_m2: float
    """Theoretical, of the mesh that a shop most likely has for this count."""
    print_cm3: float
    """Wet ink on one print."""
    run_cm3: float | None
    """Wet ink to mix for the run, spoilage included; None where the run is not known."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One line of the garment rule, and whether it is the one that applies."""

    said: str
    risk: Risk
    source: str
    applies: bool


@dataclass(frozen=True, slots=True)
class GarmentRisk:
    """How likely the garment's dye is to bleed, by which rule, and the stack that this calls for."""

    risk: Risk
    calls_for: StackKind
    rules: tuple[Rule, ...]


@dataclass(frozen=True, slots=True)
class PressSheet:
    """Everything a crew needs beside the films."""

    screens: tuple[ScreenInk, ...]
    plan: PressPlan
    garment: GarmentRisk
    has: StackKind
    """What the plates amount to, to hold against what the garment calls for."""
    findings: tuple[Finding, ...]

    @property
    def margin(self) -> int:
        """By how many kinds the stack is stronger than the garment calls for; below 0 it is weaker."""
        return strength_of(self.has) - strength_of(self.garment.calls_for)
