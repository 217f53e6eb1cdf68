"""One tree of errors. Every message names the place and the remedy; none is ever shown as a traceback."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from vectorsep.model import Place

UNITE_SHAPES = "unite shapes that nearly repeat each other's edges in the drawing program, then try again"
"""The remedy where the geometry engine fails, by what such art had in common, as far as it was found: edges that lie
within a rounding of each other."""


class VectorsepError(Exception):
    """The job cannot go on for a reason the user can mend. The command line ends with exit code 2."""


class CalledOff(Exception):
    """Nobody waits for the outcome any more, so the work is left off. It is told to nobody."""


@dataclass(frozen=True, slots=True)
class Offence:
    """One thing in the artwork that no flat plate can hold: where it stands and why it is refused."""

    place: Place
    reason: str
    in_job: str = ""
    """A further way out that only a job has, as the end of the sentence: what is read as a film has none."""
    things: int = 1
    """How many stand at that place: programs that save space write whole drawings in one line."""

    def __str__(self) -> str:
        return f"{self.where}: {self.reason}{self.in_job}"

    @property
    def where(self) -> str:
        """Its place, and how many stand there."""
        return f"{self.place} ({self.things} of them)" if self.things > 1 else str(self.place)


class ArtworkError(VectorsepError):
    """The artwork cannot be read, or asks for what flat spot colour cannot print. Lists all offences at once."""

    def __init__(self, summary: str, offences: Sequence[Offence] = (), in_job: str = "") -> None:
        """`in_job` ends the summary with a way out that only a job has, as that of an offence does."""
        self.summary = summary
        self.offences = tuple(offences)
        super().__init__("\n".join([f"{summary}{in_job}", *_by_reason(self.offences)]))


def _by_reason(offences: Sequence[Offence]) -> Iterator[str]:
    """Every offence in lines; what is refused for one reason in many places has the reason once."""
    alike: dict[tuple[str, str], list[Offence]] = {}
    for offence in offences:
        alike.setdefault((offence.reason, offence.in_job), []).append(offence)
    for first, *others in alike.values():
        yield f"  {first}"
        if others:
            yield f"    the same: {', '.join(offence.where for offence in others)}"


class SettingsError(VectorsepError):
    """Bad settings, all of them told at once, each as `message @ section.key`."""

    def __init__(self, problems: Sequence[str]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(self.problems))


class FolderError(VectorsepError):
    """A file or folder cannot be read, written or replaced without losing something."""


def lacks_memory(error: BaseException) -> bool:
    """Whether an error says that the machine's memory is used up, as it is or as the geometry engine says it."""
    return isinstance(error, MemoryError) or "bad_alloc" in str(error)


def unforeseen(error: BaseException, of: str = "this program") -> str:
    """What is told of an error that no art and no job should be able to cause."""
    if lacks_memory(error):
        return (
            "the memory of this machine does not suffice: close other programs, separate fewer designs at once, or "
            "simplify the art"
        )
    return f"a defect of {of}, not of your art: {error!r}"
