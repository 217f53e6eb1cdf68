"""A code that all films of a set carry: films of two makings of one design lie on the light table looking alike."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence

from vectorsep.model import Plate, Sheet

SIGNS = "234679ACDEFHJKMNPQRTWXY"
"""None that a worn film shows like another of them: no 0 and O, 1 and I, 5 and S, 8 and B."""
LENGTH = 4
"""Two sets at random have the same code once in 23^4 = 279,841 times."""


def set_code(plates: Sequence[Plate], said: Iterable[str], sheet: Sheet) -> str:
    """The code of films that carry these plates and say this of each: another as soon as anything of these is, or the
    page. The job's name has no part in it: films of a design that was renamed meanwhile are still of one set."""
    told = repr((*said, sheet)).encode()
    digest = hashlib.sha256(told + b"".join(plate.area.wkb for plate in plates)).digest()
    number = int.from_bytes(digest[:8], "big")  # far more than the code holds, so that each sign is as likely
    return "".join(SIGNS[number // len(SIGNS) ** place % len(SIGNS)] for place in range(LENGTH))
