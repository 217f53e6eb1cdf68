"""What the shop decides: distances, press, inks. Frozen, checked as a whole, every problem told at once.

The defaults for distances are starting points from common practice, no source: every shop measures its own press.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from vectorsep.errors import SettingsError
from vectorsep.model import Role
from vectorsep.press_settings import MAX_PLATEN_MM, FilmSetting, GarmentSetting, PressSetting, press_problems
from vectorsep.units import format_mm

BlockerKind: TypeAlias = Literal["black", "grey"]

MAX_DISTANCE_MM = 10.0
"""No spread, choke or tolerance of a press is wider; a larger value is a slip of the unit."""
WIDEST_CHOKE_MM = 1.0
"""No choke of the trade is wider (0.18 to 0.7 mm, from memory): what a wider one leaves bare has no white."""
LEAST_REGISTRATION_MM = 0.05
"""No press registers finer (from memory): plates held to less were held to nothing."""
MAX_PRINT_MM = MAX_PLATEN_MM
"""A page larger than any platen is a slip of the unit."""
MAX_TURN_DEG = 5.0
"""A plate turned by more than this is not on its pins."""
MAX_MULTIPLE = 10.0
"""Ten times the finest detail of a mesh is a bold line on any; a larger multiple is a slip."""
MAX_MERGE = 20.0
"""Colours further apart than this (CIEDE2000) are different to anybody; merging them is a slip."""
MAX_SPECK_MM2 = 4.0
"""A piece of two by two millimetres is a detail that somebody drew, not a speck."""
MAX_CLOSED_GAP_MM = 0.5
"""Any blocker's mesh holds a wider gap open, and everybody sees it on cloth: it was drawn."""
COARSE_BLOCKER_MESH, FINE_BLOCKER_MESH = 86, 110
"""Threads/inch that blockers print through (common practice, no source): the protection grows with the deposit."""
COARSEST_MESH, FINEST_MESH = 20, 600
"""Threads/inch of what is stretched as a screen at all, from glitter to halftones (from memory). Coarser ones hold no
line that art has, and plates for them would print nothing."""
UNKNOWN_GARMENT_HEX = "#202024"
"""A near-black that stands for the garment's colour where the job does not tell it."""
UNKNOWN_GARMENT_NAME = "a garment not named"
"""What sheets say of the garment where the job does not name it."""
HEX_COLOUR = re.compile(r"#[0-9a-f]{6}")


@dataclass(frozen=True, slots=True)
class ReadOptions:
    """How artwork is read. With only one of width and height, the other follows in proportion."""

    width_mm: float | None = None
    height_mm: float | None = None
    skip_unprintable: bool = False
    flatten_opacity: bool = False
    tints_on: str | None = None
    """The colour that tints are mixed with where nothing but cloth lies below them; it has all tints mixed."""
    fonts: Mapping[str, bytes] = field(default_factory=dict)
    """Font file contents by family name, for outlining text."""
    as_film: bool = False
    """Read strictly, as a film: what flat ink cannot print is refused even where it is not seen."""

    @property
    def mixes_tints(self) -> bool:
        """Whether tints become flat mixed colours."""
        return self.flatten_opacity or self.tints_on is not None


@dataclass(frozen=True, slots=True)
class InkSetting:
    """What the job says of one ink, found in the art by its colour."""

    hex: str
    name: str | None = None
    mesh_per_inch: int | None = None


@dataclass(frozen=True, slots=True)
class TrapSetting:
    """One line of the job's pair table: this ink runs so far into that one; the other way round never."""

    ink: str
    into: str
    width_mm: float


