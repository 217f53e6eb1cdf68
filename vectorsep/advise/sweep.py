"""The sweep: blocker and white of a design for several spreads and chokes, measured, and the pair to take."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from vectorsep.check import tolerance_findings
from vectorsep.check.clearance import clearance_findings, measure_clearance
from vectorsep.check.held import held_findings
from vectorsep.check.mishaps import register_findings
from vectorsep.check.register import cloth_cases
from vectorsep.geometry.boolean import difference, intersection, union
from vectorsep.geometry.region import GRID_MM
from vectorsep.model import Clearance, Design, Plate, Point, Region
from vectorsep.paper.remarks import told_with_place
from vectorsep.plates import UpperRoom, shape_blocker, shape_white, sound_roles, trapped_areas, upper_room
from vectorsep.plates.roles import WHITE_HEX, WHITE_NAME, Roles
from vectorsep.press import stack_findings
from vectorsep.remember import remembered
from vectorsep.settings import MAX_DISTANCE_MM, Settings
from vectorsep.threads import one_thread_aside
from vectorsep.units import counted, format_mm

SPREADS_BEYOND_MM = (0.0, 0.05, 0.1, 0.15, 0.25, 0.4)
"""Spreads tried, beyond the clearance asked for: less would always make the art recede."""
CHOKES_BEYOND_MM = (-0.1, 0.0, 0.05, 0.1, 0.2)
"""Chokes tried, beyond the registration tolerance: one that shows white when out of register, then wider ones."""
SPARE_SPREAD_MM, SPARE_CHOKE_MM = 0.1, 0.05
"""Allowance past the press's tolerance for how far ink spreads and a film edge wanders (from memory, no source)."""
TRY_MM = GRID_MM
"""Distances tried are rounded to this; closer ones are one try."""
ROUNDING_MM = 1e-6
"""Sums of distances that miss a wish by less reach it."""


@dataclass(frozen=True, slots=True)
class PairCost:
    """What one pair of spread and choke costs. Lengths in mm, areas in mm2."""

    spread_mm: float
    choke_mm: float
    rim_mm2: float
    """Blocker that shows past the art."""
    receding_mm2: float
    """Art that stays unprinted at its edges, to keep the clearance."""
    closed_gaps_mm: float
    """Length of the gaps that fill with blocker."""
    no_white_mm2: float
    """Colour that has no white beneath."""
    bare_lines_mm: float
    """Length of the lines that get no white at all."""
    clearance_mm: float | None
    """The smallest distance from an upper plate's edge to the blocker's edge; None where no ink prints above it."""
    faults: tuple[str, ...]
    """Why these plates are unsafe as a stack, whatever their clearance: what `separate` finds of them."""
    safe: bool
    white_hides: bool | None
    """Whether the white is sure to stay hidden at the press's registration tolerance; None where no colour lies on any
    white."""
    spares: bool
    """Whether spread and choke go past what the press needs by the usual allowance."""

    @property
    def detail_lost_mm(self) -> float:
        """Length of lines and gaps that do not print as drawn."""
        return self.closed_gaps_mm + self.bare_lines_mm


@dataclass(frozen=True, slots=True)
class Advice:
    """Every pair tried, the one that the job has, and the one to take with the reason."""

    pairs: tuple[PairCost, ...]
    own: PairCost
    chosen: PairCost
    reason: str


@dataclass(frozen=True, slots=True)
class _Blocked:
    """What depends on the spread alone."""

    settings: Settings
    blocker: Plate
    room: UpperRoom
    rim_mm2: float
    receding_mm2: float
    closed_gaps_mm: float
    upper: Region
    """All art that prints above the blocker."""
    colours: Plate
    """As much of it as prints, as one plate."""


