"""What making the plates did beyond the drawn art, told as notices."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from vectorsep.colour import JUST_SEEN, difference_of
from vectorsep.geometry.boolean import intersection
from vectorsep.geometry.measure import Strip
from vectorsep.geometry.region import inner_point, polygons
from vectorsep.mesh import LEEWAY, common_mesh
from vectorsep.model import Notice, Point, Region, Severity
from vectorsep.plates.alike import alike_notices
from vectorsep.plates.blocker import SHORTEST_LOSS_MM, BlockerShape
from vectorsep.plates.rim import (
    HARDLY_VISIBLE,
    STANDS_OUT,
    blocker_hex,
    fainter_than_rim,
    fills_gaps,
    hardly_shows,
    hiding_better,
    shows_by,
)
from vectorsep.plates.roles import WHITE_HEX, WHITE_NAME, Roles
from vectorsep.plates.room import room_distance_mm
from vectorsep.plates.trap import darker_beneath, pairs_apart, pairs_on_top
from vectorsep.plates.underbase import WhiteShape
from vectorsep.remember import remembered
from vectorsep.settings import LEAST_REGISTRATION_MM, Settings
from vectorsep.units import counted, format_mm, format_mm2, format_share

WORTH_TELLING_MM2 = 0.05
"""Less art than this lost at an edge, all places together, is below what an eye finds on cloth."""
ALL, MUCH = 0.999, 0.1
"""Shares of an ink: what is left beyond the first is rounding, and the second is told however little it is."""
WORTH_TELLING_RIM_MM2 = 0.5
"""Less blocker past the art than this is a gap or two that closes, which is told as that."""
FAR_MULTIPLE = 5.0
"""Distances of a stack are one to three registration tolerances wide (from memory); five times is told."""
MUCH_BARE = 0.25
"""A choke of usual width takes the white from some 5 to 15 % of the colour on bold art (measured on the demos)."""
SLIP_MM = 0.1
"""No usual mesh holds a gap so narrow on any plate: shapes were most likely meant to meet (common practice, no source).
"""
HARDLY_SHOWS = ", which hardly shows on this cloth"
AMPLE = 1.05
"""A spread so many times what upper ink keeps inside the blocker is enough at rounded corners too."""


def stack_notices(
    roles: Roles,
    blocker: BlockerShape,
    white: WhiteShape,
    receding: Region,
    settings: Settings,
) -> tuple[Notice, ...]:
    """All notices of one stack, in the order in which they are told. `receding` is art that stays unprinted (mm)."""
    plate, has_filled = settings.blocker_name, bool(blocker.closed_gaps() or blocker.filled_gaps())
    return (
        *_merged_black(roles, plate, settings),
        *_overprinted(roles, plate),
        *_prints_as_white(roles, settings),
        *alike_notices(roles, settings),
        *_rim(roles, blocker, has_filled, settings),
        *_slips(blocker, plate),
        *_gaps(blocker, plate, settings),
        *_unused(roles, settings),
        *_far_distances(settings),
        *_finer_than_mesh(settings),
        *_grown_on_top(roles, settings),
        *_lighter_on_top(roles, settings),
        *_never_meeting(roles, settings),
        *_white_cover(roles, white, settings),
        *(_without_white(white, settings) if settings.white_under_colours else ()),
        *_receding(roles, receding, settings),
    )


def _slips(blocker: BlockerShape, plate: str) -> Iterator[Notice]:
    """Gaps between shapes that were most likely meant to meet: told by what they cost, and how to close them."""
    slips = [gap for gap in blocker.closed_gaps() if gap.width_mm < SLIP_MM and gap.length_mm >= SHORTEST_LOSS_MM]
    if not slips:
        return
    long, wide = format_mm(round(sum(gap.length_mm for gap in slips), 1)), format_mm(SLIP_MM)
    message = (
        f"{counted(len(slips), 'gap')} between shapes, {long} long in all, narrower than {wide}: white is "
        "choked on both sides and nothing is trapped across; if the shapes are meant to meet, set art.close_gaps to "
        f"{wide}"
    )
    yield Notice("gap-slips", message, "warning", plate, slips[0].at_mm)


def _gaps(blocker: BlockerShape, plate: str, settings: Settings) -> tuple[Notice, ...]:
    """Gaps that fill with blocker. Where nobody sees them, those that the job can open stand first."""
    hidden = hardly_shows(settings)
    severity: Severity = "note" if hidden else "warning"
    why = f"a gap too narrow to stay open fills with blocker{HARDLY_SHOWS if hidden else ''}"
    closed = _strips("gap-closes", plate, blocker.closed_gaps(), why, severity)
    why = f"a gap fills with blocker{_why_filled(settings)}"
    filled = _strips("gap-closes", plate, blocker.filled_gaps(), why, "note" if settings.fill_gaps else severity)
    return (*filled, *closed) if hidden else (*closed, *filled)


def _why_filled(settings: Settings) -> str:
    if settings.fill_gaps:
        return ", the art beside it keeps its edge, as blocker.fill_gaps asks"
    if fills_gaps(settings):
        opens = "blocker.fill_gaps = false opens it where that has room to recede"
        return f"{HARDLY_SHOWS}, and the art beside it keeps its edge; {opens}"
    return ", the art beside it would lose too much by receding from it"


def _merged_black(roles: Roles, plate: str, settings: Settings) -> Iterator[Notice]:
    if roles.black is not None:
        how = "named in the job" if settings.design_black else "found by its lightness and chroma"
        message = f"the blocker prints the design's black, {roles.black.name} {roles.black.hex} ({how})"
        yield Notice("black-merged", message, plate=plate)


def _overprinted(roles: Roles, plate: str) -> Iterator[Notice]:
    """Specks of the merged black that the inks around them print over."""
    specks = polygons(roles.overprinted)
    if roles.black is None or not specks:
        return
    are, them = ("is", "it") if len(specks) == 1 else ("are", "them")
    message = (
        f"{counted(len(specks), 'speck')} of {roles.black.name}, {format_mm2(roles.overprinted.area)} in all, {are} "
        f"printed over by the ink around {them}: no screen of that holds openings so small, and the white choked all "
        "around would show as dark dots; if your screens hold finer gaps, set detail.colour_gap"
    )
    yield Notice("speck-overprinted", message, "warning", plate, inner_point(specks[0]))


def _prints_as_white(roles: Roles, settings: Settings) -> Iterator[Notice]:
    """Art that the designer sees as cream or ivory, and that the white plate prints."""
    for ink in (*roles.white_art, *roles.highlights):
        apart = difference_of(ink.hex, WHITE_HEX)
        if apart > JUST_SEEN:
            message = (
                f"{ink.name} {ink.hex}, {format_mm2(ink.area.area)}, prints as plain white, {apart:.1f} away "
                "(CIEDE2000): list it in [[inks]] to give it a screen of its own"
            )
            yield Notice("prints-as-white", message, "warning", roles.plate_of(ink), inner_point(ink.area))


def _rim(roles: Roles, blocker: BlockerShape, has_filled: bool, settings: Settings) -> Iterator[Notice]:
    if blocker.rim_mm2 < WORTH_TELLING_RIM_MM2:
        return
    gaps = ", and fills gaps" if has_filled else ""
    faint = fainter_than_rim((*roles.carried, *roles.on_blocker), settings)
    stands_out = settings.knows_garment and shows_by(settings) >= STANDS_OUT
    before = ""
    if faint is not None:
        apart = difference_of(faint.hex, settings.garment_hex)
        before = (
            f"; it is seen before {faint.name}, {apart:.1f} from the cloth: a smaller blocker.spread shows less of it"
        )
    yield Notice(
        "rim",
        f"the blocker stands out up to {format_mm(settings.spread_mm)} past the colours{gaps}, {blocker.rim_mm2:.0f} "
        f"mm² in all; its {blocker_hex(settings)} {_how_it_shows(settings)}{before}",
        "warning" if stands_out or faint else "note",
        settings.blocker_name,
    )


def _how_it_shows(settings: Settings) -> str:
    if not settings.knows_garment:
        where = f"shows on any cloth but a {settings.blocker} one"
        return f"{where}, and the job does not tell the garment's colour (garment.hex)"
    apart, better = shows_by(settings), hiding_better(settings)
    seen = "hardly shows on" if apart < HARDLY_VISIBLE else "shows on"
    advice = f"; a {better[0]} one would show less (difference {better[1]:.1f})" if better else ""
    return f"{seen} the garment's {settings.garment_hex} (CIEDE2000 difference {apart:.1f}){advice}"


def _unused(roles: Roles, settings: Settings) -> Iterator[Notice]:
    """Settings that ask for something and do nothing, with what would make them count."""
    if settings.design_black and not settings.merge_black:
        message = (
            f"blocker.design_black names {settings.design_black!r}, but the blocker prints no black of the design: set "
            "blocker.merge_black too, or remove it"
        )
        yield Notice("setting-unused", message, "warning")
    if settings.merge_black and roles.black is None:
        message = (
            "blocker.merge_black is set, but no ink of the art is black, so the blocker prints none: name one in "
            "blocker.design_black if it may become the blocker's black"
        )
        yield Notice("setting-unused", message, plate=settings.blocker_name)
    if settings.highlight_white and not roles.highlights:
        yield Notice("setting-unused", "white.highlight is set, but no ink of the art is white: remove it", "warning")
    white, blocker = ("white.mesh", settings.white_mesh_per_inch), ("blocker.mesh", settings.blocker_mesh_per_inch)
    shared = [(ink, *white) for ink in roles.white_art] + [(ink, *blocker) for ink in roles.on_blocker]
    for i, asked in enumerate(settings.inks):
        for ink, key, mesh in shared:
            if asked.hex == ink.hex and asked.mesh_per_inch not in (None, mesh):
                message = (
                    f"inks[{i}].mesh asks {asked.mesh_per_inch} threads/inch for {ink.name}, which has no screen of "
                    f"its own and prints through the {mesh} of {key}: set that, or remove it"
                )
                yield Notice("setting-unused", message, "warning")


def _far_distances(settings: Settings) -> Iterator[Notice]:
    """A slip of the decimal point makes plates that are safe and useless."""
    distances = {
        "blocker.spread": settings.spread_mm,
        "white.choke": settings.choke_mm,
        "colour.trap": settings.trap_mm,
        "colour.clearance": settings.clearance_mm,
        **{f"traps[{i}].width": trap.width_mm for i, trap in enumerate(settings.traps)},
    }
    for key, distance_mm in distances.items():
        if distance_mm > FAR_MULTIPLE * max(settings.registration_mm, LEAST_REGISTRATION_MM):
            message = (
                f"{key} is {format_mm(distance_mm)}, more than {FAR_MULTIPLE:g} times the press's registration of "
                f"{format_mm(settings.registration_mm)}: a slip of the decimal point?"
            )
            yield Notice("far-distance", message, "warning")


def _finer_than_mesh(settings: Settings) -> Iterator[Notice]:
    """White lines are kept and gaps of the blocker held open down to a width that the job sets, and by the same the
    check tells what is too fine, unless the shop has measured its own. So it is held against the mesh here."""
    white, blocker = settings.white_mesh_per_inch, settings.blocker_mesh_per_inch
    measured_line_mm, measured_gap_mm = settings.measured_line_mm("white"), settings.measured_gap_mm("blocker")
    kept = (
        ("white.min_line", settings.min_line_mm, measured_line_mm, white, "thinner white washes out"),
        ("blocker.min_gap", settings.min_gap_mm, measured_gap_mm, blocker, "narrower gaps fill with ink"),
    )
    for key, least_mm, measured_mm, mesh, what in kept:
        finest_mm = common_mesh(mesh).finest_detail_mm
        if not measured_mm and least_mm < LEEWAY * finest_mm:
            message = (
                f"{key} is {format_mm(least_mm)}, finer than the {format_mm(round(finest_mm, 2))} that {mesh} "
                f"threads/inch holds: {what}, which the check does not tell, for it goes by the same {key}"
            )
            yield Notice("finer-than-mesh", message, "warning")


def _grown_on_top(roles: Roles, settings: Settings) -> Iterator[Notice]:
    """Pairs of the job that make an ink spread over one that prints before it, where everybody sees it."""
    for i in pairs_on_top(roles, settings):
        trap = settings.traps[i]
        message = (
            f"traps[{i}] grows {trap.ink} by {format_mm(trap.width_mm)} over {trap.into}, which prints before it: "
            f"its drawn shape changes; {trap.into} into {trap.ink} would hide the trap beneath"
        )
        yield Notice("trap-on-top", message, "warning", trap.ink)


def _lighter_on_top(roles: Roles, settings: Settings) -> Iterator[Notice]:
    for colour, beneath in darker_beneath(roles, settings):
        message = (
            f"colour.order prints {colour.name} over the darker {' and '.join(ink.name for ink in beneath)}, and its "
            f"trap of {format_mm(settings.trap_mm)} with it, in sight: [[traps]] of width 0 keep its drawn edge"
        )
        yield Notice("lighter-on-top", message, plate=colour.name)


def _never_meeting(roles: Roles, settings: Settings) -> Iterator[Notice]:
    for i in pairs_apart((*roles.trapping, *roles.on_blocker), settings):
        pair = settings.traps[i]
        message = (
            f"traps[{i}] sets {pair.ink} into {pair.into}, which nowhere meet in this art: remove it "
            "or let them meet (over a gap of cloth nothing is trapped; art.close_gaps closes narrow ones)"
        )
        yield Notice("setting-unused", message)


def _white_cover(roles: Roles, white: WhiteShape, settings: Settings) -> Iterator[Notice]:
    if not settings.white_under_colours or not roles.colours:
        return
    share = white.bare_mm2 / sum(ink.area.area for ink in roles.trapping)  # what it is bare of has highlights among it
    if share >= MUCH_BARE:
        down_to = f", and so does a white.choke down to the registration's {format_mm(settings.registration_mm)}"
        message = (
            f"{format_mm2(white.bare_mm2)} of colour, {format_share(share)} of all, print without white beneath and "
            f"look dull: bolder art keeps more of it{down_to * (settings.choke_mm > settings.registration_mm)}"
        )
        yield Notice("white-short", message, "warning", WHITE_NAME)


def _without_white(white: WhiteShape, settings: Settings) -> Iterator[Notice]:
    what = (
        f"no white under this line or dot, which prints dull: white takes {format_mm(settings.white_line_mm)}, "
        "a white.min_line between two white.min_choke"
    )
    return _strips("no-white", WHITE_NAME, white.bare_lines(), what)


def _strips(
    code: str, plate: str, strips: Sequence[Strip], what: str, severity: Severity = "warning"
) -> Iterator[Notice]:
    for strip in strips:
        if strip.length_mm >= SHORTEST_LOSS_MM:
            long, wide = format_mm(round(strip.length_mm, 2)), format_mm(round(strip.width_mm, 2))
            size = f"{long} long, {wide} wide"
            yield Notice(code, f"{what}: {size}", severity, plate, strip.at_mm)


def _receding(roles: Roles, receding: Region, settings: Settings) -> Iterator[Notice]:
    cuts = _cut_away(tuple(ink.area for ink in roles.carried), receding)
    enough_mm = AMPLE * room_distance_mm(settings)
    filling = "" if fills_gaps(settings) else ", which blocker.fill_gaps closes instead"
    where = (
        f"a spread of {format_mm(math.ceil(20 * enough_mm) / 20)} would save what no open gap takes"
        if settings.spread_mm < enough_mm
        else f"where the blocker prints the black, and beside gaps that stay open{filling}"
        if roles.black
        else f"beside gaps that stay open{filling}"
    )
    ending = (
        f", stay unprinted at the drawn edge, to keep {format_mm(settings.clearance_mm)} clear of the blocker's edge: "
        f"{where}"
    )
    for ink, (area_mm2, at_mm) in zip(roles.carried, cuts, strict=True):
        if area_mm2 >= ALL * ink.area.area:
            message = (
                f"none of {roles.told(ink)} prints, {format_mm2(area_mm2)} in the art: it is too fine to keep "
                f"{format_mm(settings.clearance_mm)} clear of the blocker's edge; {where}"
            )
            yield Notice("ink-lost", message, "warning", roles.plate_of(ink), at_mm)
        elif area_mm2 >= min(WORTH_TELLING_MM2, MUCH * ink.area.area):
            message = f"{format_mm2(area_mm2)}, {_told_share(area_mm2 / ink.area.area)} of {roles.told(ink)}{ending}"
            yield Notice("art-recedes", message, "warning", roles.plate_of(ink), at_mm, ending)


def _told_share(share: float) -> str:
    """A share of an ink in per cent; what is little is never told as nothing."""
    return "under 0.1 %" if share < 0.001 else format_share(share, 1)


@remembered
def _cut_away(areas: tuple[Region, ...], receding: Region) -> list[tuple[float, Point | None]]:
    """Of each area how much recedes, and a place where it does."""
    cuts = [intersection(area, receding) for area in areas]
    return [(cut.area, inner_point(cut)) for cut in cuts]
