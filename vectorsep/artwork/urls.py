"""What `url()` names: a gradient or pattern, a clip path, a mask, a marker (SVG 2, 13.2; CSS Values 4, 4.5)."""

from __future__ import annotations

import re
from dataclasses import dataclass

_URL = re.compile(r"""url\(\s*+(?:"([^"]*)"|'([^']*)'|([^)"'\s]*+))\s*+\)\s*+(.*)""", re.DOTALL | re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Reference:
    """What a `url()` names, and what is written after it: for a paint, what holds where that is missing."""

    target: str
    fallback: str


def parse_reference(text: str) -> Reference | None:
    """Read `url(...)` and what follows it, or None where the text is something else."""
    match = _URL.fullmatch(text.strip())
    if match is None:
        return None
    target = next((group for group in match.groups()[:3] if group is not None), "")
    return Reference(target, match[4].strip())