def advise(design: Design, settings: Settings, on_pair: Callable[[], object] = lambda: None) -> Advice:
    """Sweep spread and choke over a design (areas in mm) for the press of the settings, and choose.

    The settings' own spread and choke are tried with the others. `on_pair` is told of each pair done. The least choke
    follows the choke where that is smaller. Raises SettingsError where the job speaks of inks that the art lacks.
    """
    roles = sound_roles(design, settings)
    centre_mm = (design.width_mm / 2, design.height_mm / 2)
    pairs = []
    with one_thread_aside():
        for blocked in _blockers(design, roles, settings):
            for choke_mm in _chokes(settings):
                pairs.append(_cost(roles, blocked, choke_mm, centre_mm))
                on_pair()
    chosen = min(pairs, key=_preference)
    own = next(
        pair for pair in pairs if _same(pair.spread_mm, settings.spread_mm) and _same(pair.choke_mm, settings.choke_mm)
    )
    return Advice(tuple(pairs), own, chosen, _reason(chosen, pairs, settings))


def pair_count(settings: Settings) -> int:
    """How many pairs a sweep tries for a press."""
    return len(_spreads(settings)) * len(_chokes(settings))


def _spreads(settings: Settings) -> list[float]:
    return _values(settings.clearance_mm, SPREADS_BEYOND_MM, settings.spread_mm)


def _chokes(settings: Settings) -> list[float]:
    return _values(settings.registration_mm, CHOKES_BEYOND_MM, settings.choke_mm)


def _values(base_mm: float, beyond_mm: Sequence[float], own_mm: float) -> list[float]:
    """The distances to try and the job's own, each once, none below zero or past what the settings allow.

    The base stands as it is: rounded down, it would be less than the press needs.
    """
    tried: list[float] = []
    for distance_mm in (base_mm, own_mm, *(round(base_mm + beyond, 4) for beyond in beyond_mm)):
        within_mm = min(MAX_DISTANCE_MM, max(0.0, distance_mm))
        if not any(_same(within_mm, other) for other in tried):
            tried.append(within_mm)
    return sorted(tried)


def _same(one_mm: float, other_mm: float) -> bool:
    """Whether two distances differ by no more than a try is rounded."""
    return abs(one_mm - other_mm) < TRY_MM


def _blockers(design: Design, roles: Roles, settings: Settings) -> Iterator[_Blocked]:
    silhouette = union(ink.area for ink in design.inks)
    upper = difference(silhouette, roles.exposed_black)
    for spread_mm in _spreads(settings):
        tried = replace(settings, spread_mm=spread_mm)
        shape = shape_blocker(silhouette, roles, tried)
        room = upper_room(silhouette, shape.area, tried)
        yield _Blocked(
            tried,
            Plate("blocker", "blocker", "#000000", shape.area),
            room,
            rim_mm2=shape.rim_mm2,
            receding_mm2=intersection(upper, room.receding).area,
            closed_gaps_mm=sum(gap.length_mm for gap in shape.closed_gaps()),
            upper=upper,
            colours=Plate("colour", "the colours", "#000000", room.cut(upper)),
        )


def _hides(white: Region, roles: Roles, settings: Settings) -> bool | None:
    """Whether white below colours is choked enough everywhere, on thin lines too; None without such white."""
    lies_below = roles.trapping and not white.is_empty
    return settings.min_choke_mm >= settings.registration_mm if lies_below else None


@remembered
def _trapped(blocked: _Blocked, traps: tuple[Region, ...]) -> Clearance:
    """All colours as one plate, what they run over the blocker's black by among them, and how far that stays from the
    blocker's edge. Few chokes differ in it: only those by which a trap over black is still needed."""
    area = blocked.room.cut(union([blocked.upper, *traps]))
    return measure_clearance(replace(blocked.colours, area=area), blocked.blocker)


