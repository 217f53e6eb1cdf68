"""The job file: TOML in, keyword values for `Settings` out. One table says what each key means."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from vectorsep.errors import SettingsError, VectorsepError
from vectorsep.press_settings import FilmSetting, GarmentSetting, PressSetting
from vectorsep.settings import InkSetting, ReadOptions, Settings, TrapSetting
from vectorsep.units import parse_length_mm

LARGEST_NUMBER = 1_000_000_000
"""A thousand times the largest run; a whole number beyond it is a slip, and may be larger than any float."""


class _ValueProblem(VectorsepError):
    """One value of the job file that does not fit its key."""


def _refuse_oversized(value: object) -> None:
    """Nothing that would have no end in a message, nor fit a float."""
    if isinstance(value, list | dict):
        raise _ValueProblem("a list or a table is no value here: write one text or number")
    if isinstance(value, int) and abs(value) > LARGEST_NUMBER:
        raise _ValueProblem(f"a number beyond {LARGEST_NUMBER} fits no key")


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise _ValueProblem(f"{value!r} is not a text: put it in quotes")
    return value


def _colour(value: object) -> str:
    return _text(value).lower()


def _switch(value: object) -> bool:
    if not isinstance(value, bool):
        raise _ValueProblem(f"{value!r} is neither true nor false")
    return value


def _number(value: object) -> float:
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise _ValueProblem(f"{value!r} is not a number")
    return float(value)


def _count(value: object) -> int:
    if not isinstance(value, int) or isinstance(value, bool):
        raise _ValueProblem(f"{value!r} is not a whole number")
    return value


@dataclass(frozen=True, slots=True)
class Key:
    """One key of the job file: where it stands, which setting it fills, how its value is read."""

    section: str
    name: str
    field: str
    read: Callable[[object], Any]
    meaning: str
    listed: bool = False
    """Whether it takes a list of such values."""

    def __str__(self) -> str:
        return f"{self.section}.{self.name}"


KEYS = (
    Key("garment", "name", "garment_name", _text, "what the press crew calls the garment"),
    Key(
        "garment",
        "hex",
        "garment_hex",
        _colour,
        "the cloth's colour, #rrggbb, for the proof, the blocker's rim and what screens could be saved",
    ),
    Key("garment", "knock_out", "knock_out_garment", _switch, "art in the cloth's own colour is left to the cloth"),
    Key("garment", "fibre", "garment.fibre", _text, "polyester, blend, cotton or unknown"),
    Key("garment", "dyeing", "garment.dyeing", _text, "solid, low-energy, cationic, sublimated, undyed or unknown"),
    Key("garment", "grade", "garment.grade", _number, "bench test on the grey scale for staining, 1 to 5"),
    Key(
        "press",
        "registration",
        "registration_mm",
        parse_length_mm,
        "how far two plates may sit from each other",
    ),
    Key("press", "turn", "turn_deg", _number, "by how many degrees a plate may lie turned"),
    Key("press", "heads", "press.heads", _count, "stations for screens, flashes and cool-downs"),
    Key("press", "cooldown", "press.cooldown", _switch, "a station stays empty after each flash"),
    Key(
        "press",
        "flash_colours",
        "press.flash_colours",
        _switch,
        "false: only blocker and white, colours wet on wet, but flashed before a highlight white",
    ),
    Key("press", "last_flash", "press.last_flash", _switch, "the last layer is flashed too"),
    Key("press", "run", "press.run", _count, "how many prints"),
    Key("press", "platen_width", "press.platen_width_mm", parse_length_mm, "width of the largest platen (16 inches)"),
    Key(
        "press",
        "platen_height",
        "press.platen_height_mm",
        parse_length_mm,
        "the same from its neck to its end (21 inches); a warning tells of larger art",
    ),
    Key("press", "transfer", "press.transfer", _number, "share of the mesh's ink volume that reaches the cloth"),
    Key("press", "spoilage", "press.spoilage", _number, "ink mixed beyond what is printed, as a share"),
    Key("blocker", "colour", "blocker", _text, "black or grey"),
    Key("blocker", "carbon", "carbon", _switch, "the ink holds activated carbon (true unless said otherwise)"),
    Key("blocker", "spread", "spread_mm", parse_length_mm, "how far the blocker grows past the art"),
    Key("blocker", "min_gap", "min_gap_mm", parse_length_mm, "gaps this wide stay open"),
    Key(
        "blocker",
        "fill_gaps",
        "fill_gaps",
        _switch,
        "gaps that art would recede from fill, and it keeps its edge (true where the blocker hardly shows on the "
        "garment's colour, unless said otherwise)",
    ),
    Key("blocker", "mesh", "blocker_mesh_per_inch", _count, "threads per inch, 86 to 110"),
    Key("blocker", "merge_black", "merge_black", _switch, "the blocker prints the design's black too, if it has one"),
    Key("blocker", "design_black", "design_black", _text, "which ink is the design's black, by name or hex"),
    Key("white", "choke", "choke_mm", parse_length_mm, "how far the white stays inside the art"),
    Key("white", "min_choke", "min_choke_mm", parse_length_mm, "how far the choke may shrink on thin lines"),
    Key("white", "min_line", "min_line_mm", parse_length_mm, "the thinnest white line worth printing"),
    Key("white", "under_colours", "white_under_colours", _switch, "false: colours print on a grey blocker itself"),
    Key("white", "highlight", "highlight_white", _switch, "white art gets a last screen of its own"),
    Key("white", "mesh", "white_mesh_per_inch", _count, "threads per inch"),
    Key(
        "colour",
        "clearance",
        "clearance_mm",
        parse_length_mm,
        "least distance of every upper ink to the blocker's edge",
    ),
    Key("colour", "trap", "trap_mm", parse_length_mm, "how far the lighter of two inks runs under the darker"),
    Key(
        "colour",
        "order",
        "print_order",
        _text,
        'colours that print after all others, in this order, by name or hex: ["yellow", "red"]; the others go light to '
        "dark",
        listed=True,
    ),
    Key("colour", "merge_inks", "merge_inks", _number, "colours this alike (CIEDE2000) become one ink"),
    Key("colour", "mesh", "colour_mesh_per_inch", _count, "threads per inch, unless the ink says otherwise"),
    Key("art", "close_gaps", "close_gaps_mm", parse_length_mm, "gaps between shapes narrower than this take ink"),
    Key("art", "clean_below_mm2", "clean_below_mm2", _number, "pieces of ink smaller than this (mm²) are cleaned up"),
    Key("art", "width", "art.width_mm", parse_length_mm, "printed width of the page"),
    Key("art", "height", "art.height_mm", parse_length_mm, "printed height of the page"),
    Key("art", "skip_unprintable", "art.skip_unprintable", _switch, "leave out what flat ink cannot print"),
    Key("art", "flatten_opacity", "art.flatten_opacity", _switch, "turn tints over opaque art into mixed inks"),
    Key("art", "tints_on", "art.tints_on", _colour, "tints over bare cloth too, mixed with this: #ffffff, say"),
    Key("detail", "multiple", "detail_multiple", _number, "warn below so many times two threads and one opening"),
    Key("detail", "line", "detail_line_mm", parse_length_mm, "thinnest line of any plate, instead of by its mesh"),
    Key("detail", "blocker_line", "detail_blocker_line_mm", parse_length_mm, "the same of the blocker's plate alone"),
    Key("detail", "white_line", "detail_white_line_mm", parse_length_mm, "of the white's plate alone"),
    Key("detail", "colour_line", "detail_colour_line_mm", parse_length_mm, "of all colours' plates"),
    Key("detail", "gap", "detail_gap_mm", parse_length_mm, "narrowest gap of any plate, instead of by its mesh"),
    Key("detail", "blocker_gap", "detail_blocker_gap_mm", parse_length_mm, "the same of the blocker's plate alone"),
    Key("detail", "white_gap", "detail_white_gap_mm", parse_length_mm, "of the white's plate alone"),
    Key("detail", "colour_gap", "detail_colour_gap_mm", parse_length_mm, "of all colours' plates"),
    Key("detail", "island_mm2", "detail_island_mm2", _number, "smallest island (mm²), instead of by its mesh"),
    Key("film", "width", "film.width_mm", parse_length_mm, "width of the film, the art in its middle"),
    Key("film", "height", "film.height_mm", parse_length_mm, "height of the film, the art in its middle"),
    Key("film", "margin", "film.margin_mm", parse_length_mm, "least distance from the page to the film's edge"),
    Key(
        "film",
        "mirror",
        "film.mirror",
        _switch,
        "films turned left to right, as for transfers: right reading, emulsion down",
    ),
)
"""All keys of the sections that stand once, section by section."""
GROUPS = {"art": ReadOptions, "film": FilmSetting, "press": PressSetting, "garment": GarmentSetting}
"""Settings that are parts of others, by the first word of a key's field: `film.width_mm` is one of `Settings.film`."""
INK_KEYS = (
    Key(
        "inks",
        "hex",
        "hex",
        _colour,
        "the ink's colour in the art, #rrggbb; off-white that is listed has a screen of its own",
    ),
    Key("inks", "name", "name", _text, "what the shop calls the ink"),
    Key("inks", "mesh", "mesh_per_inch", _count, "threads per inch"),
)
TRAP_KEYS = (
    Key("traps", "ink", "ink", _text, "the ink that spreads, by name"),
    Key("traps", "into", "into", _text, "the ink it runs into, by name"),
    Key("traps", "width", "width_mm", parse_length_mm, "how far; 0 for no trap"),
)
FONT_KEYS = (
    Key("fonts", "family", "family", _text, "the font's name as the art says it"),
    Key("fonts", "file", "file", _text, "the font file, from the job file's folder; its text is outlined"),
)


