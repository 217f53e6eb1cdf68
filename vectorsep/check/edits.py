"""Films that were edited: how their ink differs from what was made, told by its measures as a whole.

Clearance and register are measured on the edited ink, so ink that was added or taken away is judged where it is, and
its amount is a warning. A film whose ink was moved as a whole is another matter: on the press it is the same as one
whose registration marks were moved, which is unsafe. What it prints on is no longer under it as the plates were made,
and that the clearance happens to hold where it now lies makes nobody's edit of it. Within the press's tolerance it only
eats up what the press may be off, which is a warning.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from vectorsep.check.likeness import SAME_AREA_MM2, SAME_PLACE_MM, Spot, keeps_cells, spots_told, unlike
from vectorsep.geometry.measure import ink_extent
from vectorsep.geometry.region import gather, moved, rectangle
from vectorsep.model import Finding, InkMeasure, Plate, Point, Region
from vectorsep.units import format_mm, format_mm2

FILM_EDITED, FILM_MOVED = "film-edited", "film-moved"


def edit_findings(
    plate: Plate, made: InkMeasure | None, tolerance_mm: float, *, is_righted: bool = False
) -> Iterator[Finding]:
    """At most one finding for an edited film, from what its ink measures now and what it measured when it was made.

    Nothing for a film without ink, which is told of elsewhere. `is_righted`: the ink does not lie so on the film, which
    is told of elsewhere too, and only what else was edited is told here.
    """
    now = ink_extent(plate.area)
    if now is None:
        return
    if made is None:
        message = "this film was edited, and its report does not say what its ink measured before: compare it yourself"
        yield Finding(FILM_EDITED, "warning", plate.ink, message)
        return
    whole = _whole_move(now, made)
    move = _middle_move(now, made) if whole is None else whole
    what = "the middle of its ink lies" if whole is None else "its ink sits"
    spots, least_mm2 = _unlike(plate.area, made, whole or (0.0, 0.0))
    changes = [
        *_move_told(what, move),
        *_amount_told(now.area_mm2 - made.area_mm2, least_mm2),
        *_reshaping_told(now, made, whole or (0.0, 0.0), are_places_known=bool(spots)),
        *spots_told(spots),
        *_lack_told(made),
    ]
    at_mm = spots[0].at_mm if spots else None
    if math.hypot(*move) > tolerance_mm:
        back = "put it as it was" if whole is None else "move it back"
        remedy = f"more than the {format_mm(tolerance_mm)} that the press may be off: {back}, or separate again"
        yield Finding(FILM_MOVED, "unsafe", plate.ink, f"{'; '.join(changes)}; {remedy}", at_mm)
    elif changes:
        yield Finding(FILM_EDITED, "warning", plate.ink, "; ".join(changes), at_mm)
    elif not is_righted:
        yield Finding(FILM_EDITED, "note", plate.ink, "edited, but its ink measures as it was made")


def _unlike(area: Region, made: InkMeasure, move: Point) -> tuple[list[Spot], float]:
    """Where ink came and went, the largest first, a move of all of it undone, and how much in all is worth telling.

    No places where cells are not known.
    """
    if not keeps_cells(made):
        return [], SAME_AREA_MM2
    compared = unlike([moved(area, -move[0], -move[1])], made)
    spots = compared.spots()
    return spots, SAME_AREA_MM2 if spots else max(SAME_AREA_MM2, compared.by_rounding_mm2)


def _whole_move(now: InkMeasure, made: InkMeasure) -> Point | None:
    """How far (mm) all sides of the ink were moved alike; None where they were not."""
    left, top, right, bottom = _side_moves(now, made)
    if max(abs(right - left), abs(bottom - top)) > SAME_PLACE_MM:
        return None
    return ((left + right) / 2, (top + bottom) / 2)


def _middle_move(now: InkMeasure, made: InkMeasure) -> Point:
    """How far (mm) the ink's centroid was moved, if by more than ink that came or went can account for.

    Ink of the area a that comes or goes takes the centroid of what is then there, of the area n, by a / n of its
    distance from where that was.
    """
    dx, dy = _centroid_move(now, made)
    left, top, right, bottom = gather([rectangle(*now.bounds_mm), rectangle(*made.bounds_mm)]).bounds
    by_amount_mm = abs(now.area_mm2 - made.area_mm2) / now.area_mm2 * math.hypot(right - left, bottom - top)
    return (dx, dy) if math.hypot(dx, dy) > by_amount_mm else (0.0, 0.0)


def _side_moves(now: InkMeasure, made: InkMeasure) -> list[float]:
    return [side - before for side, before in zip(now.bounds_mm, made.bounds_mm, strict=True)]


def _centroid_move(now: InkMeasure, made: InkMeasure) -> Point:
    return (now.centroid_mm[0] - made.centroid_mm[0], now.centroid_mm[1] - made.centroid_mm[1])


def _move_told(what: str, move: Point) -> Iterator[str]:
    dx, dy = move
    ways = [
        f"{format_mm(round(abs(by), 2))} {way}"
        for by, way in ((dx, "to the right of" if dx > 0 else "to the left of"), (dy, "below" if dy > 0 else "above"))
        if abs(by) > SAME_PLACE_MM
    ]
    if ways:
        yield f"{what} {' and '.join(ways)} where it was made"


def _amount_told(more_mm2: float, least_mm2: float) -> Iterator[str]:
    if abs(more_mm2) > least_mm2:
        yield f"{format_mm2(abs(more_mm2))} {'more' if more_mm2 > 0 else 'less'} ink than was made"


def _reshaping_told(now: InkMeasure, made: InkMeasure, move: Point, *, are_places_known: bool) -> Iterator[str]:
    """Where the ink's sides did not move as the whole did, or its centroid, which with the same amount of ink tells of
    places that are not known."""
    dx, dy = move
    off_mm = [abs(by - d) for by, d in zip(_side_moves(now, made), (dx, dy, dx, dy), strict=True)]
    if abs(now.area_mm2 - made.area_mm2) <= SAME_AREA_MM2 and not are_places_known:
        off_mm += [abs(by - d) for by, d in zip(_centroid_move(now, made), move, strict=True)]
    if max(off_mm) > SAME_PLACE_MM:
        yield f"parts of it end {format_mm(round(max(off_mm), 2))} or more from where they were made"


def _lack_told(made: InkMeasure) -> Iterator[str]:
    if not keeps_cells(made):
        yield (
            "its report, of an older version, does not keep where its ink lay: whether it was mirrored, turned or "
            "moved inside is not known, so compare it yourself or separate again"
        )