@dataclass(frozen=True, slots=True)
class Settings:
    """All that steers a job.

    `clearance_mm`, `trap_mm` and `min_choke_mm` left out become `registration_mm` (the trap no wider than the
    worst misregister, and no narrower). After that they are numbers: a copy made with `dataclasses.replace`
    must name each that shall follow. Raises SettingsError listing every problem.
    """

    registration_mm: float = 0.25
    turn_deg: float = 0.0
    """By how much a plate may lie turned. At 0 it is as much as moves the farthest corner by `registration_mm`."""
    spread_mm: float = 0.4
    choke_mm: float = 0.3
    clearance_mm: float = math.nan
    trap_mm: float = math.nan
    min_choke_mm: float = math.nan
    min_line_mm: float = 0.3
    """The thinnest white that prints: about two threads and one opening of 110 threads/inch, 0.31 mm."""
    min_gap_mm: float = 0.4
    """The narrowest gap the blocker's screen holds open: two threads and one opening of 86 threads/inch, 0.39 mm."""
    fill_gaps: bool | None = None
    """Whether gaps fill that art would recede from. Left out, where the garment's colour is told and the blocker hardly
    shows on it."""
    blocker: BlockerKind = "black"
    merge_black: bool = False
    design_black: str | None = None
    """The design's black, by ink name or hex; left out, it is found by lightness and chroma."""
    carbon: bool = True
    """Whether the blocker ink holds activated carbon. Ordinary ink adsorbs no dye."""
    blocker_mesh_per_inch: int = 86
    white_mesh_per_inch: int = 110
    colour_mesh_per_inch: int = 160
    detail_multiple: float = 1.0
    """Lines, gaps and islands are warned of below this many times two threads and one opening of the plate's mesh."""
    detail_line_mm: float = 0.0
    """The thinnest line any plate holds, if the shop has measured it; 0 goes by each plate's mesh."""
    detail_blocker_line_mm: float = 0.0
    detail_white_line_mm: float = 0.0
    detail_colour_line_mm: float = 0.0
    """The same of one kind of plate, which goes before that of any; see `measured_line_mm`."""
    detail_gap_mm: float = 0.0
    """The narrowest gap any plate holds open; 0 goes by each plate's mesh."""
    detail_blocker_gap_mm: float = 0.0
    detail_white_gap_mm: float = 0.0
    detail_colour_gap_mm: float = 0.0
    """The same of one kind of plate; see `measured_gap_mm`."""
    detail_island_mm2: float = 0.0
    """The smallest island any plate holds; 0 goes by each plate's mesh."""
    garment_name: str = UNKNOWN_GARMENT_NAME
    garment_hex: str = UNKNOWN_GARMENT_HEX
    inks: tuple[InkSetting, ...] = ()
    print_order: tuple[str, ...] = ()
    """Colours, by ink name or hex, that print after all others, in this order; the others go light to dark."""
    traps: tuple[TrapSetting, ...] = ()
    """Pairs that shall not follow lightness, or not the common width."""
    close_gaps_mm: float = 0.0
    """Gaps between shapes narrower than this take ink; 0 closes hairlines alone."""
    clean_below_mm2: float = 0.0
    """Pieces of ink smaller than this go to their neighbour, or go; 0 keeps all."""
    merge_inks: float = 0.0
    """Colours no further apart than this (CIEDE2000) become one ink; 0 keeps all apart."""
    knock_out_garment: bool = False
    """Art in the garment's own colour gets neither ink nor blocker."""
    white_under_colours: bool = True
    """Without it the colours print on the blocker itself, at the price of a colour shift; only on grey."""
    highlight_white: bool = False
    """White art gets a last screen of its own, over everything, and is carried like a colour."""
    art: ReadOptions = field(default_factory=ReadOptions)
    film: FilmSetting = field(default_factory=FilmSetting)
    press: PressSetting = field(default_factory=PressSetting)
    garment: GarmentSetting = field(default_factory=GarmentSetting)

    def __post_init__(self) -> None:
        """Check everything, then resolve the distances that follow the registration tolerance.

        In this order a bad tolerance is told once, and not of those that would follow it.
        """
        problems = list(_problems(self))
        if problems:
            raise SettingsError(problems)
        for name in ("clearance_mm", "trap_mm", "min_choke_mm"):
            if math.isnan(getattr(self, name)):
                object.__setattr__(self, name, self.registration_mm)

    @property
    def blocker_name(self) -> str:
        """What the blocker's plate is called, on films, in findings and on the press sheet."""
        return f"blocker {self.blocker}"

    @property
    def trap_on_blocker_mm(self) -> float:
        """How far inks run over the black that the blocker prints. Where a colour slips away from that the blocker
        shows, which is as black, and so it is white alone that must stay hidden; its choke does that, or most of it.
        More would eat a black line up from both sides."""
        return max(0.0, self.trap_mm - min(self.choke_mm, self.min_choke_mm))

    @property
    def white_line_mm(self) -> float:
        """How wide a line of colour must be to have white below it: the thinnest white between two least chokes."""
        return self.min_line_mm + 2 * self.min_choke_mm

    def measured_line_mm(self, role: Role) -> float:
        """The thinnest line that plates of a role hold, as the shop has measured it; 0 if it has not."""
        own_mm: float = getattr(self, f"detail_{role}_line_mm")
        return own_mm or self.detail_line_mm

    def measured_gap_mm(self, role: Role) -> float:
        """The narrowest gap that plates of a role hold open, as the shop has measured it; 0 if it has not."""
        own_mm: float = getattr(self, f"detail_{role}_gap_mm")
        return own_mm or self.detail_gap_mm

    @property
    def knows_garment(self) -> bool:
        """Whether the job tells the garment's colour."""
        return self.garment_hex != UNKNOWN_GARMENT_HEX