@dataclass(frozen=True, slots=True)
class FontFile:
    """A font that the job brings; whoever reads the job file loads it into `ReadOptions.fonts`."""

    family: str
    file: str


LISTS = {
    "inks": (INK_KEYS, ("hex",), InkSetting),
    "traps": (TRAP_KEYS, ("ink", "into", "width"), TrapSetting),
    "fonts": (FONT_KEYS, ("family", "file"), FontFile),
}
"""Sections written as `[[name]]`: their keys, those that must be there, and what each entry becomes."""


def read_job(toml_text: str, *, place: str = "job file") -> dict[str, Any]:
    """Read a job file into keyword values for `Settings`; beside them `fonts`, where it names font files.

    Raises SettingsError with every bad key and value at once, each as `message @ section.key`; if there are none,
    `Settings` judges the values, else those that could be read are judged here.
    """
    try:
        job = tomllib.loads(toml_text)
    except (ValueError, RecursionError) as error:  # of numbers and brackets without end the reader tells no line
        raise SettingsError([f"{place} is no TOML: {error}; {_cure(str(error))}"]) from error
    problems: list[str] = []
    sections = {key.section for key in KEYS}
    values: dict[str, Any] = {}
    for section, table in job.items():
        if section in LISTS:
            values[section] = _read_list(section, table, problems)
        elif section not in sections:
            known = ", ".join([*sorted(sections), *(f"[[{name}]]" for name in LISTS)])
            problems.append(f"no such section: use {known} @ {section}")
        elif not isinstance(table, dict):
            problems.append(f"this is a section: write [{section}] and its keys below it @ {section}")
        else:
            values |= _read_table(table, [key for key in KEYS if key.section == section], section, problems)
    if problems:
        raise SettingsError([*problems, *_problems_of(values)])
    return _grouped(values)


