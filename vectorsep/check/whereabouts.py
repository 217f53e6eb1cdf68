"""Where a folder's listed files lie now, told by the sums of their contents: a renamed film is still that film."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """Which file of a folder holds what its report lists."""

    listed: Mapping[str, str]
    """Sums that files were written with, by name."""
    found: Mapping[str, str]
    """Sums of what lies in the folder now, by name, listed or not."""

    def place_of(self, file: str) -> str | None:
        """The name under which a listed file lies: its own, edited or not, or another; None where it is gone.

        What lies under its name is another file where it is, to the last bit, what another was written as.
        """
        written, here = self.listed[file], self.found.get(file)
        if here == written:
            return file
        others = (name for name, sum_ in self.found.items() if sum_ == written and self.listed.get(name) != sum_)
        return next(others, None if here is None or here in self.listed.values() else file)

    def is_as_written(self, file: str) -> bool:
        """Whether a listed file lies under its own name as it was written."""
        return self.found.get(file) == self.listed[file]

    @property
    def renamed(self) -> tuple[tuple[str, str], ...]:
        """Listed files that lie under another name, each with that name."""
        places = [(file, self.place_of(file)) for file in self.listed]
        return tuple((file, place) for file, place in places if place is not None and place != file)

    @property
    def copies(self) -> tuple[tuple[str, str], ...]:
        """Names under which a copy of a listed file lies that has another place, each with that file."""
        of_sum = {sum_: file for file, sum_ in self.listed.items()}
        holders = [(name, of_sum[sum_]) for name, sum_ in self.found.items() if sum_ in of_sum]
        return tuple((name, file) for name, file in holders if self.place_of(file) != name)
