"""stacking-report.json: the finished job as data, and the way back to what a later check needs of it."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields, is_dataclass
from types import MappingProxyType
from typing import Any, NoReturn, get_args

from vectorsep.errors import FolderError, SettingsError
from vectorsep.geometry.region import EMPTY
from vectorsep.model import Clearance, Film, Finding, Notice, Plate, Point, Role, Sheet
from vectorsep.press_model import PressSheet, ScreenInk
from vectorsep.separation import Separation
from vectorsep.settings import HEX_COLOUR, Settings
from vectorsep.units import floored

REPORT = "stacking-report.json"
CHECK_SETTINGS = ("registration_mm", "clearance_mm", "choke_mm", "min_choke_mm")
"""Without these a later check would have to guess what the job was held to."""
SAFE_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,99}")
"""File names of a folder of plates: no separators, no leading dot, nothing a shell or another system reads anew."""
SHA256 = re.compile(r"[0-9a-f]{64}")
"""A file's sum (FIPS 180-4), in hexadecimal digits."""
_USUAL = Settings()
MAX_SIZE_MM = 10_000.0
"""Larger pages, and points farther out, are no film of this program."""


@dataclass(frozen=True, slots=True)
class PlateEntry:
    """One film as the report lists it: its file, and the plate it should carry, without the area."""

    file: str
    plate: Plate


@dataclass(frozen=True, slots=True)
class Manifest:
    """What a later check needs of a report. `files` holds every file of the folder but the report itself, by name,
    with the SHA-256 sum that it was written with."""

    settings: Settings
    sheet: Sheet
    plates: tuple[PlateEntry, ...]
    files: Mapping[str, str]


def write_manifest(job: Separation, files: Mapping[str, bytes]) -> bytes:
    """Write the report: strict JSON, UTF-8, the same bytes for the same job. `files`: all others of the folder."""
    sums = {name: hashlib.sha256(content).hexdigest() for name, content in files.items()}
    report = {
        "design": {"file": job.job_name, "width_mm": job.design.width_mm, "height_mm": job.design.height_mm},
        "settings": _settings_data(job.settings),
        "film": asdict(job.sheet),
        "safe": job.check.safe,
        "plates": [_plate_data(i, film, _clearance_of(job, i), sums) for i, film in enumerate(job.films)],
        "findings": [_remark_data(finding) for finding in job.check.findings],
        "notices": [_remark_data(notice) for notice in (*job.design.notices, *job.stack.notices)],
        "press": _press_data(job.press),
        "files": dict(sorted(sums.items())),
    }
    return (json.dumps(report, ensure_ascii=False, allow_nan=False, indent=2) + "\n").encode()


def _settings_data(settings: Settings) -> dict[str, Any]:
    """All settings but those that only steer the reading of the art."""
    values = {field.name: getattr(settings, field.name) for field in fields(settings) if field.name != "art"}
    return {name: _plain(value) for name, value in values.items()}


def _plain(value: object) -> object:
    if isinstance(value, tuple):
        return [asdict(entry) for entry in value]
    return asdict(value) if is_dataclass(value) and not isinstance(value, type) else value


def _clearance_of(job: Separation, i: int) -> Clearance | None:
    """The measurement of a film; there is none where no blocker could be read to measure against."""
    return job.check.clearances[i] if i < len(job.check.clearances) else None


def _plate_data(i: int, film: Film, clearance: Clearance | None, sums: Mapping[str, str]) -> dict[str, Any]:
    distance_mm = clearance.distance_mm if clearance else None
    return {
        "order": i + 1,
        "file": film.file,
        "role": film.plate.role,
        "ink": film.plate.ink,
        "hex": film.plate.hex,
        "area_mm2": round(film.plate.area.area, 4),
        "clearance_mm": None if distance_mm is None else floored(distance_mm),
        "tightest_at_mm": _point_data(clearance.at_mm if clearance else None),
        "outside_mm2": round(clearance.outside_mm2, 6) if clearance else 0.0,
        "sha256": sums[film.file],
    }


def _remark_data(remark: Finding | Notice) -> dict[str, Any]:
    return {
        "code": remark.code,
        "severity": remark.severity,
        "plate": remark.plate,
        "message": remark.message,
        "at_mm": _point_data(remark.at_mm),
    }


def _press_data(press: PressSheet) -> dict[str, Any]:
    return {
        "heads_needed": len(press.plan.stations),
        "heads": press.plan.heads,
        "fits": press.plan.fits,
        "stations": [{"kind": station.kind, "plate": station.plate.ink} for station in press.plan.stations],
        "remedies": [asdict(remedy) for remedy in press.plan.remedies],
        "screens": [_screen_data(screen) for screen in press.screens],
        "garment": asdict(press.garment),
    }


def _screen_data(screen: ScreenInk) -> dict[str, Any]:
    return {
        "plate": screen.plate.ink,
        "mesh_per_inch": screen.mesh_per_inch,
        "ink_volume_cm3_m2": round(screen.ink_volume_cm3_m2, 2),
        "print_cm3": round(screen.print_cm3, 4),
        "run_cm3": None if screen.run_cm3 is None else round(screen.run_cm3, 1),
    }


def _point_data(point: Point | None) -> list[float] | None:
    return None if point is None else [round(point[0], 4) + 0.0, round(point[1], 4) + 0.0]


