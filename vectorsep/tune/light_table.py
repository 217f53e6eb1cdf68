"""A design laid out for tuning: what its page asks for, answered as plain data. No network here."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from functools import partial
from typing import Any

from vectorsep.errors import SettingsError, VectorsepError
from vectorsep.films.pathdata import region_path
from vectorsep.films.proof import shown_on_blocker
from vectorsep.geometry.thinning import thinned
from vectorsep.job import KEYS, Key
from vectorsep.model import Bounds, Design, Plate
from vectorsep.paper.remarks import Listed, listed, verdict
from vectorsep.pipeline import separate
from vectorsep.remember import recalling
from vectorsep.settings import Settings
from vectorsep.tune.view import loupe_window, view_of
from vectorsep.units import counted

_KEYS = {str(key): key for key in KEYS}
_DISTANCES = (
    "press.registration",
    "blocker.spread",
    "blocker.min_gap",
    "white.choke",
    "white.min_choke",
    "white.min_line",
    "colour.clearance",
    "colour.trap",
)
TUNED: tuple[Key, ...] = tuple(_KEYS[name] for name in _DISTANCES)
"""The keys of the job file that the page moves, all of them distances."""
FILLING = _KEYS["blocker.fill_gaps"]
"""What the page switches, as `true` or `false`: whether a gap is worth keeping open is seen, not reckoned."""
FOLLOWING = {field.name for field in fields(Settings) if isinstance(field.default, float) and math.isnan(field.default)}
"""The settings that go by the registration tolerance until they are set."""
SWITCHED = {"true": True, "false": False}
WINDOW = "window"
"""What the page calls the part of the design that it shows, among the keys."""
LARGEST_WINDOW_MM = 10_000.0
"""No design is larger: such a window is a slip of the page."""
MAP_STEPS = 400
"""The map of the whole design is drawn to so many steps across."""


@dataclass(frozen=True, slots=True)
class LightTable:
    """One design, as SVG and as ink areas, its job, as keyword values of `Settings`, and what is seen first (mm)."""

    name: str
    svg: bytes
    design: Design
    values: Mapping[str, Any]
    first_window: Bounds

    def map(self) -> dict[str, Any]:
        """The whole design, coarsely: its page (mm), its cloth, and its inks as SVG path data."""
        size = (self.design.width_mm, self.design.height_mm)
        inks = [
            {"hex": ink.hex, "path": region_path(thinned(ink.area, max(size) / MAP_STEPS))} for ink in self.design.inks
        ]
        return {"size": size, "cloth": Settings(**self.values).garment_hex, "inks": inks, "first": self.first_window}

    def look(self, asked: Mapping[str, str], is_wanted: Callable[[], bool] = lambda: True) -> dict[str, Any]:
        """The plates in a window, for the distances that were moved; all others stay as the job has them.

        `asked` has the window, as `left,top,right,bottom` in mm, and lengths, or `true` and `false`, by key. Raises
        SettingsError with all that is wrong, each as `message @ section.key`; CalledOff, once it is no longer wanted.
        """
        window, settings = self._read(asked)
        with recalling("look", is_wanted):
            return self._seen(window, settings)

    def loupe(self, asked: Mapping[str, str]) -> dict[str, Any]:
        """The same of a few millimetres around the edge in the middle of the window, which takes hardly any time."""
        window, settings = self._read(asked)
        with recalling("loupe", lambda: True):
            return self._seen(loupe_window(self.design, window), settings)

    def check(self, asked: Mapping[str, str]) -> Callable[[], dict[str, Any]]:
        """The work of checking distances, asked for as of a look, which another process can do: see `checked`."""
        _, settings = self._read(asked)
        return partial(checked, self.svg, settings, self.name)

    def tuned(self) -> list[tuple[Key, float, bool]]:
        """What is tuned, how far it is in the job (mm), and whether it goes by the registration until it is moved."""
        job = distances(Settings(**self.values))
        return [(key, job[str(key)], key.field in FOLLOWING and key.field not in self.values) for key in TUNED]

    def _seen(self, window: Bounds, settings: Settings) -> dict[str, Any]:
        view = view_of(self.design, window, settings)
        return {
            "window": window,
            "plates": [_drawn(plate, view.plates[0], settings) for plate in view.plates],
            "distances": distances(settings),
        }

    def _read(self, asked: Mapping[str, str]) -> tuple[Bounds, Settings]:
        """The window, and the job's settings with the distances. Raises SettingsError with every problem."""
        window, (moved, problems) = _window(asked.get(WINDOW, "")), _moved(asked)
        if not window:
            problems.append(f"give left,top,right,bottom in mm @ {WINDOW}")
        if not window or problems:
            raise SettingsError(problems)
        return window, Settings(**{**self.values, **moved})


def checked(svg: bytes, settings: Settings, name: str) -> dict[str, Any]:
    """Separate a whole design and tell the verdict on its films and what is to be said of it: all that
    `vectorsep separate` would print, gravest first."""
    job, _ = separate(svg, settings, name)
    remarks = listed((*job.design.notices, *job.stack.notices, *job.check.findings))
    return {
        "safe": job.check.safe,
        "verdict": verdict(job.check, settings.registration_mm),
        "screens": counted(len(job.films), "screen"),
        "remarks": [_told(shown) for shown in remarks],
    }


def distances(settings: Settings) -> dict[str, float]:
    """What the page moves, in mm by key."""
    return {str(key): round(getattr(settings, key.field), 4) for key in TUNED}


def _moved(asked: Mapping[str, str]) -> tuple[dict[str, Any], list[str]]:
    """What was moved (mm) and switched, by setting, and what is wrong with what could not be read."""
    keys = {str(key): key for key in (*TUNED, FILLING)}
    problems = [f"nothing is tuned by that name @ {name}" for name in asked if name not in (*keys, WINDOW)]
    moved: dict[str, Any] = {}
    for name in (name for name in asked if name in keys):
        try:
            moved[keys[name].field] = keys[name].read(SWITCHED.get(asked[name], asked[name]))
        except VectorsepError as error:
            problems.append(f"{error} @ {name}")
    return moved, problems


def _window(text: str) -> Bounds | None:
    try:
        left, top, right, bottom = map(float, text.split(","))
    except ValueError:
        return None
    sound = 0 < right - left <= LARGEST_WINDOW_MM and 0 < bottom - top <= LARGEST_WINDOW_MM
    return (left, top, right, bottom) if sound else None


def _drawn(plate: Plate, blocker: Plate, settings: Settings) -> dict[str, str]:
    """A plate as the page draws it, and how it shows where it lies on the blocker without white between."""
    return {
        "role": plate.role,
        "name": plate.ink,
        "hex": plate.hex,
        "path": region_path(plate.area),
        "hex_on_blocker": shown_on_blocker(plate.hex, blocker.hex, settings.blocker),
    }


def _told(shown: Listed) -> dict[str, Any]:
    """A remark as the page lists it; its place is one to look at."""
    remark = shown.remark
    others = shown.others if shown.more else ""
    return {
        "severity": remark.severity,
        "plate": remark.plate,
        "message": remark.message,
        "at": remark.at_mm,
        "others": others,
    }
