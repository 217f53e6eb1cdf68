"""The list of everything refused, left out or worth telling, gathered while the drawing is walked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from typing import NoReturn

from vectorsep.artwork.conditions import LANGUAGE
from vectorsep.artwork.document import NAMELESS, Element, label_of, place_of
from vectorsep.errors import ArtworkError, Offence
from vectorsep.model import Notice, Place, Severity
from vectorsep.units import counted

UNSEEN = "unseen"
NEARLY_FULL = "nearly full"
BY_PROFILE = "by a profile"
CONDITIONS: dict[str, tuple[str, Severity, str]] = {
    "systemLanguage": (
        "left-out",
        "warning",
        f"left out, being for other languages than {LANGUAGE!r} (remove systemLanguage to print it)",
    ),
    "requiredExtensions": (
        "left-out",
        "warning",
        "left out, asking for extensions of a viewer (remove requiredExtensions to print it)",
    ),
    NAMELESS: (
        "left-out",
        "warning",
        "left out, being in no namespace, so that browsers draw nothing of them (move them into SVG's)",
    ),
    UNSEEN: (
        "left-out",
        "warning",
        "left out, being off the page or clipped away, though flat ink could not print it",
    ),
    BY_PROFILE: (
        "by-profile",
        "warning",
        "printed in the colour that stands before one by a profile, where browsers pass over both (write it alone)",
    ),
    NEARLY_FULL: ("nearly-opaque", "note", "printed in full, being of 99 % opacity or more"),
}
"""Code, severity and words of what is told of elements that are not drawn, or not as they say."""
LONGEST_NAME = 40
"""Characters of a layer's name that are told."""


class Refused(Exception):
    """Raised inside the reader to leave out one element, once its reason is on the list."""


class Report:
    """Gathers what is refused and what is worth telling while the drawing is walked."""

    def __init__(self) -> None:
        self._offences: dict[tuple[Offence, Element | None], None] = {}
        self._notices: dict[Notice, None] = {}
        self._passed_over: dict[str, dict[Element, None]] = {}
        self._in_sight = True
        self._layers: dict[Element, str | None] = {}

    def refuse(self, element: Element, reason: str, in_job: str = "") -> None:
        """Put an element on the list of what cannot be printed, once for each reason; count it where it is unseen."""
        if not self._in_sight:
            self.pass_over(element, UNSEEN)
            return
        layer = label_of(element) or self._layer(element.getparent())
        place = replace(place_of(element), layer=layer[:LONGEST_NAME] if layer else None)
        self._offences[Offence(place, reason, in_job), element] = None

    def _layer(self, group: Element | None) -> str | None:
        """The name that a drawing program shows for a group, or else for the nearest around it: its label, title or id.
        The outermost svg has none that would help. Each is looked up once, for thousands may stand in one."""
        if group is None or group.getparent() is None:
            return None
        if group not in self._layers:
            self._layers[group] = label_of(group) or group.get("id") or self._layer(group.getparent())
        return self._layers[group]

    def refuse_at(self, place: Place, reason: str, in_job: str = "") -> None:
        """The same for what is no element."""
        self._offences[Offence(place, reason, in_job), None] = None

    def leave_out(self, element: Element, reason: str, in_job: str = "") -> NoReturn:
        """Put an element on the list and draw nothing of it. Raises Refused."""
        self.refuse(element, reason, in_job)
        raise Refused(reason)

    @property
    def count(self) -> int:
        """How many things are on the list, to take back later ones by."""
        return len(self._offences)

    def take_back(self, count: int) -> None:
        """Take off the list all but its first things."""
        while len(self._offences) > count:
            self._offences.popitem()

    @contextmanager
    def out_of_sight(self) -> Iterator[None]:
        """Pass over what is refused meanwhile, for nothing of it is seen."""
        before, self._in_sight = self._in_sight, False
        try:
            yield
        finally:
            self._in_sight = before

    @contextmanager
    def apart(self) -> Iterator[Collection[tuple[Offence, Element | None]]]:
        """Gather here what is refused meanwhile, for what is judged as a whole."""
        before, self._offences = self._offences, {}
        try:
            yield self._offences
        finally:
            self._offences = before

    def tell(self, notice: Notice) -> None:
        """Keep a notice for the result, once."""
        self._notices[notice] = None

    def pass_over(self, element: Element, condition: str) -> None:
        """Count an element that is not drawn, or not as it says, for one of these CONDITIONS, once however often it is
        met."""
        self._passed_over.setdefault(condition, {})[element] = None

    def close(self, *, skip: bool) -> tuple[Notice, ...]:
        """The notices. Raises ArtworkError with all offences, or turns each into a notice where they are skipped."""
        at_places = Counter(offence for offence, _ in self._offences)
        offences = tuple(replace(offence, things=things) for offence, things in at_places.items())
        if offences and not skip:
            raise ArtworkError(
                f"the artwork holds {counted(self.count, 'thing')} that flat ink cannot print",
                offences,
                f" (mend the drawing, or leave {'it' if self.count == 1 else 'them'} out with --skip-unprintable):",
            )
        left_out = (
            Notice("left-out", f"left out: {offence}", "warning", places=offence.things) for offence in offences
        )
        passed_over = (
            replace(notice, places=len(elements))
            for condition, elements in self._passed_over.items()
            for notice in told_in_sum(*CONDITIONS[condition], list(map(place_of, elements)), "element")
        )
        return (*left_out, *passed_over, *self._notices)


def told_in_sum(code: str, severity: Severity, what: str, places: Sequence[Place], noun: str) -> Iterator[Notice]:
    """One notice for all things of a kind: how many there are, and where the first stands. None for none."""
    if places:
        first = str(places[0]) if len(places) == 1 else f"{counted(len(places), noun)}, the first {places[0]}"
        yield Notice(code, f"{what}: {first}", severity)