def read_manifest(data: bytes) -> Manifest:
    """Read a report back, trusting nothing in it. Raises FolderError naming the field that is missing or bad."""
    report = _table(_parse(data), "the report")
    plates = [_read_entry(entry, f"plates[{i}]") for i, entry in enumerate(_list(report, "plates"))]
    listed = [entry.file for entry in plates]
    for file in listed:
        if listed.count(file) > 1:
            _refuse("plates", f"two plates share the file {file}")
    files = _read_sums(_table(_field(report, "files", ""), "files"))
    for file in listed:
        if file not in files:
            _refuse("files", f"lacks the film {file}")
    return Manifest(_read_settings(report), _read_sheet(report), tuple(plates), files)


def _parse(data: bytes) -> object:
    try:
        return json.loads(data.decode("utf-8"), parse_constant=lambda word: _refuse("a number", f"{word} is none"))
    except (ValueError, RecursionError) as error:
        raise FolderError(f"{REPORT} is no JSON ({error}); separate the design again") from error


def _refuse(place: str, reason: str) -> NoReturn:
    raise FolderError(f"{REPORT}: {place}: {reason}; separate the design again or restore the file")


def _table(value: object, place: str) -> dict[str, Any]:
    if not isinstance(value, dict):
        _refuse(place, "should be an object")
    return value


def _field(table: Mapping[str, Any], name: str, place: str) -> object:
    if name not in table:
        _refuse(f"{place}.{name}".lstrip("."), "is missing")
    return table[name]


def _list(table: Mapping[str, Any], name: str) -> list[Any]:
    value = _field(table, name, "")
    if not isinstance(value, list):
        _refuse(name, "should be a list")
    return value


def _text(value: object, place: str) -> str:
    if not isinstance(value, str):
        _refuse(place, "should be a text")
    return value


def _number(value: object, place: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= MAX_SIZE_MM:
        _refuse(place, f"should be a number from 0 to {MAX_SIZE_MM:g}")
    return float(value)


def _safe_name(value: object, place: str) -> str:
    name = _text(value, place)
    if not SAFE_NAME.fullmatch(name) or ".." in name:
        _refuse(place, f"{name[:80]!r} is no file name of a folder of plates")
    return name


def _read_sums(table: Mapping[str, Any]) -> Mapping[str, str]:
    sums = {}
    for name in sorted(table):
        file, sum_ = _safe_name(name, "files"), _text(table[name], f"files.{name}")
        if not SHA256.fullmatch(sum_):
            _refuse(f"files.{file}", "should be a SHA-256 sum")
        sums[file] = sum_
    return MappingProxyType(sums)


def _read_entry(value: object, place: str) -> PlateEntry:
    entry = _table(value, place)
    file = _safe_name(_field(entry, "file", place), f"{place}.file")
    role = _text(_field(entry, "role", place), f"{place}.role")
    if role not in get_args(Role):
        _refuse(f"{place}.role", f"should be one of {', '.join(get_args(Role))}")
    ink = _text(_field(entry, "ink", place), f"{place}.ink")
    hex_ = _text(_field(entry, "hex", place), f"{place}.hex")
    if not HEX_COLOUR.fullmatch(hex_):
        _refuse(f"{place}.hex", "should be #rrggbb")
    return PlateEntry(file, Plate(role, ink, hex_, EMPTY))  # type: ignore[arg-type] # just checked


def _read_sheet(report: Mapping[str, Any]) -> Sheet:
    film = _table(_field(report, "film", ""), "film")
    sizes = [field.name for field in fields(Sheet) if field.name != "mirrored"]
    wide, high, ink_margin, margin_x, margin_y = [_number(_field(film, name, "film"), f"film.{name}") for name in sizes]
    mirrored = _switch(_field(film, "mirrored", "film"), "film.mirrored")
    sheet = Sheet(wide, high, ink_margin, margin_x, margin_y, mirrored)
    if sheet.ink_margin_mm > min(sheet.margin_x_mm, sheet.margin_y_mm):
        _refuse("film.ink_margin_mm", "is wider than the margin that holds it")
    return sheet


def _read_settings(report: Mapping[str, Any]) -> Settings:
    """The numbers, switches and words of the job's settings; its lists of inks and pairs concern no check."""
    table = _table(_field(report, "settings", ""), "settings")
    for name in CHECK_SETTINGS:
        _field(table, name, "settings")
    usual = {field.name: getattr(_USUAL, field.name) for field in fields(Settings)}
    values: dict[str, Any] = {
        name: _like(table[name], usual[name], f"settings.{name}")
        for name in usual
        if name in table and isinstance(usual[name], int | float | str)
    }
    try:
        return Settings(**values)
    except SettingsError as error:
        raise FolderError(f"{REPORT}: {error}") from error


def _like(value: object, usual: float | str, place: str) -> float | str:
    """The value, if it is of the kind that the setting usually is."""
    if isinstance(usual, str):
        return _text(value, place)
    if isinstance(usual, bool):
        return _switch(value, place)
    number = _number(value, place)
    return int(number) if isinstance(usual, int) else number


def _switch(value: object, place: str) -> bool:
    if not isinstance(value, bool):
        _refuse(place, "should be true or false")
    return value