def _problems(settings: Settings) -> Iterator[str]:
    yield from _distance_problems(settings)
    yield from _blocker_problems(settings)
    yield from _mesh_problems(settings)
    if not HEX_COLOUR.fullmatch(settings.garment_hex):
        yield f"{settings.garment_hex!r} is no colour: write it as #rrggbb @ garment.hex"
    if settings.art.tints_on is not None and not HEX_COLOUR.fullmatch(settings.art.tints_on):
        yield f"{settings.art.tints_on!r} is no colour: write it as #rrggbb @ art.tints_on"
    if not settings.garment_name.isprintable():
        yield f"{settings.garment_name!r} has a character that no sheet can show: write plain text @ garment.name"
    if not 0 <= settings.turn_deg <= MAX_TURN_DEG:
        yield f"{settings.turn_deg:g} is out of range: give 0 to {MAX_TURN_DEG:g} degrees @ press.turn"
    if not 0 < settings.detail_multiple <= MAX_MULTIPLE:
        yield f"{settings.detail_multiple:g} is out of range: give up to {MAX_MULTIPLE:g} @ detail.multiple"
    if not 0 <= settings.detail_island_mm2 <= MAX_SPECK_MM2:
        yield f"{settings.detail_island_mm2:g} is out of range: give 0 to {MAX_SPECK_MM2:g} mm² @ detail.island_mm2"
    if not 0 <= settings.merge_inks <= MAX_MERGE:
        yield (
            f"{settings.merge_inks:g} is out of range: "
            f"give a CIEDE2000 difference from 0 to {MAX_MERGE:g} @ colour.merge_inks"
        )
    if not 0 <= settings.close_gaps_mm <= MAX_CLOSED_GAP_MM:
        yield f"{settings.close_gaps_mm:g} mm is out of range: give 0 to {MAX_CLOSED_GAP_MM:g} mm @ art.close_gaps"
    if not 0 <= settings.clean_below_mm2 <= MAX_SPECK_MM2:
        yield f"{settings.clean_below_mm2:g} is out of range: give 0 to {MAX_SPECK_MM2:g} mm² @ art.clean_below_mm2"
    yield from _trap_problems(settings.traps)
    yield from _ink_problems(settings.inks)
    yield from press_problems(settings.film, settings.press, settings.garment)


def _distance_problems(settings: Settings) -> Iterator[str]:
    distances = {
        "press.registration": settings.registration_mm,
        "blocker.spread": settings.spread_mm,
        "white.choke": settings.choke_mm,
        "white.min_line": settings.min_line_mm,
        "blocker.min_gap": settings.min_gap_mm,
        "detail.line": settings.detail_line_mm,
        "detail.blocker_line": settings.detail_blocker_line_mm,
        "detail.white_line": settings.detail_white_line_mm,
        "detail.colour_line": settings.detail_colour_line_mm,
        "detail.gap": settings.detail_gap_mm,
        "detail.blocker_gap": settings.detail_blocker_gap_mm,
        "detail.white_gap": settings.detail_white_gap_mm,
        "detail.colour_gap": settings.detail_colour_gap_mm,
    }
    following = {
        "white.min_choke": settings.min_choke_mm,
        "colour.clearance": settings.clearance_mm,
        "colour.trap": settings.trap_mm,
    }
    distances |= {key: distance_mm for key, distance_mm in following.items() if not math.isnan(distance_mm)}
    for key, distance_mm in distances.items():
        if not 0 <= distance_mm <= MAX_DISTANCE_MM:
            yield f"{format_mm(distance_mm)} is out of range: give 0 to {format_mm(MAX_DISTANCE_MM)} @ {key}"
    sizes = {"art.width": settings.art.width_mm, "art.height": settings.art.height_mm}
    for key, size_mm in sizes.items():
        if size_mm is not None and not 0 < size_mm <= MAX_PRINT_MM:
            yield f"{format_mm(size_mm)} is no print size: give up to {format_mm(MAX_PRINT_MM)} @ {key}"


