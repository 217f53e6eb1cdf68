"""Every case of the renderer's flat-art suite: reproduced, or refused by name, and none silently different.

Reference: pictures drawn by the open-source renderer resvg, from its own test suite; the folder lies beside the
repository and the tests skip where it is absent.
"""

import re
from pathlib import Path

import pytest
import resvg_py
from rendered import PASS_SHARE, artwork_difference, over_white, rendered

from vectorsep.artwork import read_artwork
from vectorsep.errors import ArtworkError

SUITE = Path(__file__).parents[3] / "shared" / "conformance"
REPRODUCED_SHARE = 0.97

NEWER_CLAUSES = {
    "shapes--rect--ic-values": "CSS Values 4, 6.1.1: ic is the advance of a CJK glyph, 1 em where unknown",
    "shapes--rect--q-values": "CSS Values 3, 6.2: Q is a quarter of a millimetre",
    "shapes--rect--rem-values": "CSS Values 3, 6.1.2: rem is the root element's font size",
    "structure--symbol--with-transform": "SVG 2, 5.5: symbol takes a transform",
}
"""Cases where a newer text rules than the one the reference renderer follows."""
REFUSABLE = {
    "masking--clipPath--invalid-FuncIRI": "malformed reference",
    "masking--clipPath--recursive": "recursive reference",
    "structure--use--indirect-recursive-1": "recursive reference",
    "structure--use--nested-recursive-2": "recursive reference",
    "structure--use--self-recursive": "recursive reference",
    "structure--use--xlink-to-an-external-file": "reference to another file",
}
"""Cases that the suite's own notes allow to refuse instead of draw."""
TINT = "% opacity is a tint"
PLACE = re.compile(r'<[\w-]+( id="[^"]*")?> at line \d+: \S')

pytestmark = pytest.mark.skipif(not SUITE.is_dir(), reason="the conformance suite is not beside the repository")


def outcome_of(path):
    """(`same`, `refused` or a share of wrong pixels; the refusal's text)."""
    try:
        artwork = read_artwork(path.read_bytes())
    except ArtworkError as error:
        return "refused", str(error)
    difference = artwork_difference(artwork, path.with_name(path.name[:-4] + ".png").read_bytes())
    return ("same", "") if difference < PASS_SHARE else (difference, "")


@pytest.fixture(scope="module")
def outcomes():
    return {
        (folder, path.name[:-4]): outcome_of(path)
        for folder in ("draw", "refuse")
        for path in sorted((SUITE / folder).glob("*.svg"))
    }


def test_nothing_is_silently_different(outcomes):
    wrong = {
        case: outcome
        for case, (outcome, _) in outcomes.items()
        if isinstance(outcome, float) and case[1] not in NEWER_CLAUSES
    }
    assert not wrong


def test_the_share_of_flat_art_reproduced(outcomes):
    flat = {case: outcome for case, outcome in outcomes.items() if case[0] == "draw" and TINT not in outcome[1]}
    counted = [outcome for (_, name), (outcome, _) in flat.items() if name not in REFUSABLE | NEWER_CLAUSES]
    assert len(counted) > 200
    assert counted.count("same") / len(counted) >= REPRODUCED_SHARE


def test_refusals_name_element_and_line(outcomes):
    for case, (outcome, text) in outcomes.items():
        if outcome == "refused":
            assert PLACE.search(text), (case, text)


def test_the_exceptions_are_needed(outcomes):
    for name in NEWER_CLAUSES:
        assert isinstance(outcomes["draw", name][0], float), name
    for name in REFUSABLE:
        assert outcomes["draw", name][0] == "refused", name


def test_the_comparison_can_fail():
    page = '<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100">'
    red, less = (f'{page}<rect width="100" height="{height}" fill="red"/></svg>' for height in (100, 97))
    reference = rendered(red)
    assert artwork_difference(read_artwork(red.encode()), _png(red)) < PASS_SHARE
    assert artwork_difference(read_artwork(less.encode()), _png(red)) > PASS_SHARE
    assert (reference == over_white(_png(red))).all()


def _png(svg):
    return bytes(resvg_py.svg_to_bytes(svg_string=svg, width=300, dpi=96))
