"""Small designs for the batch tests."""

import pytest

from vectorsep.batch import BatchDesign

PAGE = '<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="60mm" viewBox="0 0 60 60">{}</svg>'


@pytest.fixture
def draw(tmp_path):
    """Write a design of one disc, and give it back as the batch knows it."""

    def draw_disc(label, radius=20, body=""):
        source = tmp_path / "art" / label
        source.parent.mkdir(parents=True, exist_ok=True)
        source.write_text(PAGE.format(f'<circle cx="30" cy="30" r="{radius}" fill="#c81e28"/>{body}'))
        return BatchDesign(source, label)

    return draw_disc


@pytest.fixture
def out(tmp_path):
    return tmp_path / "out"
