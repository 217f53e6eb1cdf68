"""What each film says of itself, and the marks it carries: the same for every form a film is written in."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence

from vectorsep.films.lettering import as_drawn, plain_form
from vectorsep.films.marks import Mark, draw_marks
from vectorsep.films.places import Labels
from vectorsep.mesh import threads_per_inch, told_per_cm
from vectorsep.model import Notice, Plate, Sheet
from vectorsep.settings import Settings

EMULSION = {False: "emulsion up", True: "emulsion down"}
"""The side of the emulsion, or of the print, where the film reads right: up, towards the reader, is the usual positive.
The trade's two words always speak of a film as it lies before somebody who can read it ("What is emulsion?", Computer
Notes; a bookbinder's glossary has screen positives right reading). "Mirrored, emulsion down" would be the usual one."""


def printed_side(sheet: Sheet) -> str:
    """What whoever holds a film is to know of its side, in a sentence."""
    side = "away from you" if sheet.mirrored else "towards you"
    return (
        "Films are positives, black where ink prints; where the lettering reads right, the printed side lies "
        f"{side} ({EMULSION[sheet.mirrored]})."
    )


def film_marks(
    plates: Sequence[Plate], order: int, sheet: Sheet, settings: Settings, job_name: str
) -> tuple[Mark, ...]:
    """The marks of the film that prints as number `order`, counted from 1, of the plates in print order."""
    return draw_marks(sheet, labels_of(plates, settings, job_name, sheet), order)


def labels_of(plates: Sequence[Plate], settings: Settings, job_name: str, sheet: Sheet) -> Labels:
    """What the films of a set say, in letters that have a drawing."""
    code = (f"set {sheet.set_code}",) if sheet.set_code else ()
    meshes = [threads_per_inch(plate, settings) for plate in plates]
    said = tuple(
        f"{order}/{len(plates)} {_told_ink(plate)} {mesh}/inch"
        for order, (plate, mesh) in enumerate(zip(plates, meshes, strict=True), start=1)
    )
    in_both_units = tuple(f"{text} ({told_per_cm(mesh)}/cm)" for text, mesh in zip(said, meshes, strict=True))
    return Labels(as_drawn(job_name), (*code, "right reading", EMULSION[sheet.mirrored]), said, in_both_units)


def label_notices(plates: Sequence[Plate], job_name: str) -> Iterator[Notice]:
    """Names that films cannot show as they are written: a warning where letters are lost, a note for plain forms."""
    for order, plate in enumerate(plates, start=1):
        if missing := _missing(plate.ink):
            message = (
                f"no film can show {missing} of the ink {plate.ink!r}: its film says {order}/{len(plates)} "
                f"{_told_ink(plate)} instead; give the ink a name in Latin letters, as [[inks]] name"
            )
            yield Notice("letters-missing", message, "warning", plate.ink)
    if missing := _missing(job_name):
        message = f"no film can show {missing} of the design's name {job_name!r}: boxes stand for them; rename the file"
        yield Notice("letters-missing", message, "warning")
    near = [plate.ink for plate in plates if not _missing(plate.ink) and as_drawn(plate.ink) != _composed(plate.ink)]
    if near:
        names = ", ".join(f"{_told(name)!r} for {name!r}" for name in near)
        yield Notice("letters-plain", f"films write names in plain letters: {names}")


def _told_ink(plate: Plate) -> str:
    """The ink's name as its film writes it; what of it has no drawing is replaced by the ink's colour in the art.

    Signs without a drawing go: a name is told by its letters and figures.
    """
    lost = {character for character in _undrawn(plate.ink) if unicodedata.category(character)[0] in "LN"}
    told = _told(plate.ink)
    return told if told and not lost else f"{told} {plate.hex}".lstrip()


def _told(name: str) -> str:
    return " ".join(as_drawn("".join(c for c in _composed(name) if plain_form(c) is not None)).split())


def _undrawn(name: str) -> tuple[str, ...]:
    """The characters that no film can show, each once, as they come."""
    return tuple(dict.fromkeys(character for character in _composed(name) if plain_form(character) is None))


def _missing(name: str) -> str:
    return " ".join(_undrawn(name))


def _composed(name: str) -> str:
    return unicodedata.normalize("NFC", name)
