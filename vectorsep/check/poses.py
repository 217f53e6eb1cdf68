"""Poses: how a drawing lies on its film, of how it was made: mirrored, turned, scaled; and what is told of it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from vectorsep.check.likeness import SAME_PLACE_MM, Spot, spots_told
from vectorsep.geometry.affine import IDENTITY, Affine
from vectorsep.model import Bounds, Finding, Point, Sheet
from vectorsep.units import format_mm

LEAST_SCALE, MOST_SCALE = 0.2, 5.0
"""Nobody enlarges or reduces a finished film by more."""
SIDES: tuple[tuple[bool, int], ...] = (
    (False, 0),
    (True, 0),
    (True, 2),
    (False, 2),
    (False, 1),
    (False, 3),
    (True, 1),
    (True, 3),
)
"""Whether mirrored left to right, and then turned by how many quarters clockwise, the plainest first: where art looks
alike in several of these, that is what it is told to be in."""


@dataclass(frozen=True, slots=True)
class Pose:
    """A drawing mirrored, turned and scaled, in this order."""

    mirrored: bool
    """Left to right."""
    quarters: int
    """Quarter turns clockwise on the page."""
    scale: Point
    """Across and down, after the turn."""
    place: Affine
    """From where things were made to where they lie (mm, the design's coordinates)."""
    is_whole: bool = False
    """Whether marks and lettering lie so too, not the ink alone."""

    @property
    def sides(self) -> tuple[bool, int]:
        """Which side is up, and which way: one of SIDES."""
        return self.mirrored, self.quarters

    @property
    def is_plain(self) -> bool:
        """Whether it was moved at most."""
        return not self.turns and self.scale == (1.0, 1.0)

    @property
    def turns(self) -> bool:
        """Whether it is mirrored or turned."""
        return self.mirrored or self.quarters > 0

    def plainness(self) -> tuple[bool, bool]:
        """Sorts what changes sizes last, and what does so unevenly after that: a bar that is turned is not a bar that
        was made long and thin in another direction."""
        across, down = self.scale
        return across != down, self.scale != (1.0, 1.0)

    def farthest_move_mm(self, bounds_mm: Bounds) -> float:
        """How far a corner of bounds lies from where it was made, at most."""
        left, top, right, bottom = bounds_mm
        corners = np.array([(left, top), (right, top), (left, bottom), (right, bottom)])
        return float(np.hypot(*(self.place.apply(corners) - corners).T).max())


AS_MADE = Pose(False, 0, (1.0, 1.0), IDENTITY)


def poses_between(made: Bounds, now: Bounds) -> Iterator[Pose]:
    """Every pose in which a drawing with the first bounds would have the second ones (mm), the plainest first."""
    (made_x, made_y, *made_size), (now_x, now_y, *now_size) = _middle_and_size(made), _middle_and_size(now)
    for mirrored, quarters in SIDES:
        size = made_size[::-1] if quarters % 2 else made_size
        if min(*size, *now_size) <= 0:
            continue
        scale = _evened(now_size[0] / size[0], now_size[1] / size[1], max(now_size))
        if not all(LEAST_SCALE <= share <= MOST_SCALE for share in scale):
            continue
        cosine, sine = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[quarters]
        turned = Affine(cosine, sine, -sine, cosine) @ Affine.scaling(-1.0 if mirrored else 1.0, 1.0)
        about = Affine.translation(now_x, now_y) @ Affine.scaling(*scale) @ turned
        yield Pose(mirrored, quarters, scale, about @ Affine.translation(-made_x, -made_y))


def _middle_and_size(bounds: Bounds) -> tuple[float, float, float, float]:
    left, top, right, bottom = bounds
    return (left + right) / 2, (top + bottom) / 2, right - left, bottom - top


def _evened(across: float, down: float, size_mm: float) -> Point:
    """Scales without what rounding adds: alike where they are nearly so, and 1 where they are nearly that."""
    nearly = 4 * SAME_PLACE_MM / size_mm
    if abs(across - down) <= nearly:
        across = down = (across + down) / 2
    across, down = (1.0 if abs(share - 1) <= nearly else share for share in (across, down))
    return across, down


@dataclass(frozen=True, slots=True)
class PosedFilm:
    """A film that does not lie as it was made."""

    ink: str
    pose: Pose
    move_mm: float
    """How far its ink lies from where it was made, at most."""
    spots: tuple[Spot, ...] = ()
    """Where its ink came and went by that."""

    def is_within(self, tolerance_mm: float) -> bool:
        """Whether it is off by no more than the press may be: such a film is measured as it lies."""
        return not self.pose.turns and self.move_mm <= tolerance_mm


def pose_findings(posed: Sequence[PosedFilm], films: int, sheet: Sheet, tolerance_mm: float) -> Iterator[Finding]:
    """One finding for all films that lie alike: `unsafe`, but for a scale within what the press may be off.

    `films` is how many there are in all.
    """

    def kind(film: PosedFilm) -> tuple[str, bool]:
        return how_it_lies(film.pose, sheet), film.pose.is_whole

    for (how, is_whole), group in groupby(sorted(posed, key=kind), kind):
        alike = sorted(group, key=posed.index)
        pose, is_set = alike[0].pose, len(alike) == films > 1
        subject = _subject([film.ink for film in alike], is_whole=is_whole, is_set=is_set)
        remedy = _remedy(pose, sheet, several=len(alike) > 1 and is_whole, is_set=is_set and is_whole)
        code = "film-mirrored" if pose.mirrored else "film-turned" if pose.turns else "film-scaled"
        within = all(film.is_within(tolerance_mm) for film in alike)
        measured = "distances are measured as the ink lies" if within else "what else is told holds for films put right"
        ink, spots = (alike[0].ink, alike[0].spots) if len(alike) == 1 else (None, ())
        where = "".join(f" ({told})" for told in spots_told(spots))
        message = f"{subject} {how}{where}: {remedy}; {measured}"
        at_mm = spots[0].at_mm if spots else None
        yield Finding(code, "warning" if within else "unsafe", ink, message, at_mm)


def how_it_lies(pose: Pose, sheet: Sheet) -> str:
    """A pose in words, as seen on the film."""
    quarters = -pose.quarters % 4 if sheet.mirrored else pose.quarters  # the design is seen through its back
    mirrored, turned = _side_words(mirrored=pose.mirrored, quarters=quarters)
    return " and ".join(word for word in (mirrored, turned, _scale_words(pose.scale)) if word)


def _side_words(*, mirrored: bool, quarters: int) -> tuple[str, str]:
    if mirrored and quarters in (0, 2):
        return ("mirrored upside down" if quarters else "mirrored left to right"), ""
    turned = ("", "turned by 90 degrees clockwise", "turned by 180 degrees", "turned by 90 degrees anticlockwise")
    return ("mirrored left to right" if mirrored else ""), turned[quarters]


def _scale_words(scale: Point) -> str:
    across, down = scale
    if scale == (1.0, 1.0):
        return ""
    if across == down:
        return f"scaled to {_percent(across)}"
    return f"stretched to {_percent(across)} across and {_percent(down)} down"


def _percent(share: float) -> str:
    decimals = 1 if abs(share - 1) > 0.001 else 3  # of a small ink no more is known
    return f"{share * 100:.{decimals}f}".rstrip("0").rstrip(".") + " %"


def _subject(inks: Sequence[str], *, is_whole: bool, is_set: bool) -> str:
    named = inks[0] if len(inks) == 1 else f"{', '.join(inks[:-1])} and {inks[-1]}"
    if is_whole:
        return "all films are" if is_set else "this film is" if len(inks) == 1 else f"the films {named} are"
    return "the ink of all films is" if is_set else "its ink is" if len(inks) == 1 else f"the ink of {named} is"


def _remedy(pose: Pose, sheet: Sheet, *, several: bool, is_set: bool) -> str:
    """How to mend it; a whole set that lies alike may be meant to, and can be made so."""
    them = "them" if several else "it"
    across, down = pose.scale
    if not pose.turns:
        if is_set and across == down:
            width = format_mm(round(sheet.design_width_mm * across, 1)).replace(" ", "")
            return f"bring {them} back to 100 %, or separate again with --width {width} if the print is to be so large"
        return f"bring {them} back to 100 %, or separate again"
    back = f"mirror {them} back" if pose.mirrored and pose.quarters % 2 == 0 else f"turn {them} back"
    if pose.mirrored and pose.quarters == 0 and is_set and pose.scale == (1.0, 1.0):
        switch = "--no-mirror" if sheet.mirrored else "--mirror"
        return f"{back}, or separate again with {switch} if films are to lie so"
    return f"{back}, or separate again"


def box_of_middle(centroid: Point, area_mm2: float) -> Bounds:
    """A square of the ink's area about its centroid: it grows with the ink, and a speck far out hardly moves it."""
    half = math.sqrt(area_mm2) / 2
    return (centroid[0] - half, centroid[1] - half, centroid[0] + half, centroid[1] + half)
