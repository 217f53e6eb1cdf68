"""A fixed sample of an open multi-colour icon set (data/icons/README.md names it), against the general renderer."""

from pathlib import Path

import pytest
from rendered import difference_share, in_pixels, painted_svg, rendered

from vectorsep.artwork import read_artwork

ICONS = sorted((Path(__file__).parent / "data" / "icons").glob("*.svg"))
SHARE = 0.0005


def test_the_sample_is_whole():
    assert len(ICONS) == 44
    assert (ICONS[0].parent / "LICENSE").read_text().startswith("MIT License")


@pytest.mark.parametrize("path", ICONS, ids=lambda path: path.stem)
def test_an_icon_is_reproduced(path):
    data = path.read_bytes()
    reference = rendered(in_pixels(data))
    artwork = read_artwork(data)
    assert len({shape.hex for shape in artwork.shapes}) >= 1
    assert not artwork.notices
    assert difference_share(rendered(painted_svg(artwork, 300, 300)), reference) <= SHARE
