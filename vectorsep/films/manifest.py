"""stacking-report.json: the finished job as data, and the way back to what a later check needs of it."""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import asdict, dataclass, fields, is_dataclass
from typing import Any, get_args

from vectorsep.errors import FolderError, SettingsError
from vectorsep.geometry.measure import ink_measure
from vectorsep.geometry.region import EMPTY
from vectorsep.model import Clearance, Film, Finding, InkMeasure, Notice, Plate, Point, Role, Sheet
from vectorsep.paper.strict_json import MAX_SIZE_MM, StrictJson, file_sums, json_bytes
from vectorsep.press_model import PressSheet, ScreenInk
from vectorsep.press_settings import GarmentSetting
from vectorsep.separation import Separation
from vectorsep.settings import HEX_COLOUR, InkSetting, Settings, TrapSetting
from vectorsep.units import floored

REPORT = "stacking-report.json"
CHECK_SETTINGS = ("registration_mm", "clearance_mm", "choke_mm", "min_choke_mm", "white_under_colours")
"""Without these a later check would have to guess what the job was held to."""
_USUAL = Settings()
READ_SETTINGS = tuple(
    field.name for field in fields(Settings) if isinstance(getattr(_USUAL, field.name), int | float | str)
)
"""Settings that are single values and never none, which are all that a check asks for but inks, traps and garment."""
LATER_SETTINGS = frozenset(f"detail_{role}_{what}_mm" for role in get_args(Role) for what in ("line", "gap"))
"""Settings that older reports know nothing of: there they have their usual values."""
_JSON = StrictJson(REPORT, "separate the design again or restore the file")


@dataclass(frozen=True, slots=True)
class PlateEntry:
    """One film as the report lists it: its file, and the plate it should carry, without the area but as measured."""

    file: str
    plate: Plate
    ink: InkMeasure | None = None


@dataclass(frozen=True, slots=True)
class Manifest:
    """What a later check needs of a report. `job_name` is the design's file; `files` holds every file of the folder
    but the report itself, by name, with the SHA-256 sum that it was written with."""

    job_name: str
    settings: Settings
    settings_changed: tuple[str, ...]
    """Settings whose values are not those that the plates were made with, as far as sums of them tell: they guard
    against a slip and a number written by hand, not against somebody who reckons new sums."""
    sheet: Sheet
    plates: tuple[PlateEntry, ...]
    files: Mapping[str, str]


def write_manifest(job: Separation, files: Mapping[str, bytes]) -> bytes:
    """Write the report: strict JSON, UTF-8, the same bytes for the same job. `files`: all others of the folder."""
    sums = file_sums(files)
    report = {
        "design": {"file": job.job_name, "width_mm": job.design.width_mm, "height_mm": job.design.height_mm},
        "settings": (settings := _settings_data(job.settings)),
        "settings_sums": _settings_sums(_read_settings(settings)),
        "film": asdict(job.sheet),
        "safe": job.check.safe,
        "plates": [_plate_data(i, film, _clearance_of(job, i), sums) for i, film in enumerate(job.films)],
        "findings": [_remark_data(finding) for finding in job.check.findings],
        "notices": [_remark_data(notice) for notice in (*job.design.notices, *job.stack.notices)],
        "press": _press_data(job.press),
        "files": sums,
    }
    return json_bytes(report)


def _settings_data(settings: Settings) -> dict[str, Any]:
    """All settings but those that only steer the reading of the art."""
    values = {field.name: getattr(settings, field.name) for field in fields(settings) if field.name != "art"}
    return {name: _plain(value) for name, value in values.items()}


def _plain(value: object) -> object:
    if isinstance(value, tuple):
        return [_plain(entry) for entry in value]
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
        "film_ink": _measure_data(clearance),
        "outside_mm2": round(clearance.outside_mm2, 6) if clearance else 0.0,
        "sha256": sums[film.file],
    }


