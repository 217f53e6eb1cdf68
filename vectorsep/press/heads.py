"""Heads of a carousel: one a screen, one a flash after each layer that gets one, one to cool down after each flash.

Common practice, no source: blocker and white are always flashed, colours each or not at all (wet on wet), and a
station after each flash stays empty for the print to cool. Colours that print wet on wet are flashed once before a
highlight white, where the press has a head for it: the next screen lifts wet ink, and the lightest ink shows it most.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain, combinations_with_replacement, compress, product

from vectorsep.colour import is_plain_white
from vectorsep.model import Plate, Saving
from vectorsep.press_model import Ground, PressPlan, Remedy, Station
from vectorsep.press_settings import PressSetting

MOST_SAVINGS = 3
"""Art that gives up more inks than that is another design."""


@dataclass(frozen=True, slots=True)
class _SetUp:
    """Plates in print order on a press, at one go or in two rounds."""

    plates: tuple[Plate, ...]
    press: PressSetting
    two_rounds: bool = False

    @property
    def heads(self) -> int:
        """How many it takes: in two rounds those of the larger, and the white is flashed before the colours come."""
        if not self.two_rounds:
            return len(tuple(_stations(self.plates, self.press)))
        first, then = self.plates[: len(self.base)], self.plates[len(self.base) :]
        round_one = tuple(_stations(first, replace(self.press, last_flash=True)))
        return max(len(round_one), len(tuple(_stations(then, self.press))))

    @property
    def base(self) -> tuple[Plate, ...]:
        """Blocker and white, as far as there are any: what prints in a first round by itself."""
        return tuple(plate for plate in self.plates if plate.role != "colour")


@dataclass(frozen=True, slots=True)
class _Step:
    """One way to need fewer heads: in words, its price, the job's key for it, and what it does to a set-up."""

    said: str
    cost: str
    key: str | None
    taken: Callable[[_SetUp], _SetUp]
    screens: int = 0
    """How many of these it takes away."""
    changes: frozenset[str] = frozenset()
    """Whose screens it takes or changes."""


def plan_heads(plates: Sequence[Plate], savings: Sequence[Saving], press: PressSetting) -> PressPlan:
    """Put the plates, in print order, on heads; where the press has too few, say what would make them fit."""
    with_all = tuple(_stations(plates, press, spare_highlight=True))
    if press.heads is None or len(with_all) <= press.heads:
        return PressPlan(with_all, press.heads, (), _highlight_lies_on(with_all))
    stations = tuple(_stations(plates, press))  # the flash before a highlight white is the first to go
    too_few = len(stations) > press.heads
    remedies = _remedies(_SetUp(tuple(plates), press), savings, press.heads) if too_few else ()
    lies_on = _highlight_lies_on(stations)
    return PressPlan(stations, press.heads, tuple(remedies), lies_on, len(with_all) if lies_on == "wet" else None)


def _stations(plates: Sequence[Plate], press: PressSetting, *, spare_highlight: bool = False) -> Iterator[Station]:
    """The heads that a set-up takes; with `spare_highlight` wet colours are flashed before white prints over them."""
    highlight = next(filter(lambda i: _is_highlight(plates, i), range(len(plates))), None)
    for i, plate in enumerate(plates):
        last = i == len(plates) - 1
        yield Station("screen", plate)
        stays_wet = plate.role == "colour" and not press.flash_colours and not (spare_highlight and i + 1 == highlight)
        if stays_wet or (last and not press.last_flash):
            continue
        yield Station("flash", plate)
        if press.cooldown and not last:
            yield Station("cool-down", plate)


def _is_highlight(plates: Sequence[Plate], i: int) -> bool:
    """Whether a plate is white that prints after colours, not beneath them."""
    coloured = [plate.role == "colour" and not is_plain_white(plate.hex) for plate in plates]
    return plates[i].role == "colour" and not coloured[i] and any(coloured[:i])


def _highlight_lies_on(stations: Sequence[Station]) -> Ground | None:
    """What the first highlight white finds when it prints: told by the station before it."""
    screens = [station.plate for station in stations if station.kind == "screen"]
    first = next((plate for i, plate in enumerate(screens) if _is_highlight(screens, i)), None)
    if first is None:
        return None
    return "wet" if stations[stations.index(Station("screen", first)) - 1].kind == "screen" else "flashed"