def _cost(roles: Roles, blocked: _Blocked, choke_mm: float, centre_mm: Point) -> PairCost:
    settings = replace(blocked.settings, choke_mm=choke_mm, min_choke_mm=min(choke_mm, blocked.settings.min_choke_mm))
    shape = shape_white(roles, blocked.room, settings)
    white = measure_clearance(Plate("white", WHITE_NAME, WHITE_HEX, shape.area), blocked.blocker)
    upper = white, _trapped(blocked, trapped_areas(roles, settings))
    clearance_mm = min((one.distance_mm for one in upper if one.distance_mm is not None), default=None)
    stack = [blocked.blocker, white.plate, *([blocked.colours] if roles.trapping else [])]
    faults = _faults(stack, upper, settings, centre_mm)
    return PairCost(
        spread_mm=settings.spread_mm,
        choke_mm=choke_mm,
        rim_mm2=blocked.rim_mm2,
        receding_mm2=blocked.receding_mm2,
        closed_gaps_mm=blocked.closed_gaps_mm,
        no_white_mm2=max(0.0, blocked.colours.area.area - shape.area.area),  # all white lies under colours
        bare_lines_mm=sum(line.length_mm for line in shape.bare_lines()),
        clearance_mm=clearance_mm,
        faults=faults,
        safe=not faults and (clearance_mm is None or clearance_mm >= settings.registration_mm),
        white_hides=_hides(shape.area, roles, settings),
        spares=settings.spread_mm >= settings.clearance_mm + SPARE_SPREAD_MM - ROUNDING_MM
        and choke_mm >= settings.registration_mm + SPARE_CHOKE_MM - ROUNDING_MM,
    )


def _faults(
    plates: Sequence[Plate], upper: Sequence[Clearance], settings: Settings, centre_mm: Point
) -> tuple[str, ...]:
    """What makes these plates unsafe beside their clearance: too weak for the garment, held to no tolerance, ink that
    a turn takes past the blocker or that lies where the blocker washes out.

    Plates are told with the blocker first; `upper` are those above it, with all that runs over its black. Where one is
    too near the blocker's edge it is unsafe anyhow, and what moves do to it is not told.
    """
    blocker = plates[0]
    clear = [one for one in upper if not any(clearance_findings(one, settings.registration_mm))]
    findings = (
        *stack_findings(plates, settings),
        *tolerance_findings(settings),
        *register_findings(cloth_cases(clear, blocker, settings, centre_mm), [], settings),
        *held_findings(upper, blocker, settings),
    )
    return tuple(told_with_place(replace(one, at_mm=None)) for one in findings if one.severity == "unsafe")


def _preference(pair: PairCost) -> tuple[float, ...]:
    """Smaller is better: safe, white hidden, then art as drawn, then room to spare, then detail, the rim, white.

    Areas and lengths are rounded to what an eye can tell, so that the next wish decides between near-equals.
    """
    return (
        not pair.safe,
        pair.white_hides is False,
        round(pair.receding_mm2),
        not pair.spares,
        round(pair.detail_lost_mm),
        round(pair.rim_mm2),
        pair.no_white_mm2,
    )


def _reason(chosen: PairCost, pairs: Sequence[PairCost], settings: Settings) -> str:
    tolerance = format_mm(settings.registration_mm)
    if chosen.faults:
        return f"no pair tried is safe: {chosen.faults[0]}"
    if not chosen.safe:
        return (
            f"no pair tried keeps {tolerance} clear of the blocker's edge; set colour.clearance to it, or leave it out"
        )
    safe = sum(pair.safe for pair in pairs)
    are = "is" if safe == 1 else "are"
    white = {
        True: f"hides its white at {tolerance}",
        False: f"may let white show at {tolerance} (its min_choke is small)",
        None: "has no white to hide,",
    }[chosen.white_hides]
    spare = "with room to spare" if chosen.spares else "with nothing to spare"
    return (
        f"{safe} of {counted(len(pairs), 'pair')} {are} safe; of these it {white} {spare}, leaves "
        f"{chosen.receding_mm2:z.0f} mm² of the art unprinted, loses {chosen.detail_lost_mm:.0f} mm of lines and gaps "
        f"and shows a rim of {chosen.rim_mm2:z.0f} mm²; no other safe pair does better in this order"
    )