def _measure_data(clearance: Clearance | None) -> dict[str, Any] | None:
    """What the film's ink measures as it was read back, to compare an edited film with; None where it was not."""
    measure = ink_measure(clearance.plate.area) if clearance else None
    if measure is None:
        return None
    return {
        "area_mm2": round(measure.area_mm2, 4),
        "bounds_mm": [round(side, 4) + 0.0 for side in measure.bounds_mm],
        "centroid_mm": _point_data(measure.centroid_mm),
        "covered": [" ".join(f"{round(share, 5):g}" for share in row) for row in measure.covered],
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
    report = _JSON.parse(data)
    entries = _JSON.entries(_JSON.field(report, "plates"), "plates")
    plates = [_read_entry(entry, f"plates[{i}]") for i, entry in enumerate(entries)]
    listed = [entry.file for entry in plates]
    for file in listed:
        if listed.count(file) > 1:
            _JSON.refuse("plates", f"two plates share the file {file}")
    names = [entry.plate.ink for entry in plates]
    for name in names:
        if names.count(name) > 1:
            _JSON.refuse("plates", f"two plates share the name {name}")
    files = _JSON.sums(_JSON.field(report, "files"))
    for file in listed:
        if file not in files:
            _JSON.refuse("files", f"lacks the film {file}")
    design = _JSON.table(_JSON.field(report, "design"), "design")
    job_name = _JSON.text(_JSON.field(design, "file", "design"), "design.file")
    table = _JSON.table(_JSON.field(report, "settings"), "settings")
    settings, sums = _read_settings(table), _JSON.sums(report.get("settings_sums", {}), "settings_sums")
    changed = _changed(settings, sums, LATER_SETTINGS - table.keys() - sums.keys())
    return Manifest(job_name, settings, changed, _read_sheet(report), tuple(plates), files)


def _read_entry(value: object, place: str) -> PlateEntry:
    entry = _JSON.table(value, place)
    file = _JSON.file_name(_JSON.field(entry, "file", place), f"{place}.file")
    role = _JSON.text(_JSON.field(entry, "role", place), f"{place}.role")
    if role not in get_args(Role):
        _JSON.refuse(f"{place}.role", f"should be one of {', '.join(get_args(Role))}")
    ink = _JSON.text(_JSON.field(entry, "ink", place), f"{place}.ink")
    hex_ = _JSON.text(_JSON.field(entry, "hex", place), f"{place}.hex")
    if not HEX_COLOUR.fullmatch(hex_):
        _JSON.refuse(f"{place}.hex", "should be #rrggbb")
    measure = _read_measure(entry.get("film_ink"), f"{place}.film_ink")
    return PlateEntry(file, Plate(role, ink, hex_, EMPTY), measure)  # type: ignore[arg-type] # just checked


def _read_measure(value: object, place: str) -> InkMeasure | None:
    if value is None:
        return None
    measure = _JSON.table(value, place)
    left, top, right, bottom = _JSON.coordinates(_JSON.field(measure, "bounds_mm", place), f"{place}.bounds_mm", 4)
    x, y = _JSON.coordinates(_JSON.field(measure, "centroid_mm", place), f"{place}.centroid_mm", 2)
    area_mm2 = _JSON.number(_JSON.field(measure, "area_mm2", place), f"{place}.area_mm2", most=MAX_SIZE_MM**2)
    covered = _JSON.shares(measure.get("covered", []), f"{place}.covered")
    return InkMeasure(area_mm2, (left, top, right, bottom), (x, y), covered)


def _read_sheet(report: Mapping[str, Any]) -> Sheet:
    film = _JSON.table(_JSON.field(report, "film"), "film")
    code = _JSON.text(film.get("set_code", ""), "film.set_code")
    values = {field.name: _JSON.field(film, field.name, "film") for field in fields(Sheet) if field.name != "set_code"}
    mirrored = _JSON.switch(values.pop("mirrored"), "film.mirrored")
    lengths = {name: _JSON.number(value, f"film.{name}") for name, value in values.items()}
    sheet = Sheet(**lengths, mirrored=mirrored, set_code=code)
    if sheet.ink_margin_mm > min(sheet.margin_x_mm, sheet.margin_y_mm):
        _JSON.refuse("film.ink_margin_mm", "is wider than the margin that holds it")
    return sheet


def _settings_sums(settings: Settings) -> dict[str, str]:
    """A sum of each setting that a check reads."""
    names = (*READ_SETTINGS, "inks", "traps", "garment")
    return file_sums({name: json_bytes(_plain(getattr(settings, name))) for name in names})


def _changed(settings: Settings, sums: Mapping[str, str], later: Set[str]) -> tuple[str, ...]:
    """Which settings are not as they were, but for those that came later."""
    changed = (name for name, sum_ in _settings_sums(settings).items() if sums.get(name) != sum_)
    return tuple(name for name in changed if name not in later)


def _read_settings(table: Mapping[str, Any]) -> Settings:
    """The job's settings as far as they concern a check: all but films and press.

    What a report does not say of the garment is not known, and that counts as the worst.
    """
    for name in CHECK_SETTINGS:
        _JSON.field(table, name, "settings")
    values: dict[str, Any] = {
        name: _like(table[name], getattr(_USUAL, name), f"settings.{name}") for name in READ_SETTINGS if name in table
    }
    values["inks"] = tuple(
        _read_ink(ink, f"settings.inks[{i}]")
        for i, ink in enumerate(_JSON.entries(table.get("inks", []), "settings.inks"))
    )
    values["traps"] = tuple(
        _read_trap(trap, f"settings.traps[{i}]")
        for i, trap in enumerate(_JSON.entries(table.get("traps", []), "settings.traps"))
    )
    values["garment"] = _read_garment(_JSON.table(table.get("garment", {}), "settings.garment"))
    try:
        return Settings(**values)
    except SettingsError as error:
        raise FolderError(f"{REPORT}: {error}") from error


def _read_ink(value: object, place: str) -> InkSetting:
    ink = _JSON.table(value, place)
    hex_ = _JSON.text(_JSON.field(ink, "hex", place), f"{place}.hex")
    name, mesh = ink.get("name"), ink.get("mesh_per_inch")
    return InkSetting(
        hex_,
        None if name is None else _JSON.text(name, f"{place}.name"),
        None if mesh is None else int(_JSON.number(mesh, f"{place}.mesh_per_inch")),
    )


def _read_trap(value: object, place: str) -> TrapSetting:
    trap = _JSON.table(value, place)
    ink, into = (_JSON.text(_JSON.field(trap, name, place), f"{place}.{name}") for name in ("ink", "into"))
    return TrapSetting(ink, into, _JSON.number(_JSON.field(trap, "width_mm", place), f"{place}.width_mm"))


def _read_garment(garment: Mapping[str, Any]) -> GarmentSetting:
    """The words are checked with the other settings."""
    fibre, dyeing = (
        _JSON.text(garment.get(name, "unknown"), f"settings.garment.{name}") for name in ("fibre", "dyeing")
    )
    grade = garment.get("grade")
    return GarmentSetting(
        fibre,  # type: ignore[arg-type] # see above
        dyeing,  # type: ignore[arg-type]
        None if grade is None else _JSON.number(grade, "settings.garment.grade"),
    )


def _like(value: object, usual: float | str, place: str) -> float | str:
    """The value, if it is of the kind that the setting usually is."""
    if isinstance(usual, str):
        return _JSON.text(value, place)
    if isinstance(usual, bool):
        return _JSON.switch(value, place)
    number = _JSON.number(value, place)
    return int(number) if isinstance(usual, int) else number