def _blocker_problems(settings: Settings) -> Iterator[str]:
    if settings.blocker not in ("black", "grey"):
        yield f"{settings.blocker!r} is no blocker: dye-blocking bases are black or grey @ blocker.colour"
    if not settings.carbon:
        yield (
            "ordinary ink adsorbs no dye, black or not, and cannot serve as the blocker: "
            "print a base with activated carbon @ blocker.carbon"
        )
    if settings.merge_black and settings.blocker != "black":
        yield (
            f"a {settings.blocker} blocker cannot print the design's black: "
            "use a black one, or --no-merge-black to leave the black a screen of its own @ blocker.merge_black"
        )
    if not settings.white_under_colours and settings.blocker != "grey":
        yield "colours without white vanish on a black blocker: use a grey one @ white.under_colours"


def _mesh_problems(settings: Settings) -> Iterator[str]:
    meshes = {
        "blocker.mesh": settings.blocker_mesh_per_inch,
        "white.mesh": settings.white_mesh_per_inch,
        "colour.mesh": settings.colour_mesh_per_inch,
    } | {f"inks[{i}].mesh": ink.mesh_per_inch for i, ink in enumerate(settings.inks) if ink.mesh_per_inch is not None}
    for key, mesh_per_inch in meshes.items():
        if not COARSEST_MESH <= mesh_per_inch <= FINEST_MESH:
            yield f"{mesh_per_inch} threads/inch is no screen mesh: give {COARSEST_MESH} to {FINEST_MESH} @ {key}"
    if FINE_BLOCKER_MESH < settings.blocker_mesh_per_inch <= FINEST_MESH:
        yield (
            f"{settings.blocker_mesh_per_inch} threads/inch lays too little blocker, and carbon clogs it: "
            f"take {COARSE_BLOCKER_MESH} to {FINE_BLOCKER_MESH} @ blocker.mesh"
        )


def _trap_problems(traps: tuple[TrapSetting, ...]) -> Iterator[str]:
    paired: dict[frozenset[str], int] = {}
    for i, pair in enumerate(traps):
        if not 0 <= pair.width_mm <= MAX_DISTANCE_MM:
            width = format_mm(pair.width_mm)
            yield f"{width} is out of range: give 0 to {format_mm(MAX_DISTANCE_MM)} @ traps[{i}].width"
        first = paired.setdefault(frozenset((pair.ink, pair.into)), i)
        if first != i:
            yield f"{pair.ink!r} and {pair.into!r} are paired in traps[{first}] already: one entry a pair @ traps[{i}]"


def _ink_problems(inks: tuple[InkSetting, ...]) -> Iterator[str]:
    seen_hex: set[str] = set()
    seen_names: set[str] = set()
    for i, ink in enumerate(inks):
        if not HEX_COLOUR.fullmatch(ink.hex):
            yield f"{ink.hex!r} is no colour: write it as #rrggbb @ inks[{i}].hex"
        if ink.hex in seen_hex:
            yield f"{ink.hex} is listed twice: one entry an ink @ inks[{i}].hex"
        if ink.name is not None and not ink.name.isprintable():
            yield f"{ink.name!r} has a character that no film can show: write plain text @ inks[{i}].name"
        if ink.name is not None and (not ink.name.strip() or ink.name in seen_names):
            yield f"{ink.name!r} is empty or taken: every ink needs a name of its own @ inks[{i}].name"
        seen_hex.add(ink.hex)
        seen_names.add(ink.name or "")
