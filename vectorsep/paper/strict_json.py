"""JSON that this program wrote into a folder, read back trusting nothing in it: each value is asked for by its kind."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, NoReturn

from vectorsep.errors import FolderError

SAFE_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,99}")
"""File names of a folder of plates: no separators, no leading dot, nothing a shell or another system reads anew."""
_SURROGATE = re.compile("[\\ud800-\\udfff]")
"""Half of a character that UTF-16 writes in two (RFC 8259, 8.2): JSON can hold it alone, and no film can."""
SHA256 = re.compile(r"[0-9a-f]{64}")
"""A file's sum (FIPS 180-4), in hexadecimal digits."""
MAX_SIZE_MM = 10_000.0
"""Larger pages, and points farther out, are no film of this program."""

_DECIMAL = re.compile(r"[0-9](\.[0-9]{1,9})?(e-[0-9]{1,2})?", re.ASCII)
MOST_SHARES = 10_000
"""More in one table are none that this program wrote."""


def file_sums(files: Mapping[str, bytes]) -> dict[str, str]:
    """The SHA-256 sum of each file's content, by name, sorted."""
    return {name: hashlib.sha256(files[name]).hexdigest() for name in sorted(files)}


def json_bytes(value: object) -> bytes:
    """Strict JSON, UTF-8, the same bytes for the same value."""
    return (json.dumps(value, ensure_ascii=False, allow_nan=False, indent=2) + "\n").encode()


@dataclass(frozen=True, slots=True)
class StrictJson:
    """The reader of one such file. Everything it refuses is a FolderError with the file, the place and the remedy."""

    file: str
    remedy: str

    def parse(self, data: bytes) -> dict[str, Any]:
        """The object that the file holds."""
        try:
            value = json.loads(
                data.decode("utf-8"), parse_constant=lambda word: self.refuse("a number", f"{word} is none")
            )
        except (ValueError, RecursionError) as error:
            raise FolderError(f"{self.file} is no JSON ({error}); {self.remedy}") from error
        return self.table(value, "the report")

    def refuse(self, place: str, reason: str) -> NoReturn:
        """Say what is wrong, and where."""
        raise FolderError(f"{self.file}: {place}: {reason}; {self.remedy}")

    def field(self, table: Mapping[str, Any], name: str, place: str = "") -> object:
        """A value that must be there."""
        if name not in table:
            self.refuse(f"{place}.{name}".lstrip("."), "is missing")
        return table[name]

    def table(self, value: object, place: str) -> dict[str, Any]:
        """An object."""
        if not isinstance(value, dict):
            self.refuse(place, "should be an object")
        return value

    def entries(self, value: object, place: str) -> list[Any]:
        """A list."""
        if not isinstance(value, list):
            self.refuse(place, "should be a list")
        return value

    def text(self, value: object, place: str) -> str:
        """A text."""
        if not isinstance(value, str):
            self.refuse(place, "should be a text")
        if _SURROGATE.search(value):
            self.refuse(place, "has half a character")
        return value

    def switch(self, value: object, place: str) -> bool:
        """True or false."""
        if not isinstance(value, bool):
            self.refuse(place, "should be true or false")
        return value

    def number(self, value: object, place: str, least: float = 0.0, most: float = MAX_SIZE_MM) -> float:
        """A number that is no sign of a slip: lengths are in mm."""
        if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
            self.refuse(place, f"should be a number from {least:.0f} to {most:.0f}")
        return float(value)

    def coordinates(self, value: object, place: str, count: int) -> tuple[float, ...]:
        """So many coordinates (mm)."""
        entries = self.entries(value, place)
        if len(entries) != count:
            self.refuse(place, f"should be {count} numbers")
        return tuple(self.number(entry, place, -MAX_SIZE_MM) for entry in entries)

    def shares(self, value: object, place: str) -> tuple[tuple[float, ...], ...]:
        """Rows of as many shares each, from 0 to 1, each row written as a text with spaces between."""
        rows = [self.text(row, f"{place}[{i}]").split(" ") for i, row in enumerate(self.entries(value, place))]
        if len(set(map(len, rows))) > 1 or sum(map(len, rows)) > MOST_SHARES:
            self.refuse(place, f"should be rows of as many numbers each, {MOST_SHARES} in all at most")
        return tuple(
            tuple(self.number(_as_number(share), f"{place}[{i}]", most=1.0) for share in row)
            for i, row in enumerate(rows)
        )

    def file_name(self, value: object, place: str) -> str:
        """The name of a file of this very folder."""
        name = self.text(value, place)
        if not SAFE_NAME.fullmatch(name) or ".." in name:
            self.refuse(place, f"{name[:80]!r} is no file name of a folder of plates")
        return name

    def sums(self, value: object, place: str = "files") -> Mapping[str, str]:
        """What `file_sums` gave."""
        table, sums = self.table(value, place), {}
        for name in sorted(table):
            file, sum_ = self.file_name(name, place), self.text(table[name], f"{place}.{name}")
            if not SHA256.fullmatch(sum_):
                self.refuse(f"{place}.{file}", "should be a SHA-256 sum")
            sums[file] = sum_
        return MappingProxyType(sums)


def _as_number(text: str) -> object:
    """A plain decimal number as such, and anything else as the text that it is."""
    return float(text) if _DECIMAL.fullmatch(text) else text