def _remedies(set_up: _SetUp, savings: Sequence[Saving], heads: int) -> Iterator[Remedy]:
    """Each step by itself that saves a head; where none is enough, steps together, cheapest first, until they fit the
    heads there are.

    Of the steps together those are left out that bring nothing over what is told before.
    """
    groups = (
        tuple(_press_steps(set_up)),
        tuple(_saving_steps(savings, len(set_up.plates))),
        (_two_rounds(set_up),) if 0 < len(set_up.base) < len(set_up.plates) else (),
    )
    every = [_remedy(set_up, (step,)) for step in chain(*groups)]
    alone = [remedy for remedy in every if remedy.heads < set_up.heads]
    yield from alone
    fewest = min((remedy.heads for remedy in alone), default=set_up.heads)
    for steps in _together(*groups):
        if fewest <= heads:
            return
        remedy = _remedy(set_up, steps)
        if remedy.heads < fewest:
            fewest = remedy.heads
            yield remedy


def _together(press: Sequence[_Step], savings: Sequence[_Step], rounds: Sequence[_Step]) -> Iterator[tuple[_Step, ...]]:
    """Steps in all combinations, cheapest first: each step costs more than all before it together."""
    for last, saved in product(((), *((step,) for step in rounds)), _at_once(savings)):
        for picked in product((False, True), repeat=len(press)):
            yield (*compress(press, picked[::-1]), *saved, *last)


def _at_once(savings: Sequence[_Step]) -> Iterator[tuple[_Step, ...]]:
    """Savings that can be taken together, fewest first. Of those that take as many screens the first alone: they need
    as many heads."""
    told, each = set(), {step.screens for step in savings}
    for count in range(MOST_SAVINGS + 1):
        totals = {sum(screens) for screens in combinations_with_replacement(each, count)}
        for steps in _fitting(savings, count, frozenset(), frozenset()):
            total = sum(step.screens for step in steps)
            if total not in told:
                told.add(total)
                yield steps
            if totals <= told:
                break


def _fitting(
    savings: Sequence[_Step], count: int, changed: frozenset[str], keys: frozenset[str]
) -> Iterator[tuple[_Step, ...]]:
    """So many savings in all combinations, each of other screens than have changed, and by a key of its own."""
    if count == 0:
        yield ()
        return
    for i, step in enumerate(savings):
        key = frozenset(step.key.split(" = ")[:1]) if step.key else frozenset()
        if changed.isdisjoint(step.changes) and keys.isdisjoint(key):
            for others in _fitting(savings[i + 1 :], count - 1, changed | step.changes, keys | key):
                yield (step, *others)


def _remedy(set_up: _SetUp, steps: Sequence[_Step]) -> Remedy:
    for step in steps:
        set_up = step.taken(set_up)
    said, costs = ("; ".join(getattr(step, part) for step in steps) for part in ("said", "cost"))
    keys = tuple(step.key for step in steps if step.key)
    return Remedy(said, set_up.heads, costs, keys, tuple(step.key or step.said for step in steps))


def _press_steps(set_up: _SetUp) -> Iterator[_Step]:
    """Steps that leave the screens alone, cheapest first."""
    press, plates = set_up.press, set_up.plates
    white_too = any(_is_highlight(plates, i) for i in range(len(plates)))
    for field, said, cost in (
        ("last_flash", "do not flash the last layer", "the dryer must take the last layer wet"),
        (
            "flash_colours",
            "flash blocker and white only, colours wet on wet",
            "a colour printed on wet ink may pick it up: light to dark, and look at the undersides of the screens"
            f"{'; the highlight white turns dull by it, if no head is left for a flash before it' * white_too}",
        ),
        ("cooldown", "no cool-down stations", "pause after each flash: a hot print sticks to the next screen"),
    ):
        one_colour = field == "flash_colours" and sum(plate.role == "colour" for plate in plates) < 2
        if getattr(press, field) and not one_colour:  # which prints on no wet ink: it is the last layer
            yield _Step(said, cost, f"press.{field} = false", _switched_off(field))


def _switched_off(field: str) -> Callable[[_SetUp], _SetUp]:
    return lambda set_up: replace(set_up, press=replace(set_up.press, **{field: False}))


def _saving_steps(savings: Sequence[Saving], screens: int) -> Iterator[_Step]:
    """Steps that take screens away; counted as colours' screens, which are the last."""
    for saving in savings:
        if not saving.taken and 0 < saving.screens < screens:
            taken = _without_last(saving.screens)
            yield _Step(saving.step, saving.cost, saving.key, taken, saving.screens, saving.changes)


def _without_last(screens: int) -> Callable[[_SetUp], _SetUp]:
    return lambda set_up: replace(set_up, plates=set_up.plates[:-screens])


def _two_rounds(set_up: _SetUp) -> _Step:
    return _Step(
        f"two rounds: {' and '.join(plate.role for plate in set_up.base)}, then the colours",
        "screens change between the rounds; garments stay on their platens, or register is lost",
        None,
        lambda changed: replace(changed, two_rounds=True),
    )