def _cure(problem: str) -> str:
    """What mends a text that is no TOML: lines from elsewhere, pasted below, often begin a section a second time."""
    is_double = "twice" in problem or "overwrite" in problem
    return "write each section, and each key in it, once" if is_double else "mend the file"


def _problems_of(values: Mapping[str, Any]) -> Sequence[str]:
    """What the settings find wrong with those values that could be read."""
    try:
        Settings(**_grouped({name: value for name, value in values.items() if name != "fonts"}))
    except SettingsError as error:
        return error.problems
    return ()


def _grouped(values: Mapping[str, Any]) -> dict[str, Any]:
    """Gather the values of each group; a group that the job does not touch keeps its defaults."""
    flat = {name: value for name, value in values.items() if "." not in name}
    for group, kind in GROUPS.items():
        prefix = f"{group}."
        inner = {name.removeprefix(prefix): value for name, value in values.items() if name.startswith(prefix)}
        flat[group] = kind(**inner)
    return flat


def _read_table(table: Mapping[str, object], keys: Sequence[Key], place: str, problems: list[str]) -> dict[str, Any]:
    known = {key.name: key for key in keys}
    values: dict[str, Any] = {}
    for name, value in table.items():
        if name not in known:
            problems.append(f"no such key: use {', '.join(known)} @ {place}.{name}")
            continue
        try:
            values[known[name].field] = _read_value(known[name], value)
        except VectorsepError as error:
            problems.append(f"{error} @ {place}.{name}")
    return values


def _read_value(key: Key, value: object) -> object:
    if not key.listed:
        _refuse_oversized(value)
        return key.read(value)
    if not isinstance(value, list):
        raise _ValueProblem("this is a list: put its entries in brackets")
    for entry in value:
        _refuse_oversized(entry)
    return tuple(key.read(entry) for entry in value)


def _read_list(section: str, tables: object, problems: list[str]) -> tuple[Any, ...]:
    keys, required, entry = LISTS[section]
    if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
        problems.append(f"write one [[{section}]] table for each entry @ {section}")
        return ()
    entries = []
    for i, table in enumerate(tables):
        place = f"{section}[{i}]"
        values = _read_table(table, keys, place, problems)
        missing = [name for name in required if name not in table]
        if missing:
            problems.append(f"add {', '.join(missing)} @ {place}")
        elif all(key.field in values for key in keys if key.name in required):
            entries.append(entry(**values))
    return tuple(entries)
