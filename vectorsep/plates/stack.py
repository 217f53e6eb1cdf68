"""Ink areas to plates: the blocker first, white on it, colours on the white, light to dark."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from vectorsep.geometry.boolean import difference, intersection, joined_coverage
from vectorsep.geometry.measure import Strip
from vectorsep.geometry.offset import inset_at_least
from vectorsep.geometry.region import EMPTY, inner_point, on_grid
from vectorsep.model import Design, InkArea, Notice, Plate, Region, Stack
from vectorsep.plates.blocker import shape_blocker
from vectorsep.plates.roles import find_black, is_white
from vectorsep.plates.trap import light_to_dark, trapped_areas
from vectorsep.plates.underbase import shape_white
from vectorsep.settings import Settings
from vectorsep.units import format_mm

BLOCKER_HEX = {"black": "#1c1c1e", "grey": "#7d7f82"}
"""How a printed blocker looks, for proofs (from memory of cured carbon bases; no colour is promised)."""
WHITE_NAME = "white"
WORTH_TELLING_MM2 = 0.05
"""Less art than this lost at an edge, all places together, is below what an eye finds on cloth."""


def make_stack(design: Design, settings: Settings) -> Stack:
    """Turn ink areas into plates in print order, every upper plate cut to where it cannot reach cloth.

    Raises SettingsError when the job names a black that the art does not have.
    """
    black = find_black(design, settings) if settings.merge_black else None
    white_inks = [ink for ink in design.inks if is_white(ink) and ink is not black]
    colours = light_to_dark([ink for ink in design.inks if ink is not black and ink not in white_inks])
    silhouette = joined_coverage([ink.area for ink in design.inks])
    exposed_black = black.area if black else EMPTY
    carried = joined_coverage([ink.area for ink in design.inks if ink is not black])

    blocker = shape_blocker(silhouette, exposed_black, settings)
    keep_in = inset_at_least(blocker.area, settings.clearance_mm)
    white = shape_white(carried, joined_coverage([ink.area for ink in white_inks]), keep_in, settings)
    trapped = trapped_areas(colours, exposed_black, settings.trap_mm)

    plates = [
        Plate("blocker", f"blocker {settings.blocker}", BLOCKER_HEX[settings.blocker], on_grid(blocker.area)),
        Plate("white", WHITE_NAME, "#ffffff", on_grid(white.area)),
        *(
            Plate("colour", ink.name, ink.hex, on_grid(intersection(area, keep_in)))
            for ink, area in zip(colours, trapped, strict=True)
        ),
    ]
    notices = (
        *_merge_notices(black, settings),
        *_recede_notices([ink for ink in design.inks if ink is not black], keep_in, settings),
        *_strip_notices(
            "gap-closes", "blocker", blocker.closed_gaps, "a gap too narrow to stay open fills with blocker"
        ),
        *_strip_notices("no-white", WHITE_NAME, white.bare_lines, "a line too thin for white prints without it"),
    )
    return Stack(
        tuple(plate for plate in plates if not plate.area.is_empty),
        difference(blocker.area, silhouette),
        exposed_black,
        notices,
    )


def make_plates(design: Design, settings: Settings) -> tuple[Plate, ...]:
    """The plates of `make_stack`, in print order: blocker, white, colours light to dark. Empty plates are left out."""
    return make_stack(design, settings).plates


def _merge_notices(black: InkArea | None, settings: Settings) -> Iterator[Notice]:
    if black is not None:
        how = "named in the job" if settings.design_black else "found by its lightness and chroma"
        yield Notice(
            "black-merged",
            f"the blocker prints the design's black, {black.name} {black.hex} ({how}): one screen saved",
            plate=f"blocker {settings.blocker}",
        )


def _recede_notices(inks: Iterable[InkArea], keep_in: Region, settings: Settings) -> Iterator[Notice]:
    for ink in inks:
        cut = difference(ink.area, keep_in)
        if cut.area >= WORTH_TELLING_MM2:
            yield Notice(
                "art-recedes",
                f"{cut.area:.2f} mm² at the drawn edge of {ink.name} stay unprinted, to keep "
                f"{format_mm(settings.clearance_mm)} clear of the blocker's edge; a wider spread would save them",
                "warning",
                ink.name,
                inner_point(cut),
            )


def _strip_notices(code: str, plate: str, strips: tuple[Strip, ...], what: str) -> Iterator[Notice]:
    for strip in strips:
        size = f"{format_mm(round(strip.length_mm, 2))} long, {format_mm(round(strip.width_mm, 2))} wide"
        yield Notice(code, f"{what}: {size}", "warning", plate, strip.at_mm)
