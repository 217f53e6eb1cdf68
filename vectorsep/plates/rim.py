"""How the blocker looks beside the art: what shows of it, and so whether an open gap is worth what art pays for it."""

from __future__ import annotations

from collections.abc import Sequence

from vectorsep.colour import difference_of
from vectorsep.geometry.borders import borders_of
from vectorsep.model import InkArea
from vectorsep.settings import BlockerKind, Settings

BLOCKER_HEX = {"black": "#1c1c1e", "grey": "#7d7f82"}
"""How a printed blocker looks, for proofs (from memory of cured carbon bases; no colour is promised)."""
HARDLY_VISIBLE = 5.0
"""Rim and cloth closer than this (CIEDE2000) look alike at arm's length (from memory, no source)."""
STANDS_OUT = 20.0
"""What is farther (CIEDE2000) from the cloth is an outline around the print that everybody sees (from memory)."""

MOSTLY_BARE = 0.5
"""Share of an ink's outline against cloth from which on the rim is an outline of that ink."""


def blocker_hex(settings: Settings) -> str:
    """The blocker's colour in print."""
    return BLOCKER_HEX[settings.blocker]


def shows_by(settings: Settings) -> float:
    """How far (CIEDE2000) the blocker's colour is from the garment's."""
    return difference_of(blocker_hex(settings), settings.garment_hex)


def hardly_shows(settings: Settings) -> bool:
    """Whether the blocker and the cloth, of a colour that the job tells, look alike."""
    return settings.knows_garment and shows_by(settings) < HARDLY_VISIBLE


def hiding_better(settings: Settings) -> tuple[BlockerKind, float] | None:
    """The other blocker, and how far its colour is from the garment's, if that shows less and the job can have it."""
    other: BlockerKind = "grey" if settings.blocker == "black" else "black"
    can_have = not settings.merge_black if other == "grey" else settings.white_under_colours
    apart = difference_of(BLOCKER_HEX[other], settings.garment_hex)
    return (other, apart) if can_have and shows_by(settings) - apart >= HARDLY_VISIBLE else None


def fainter_than_rim(inks: Sequence[InkArea], settings: Settings) -> InkArea | None:
    """The ink nearest to the garment's colour of those that do not stand out from it, if the rim around it differs
    more: all that one sees of such art is its outline. None where the job does not tell the garment's colour."""
    rim = shows_by(settings)
    if not settings.knows_garment or rim < HARDLY_VISIBLE:
        return None
    apart = [difference_of(ink.hex, settings.garment_hex) for ink in inks]
    faint = [i for i in range(len(inks)) if apart[i] < min(rim, STANDS_OUT)]
    borders = borders_of([ink.area for ink in inks]) if faint else None
    outlined = [i for i in faint if borders and borders.bare_share(i) >= MOSTLY_BARE]
    return inks[min(outlined, key=apart.__getitem__)] if outlined else None


def fills_gaps(settings: Settings) -> bool:
    """Whether gaps fill that art would recede from: as the job says, else where the blocker hardly shows on the cloth.

    Nobody sees there that a gap stays open, but everybody that the art beside it is cut back. Where the job does not
    tell the garment's colour nothing is taken for granted.
    """
    if settings.fill_gaps is not None:
        return settings.fill_gaps
    return hardly_shows(settings)
