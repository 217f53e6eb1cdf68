"""One small finished job, made once: curves, a stroke, a hole, white art, and an ink with a hostile name."""

from pathlib import Path

import pytest

from vectorsep.pipeline import separate
from vectorsep.press_settings import FilmSetting
from vectorsep.settings import InkSetting, Settings

DESIGN = b"""<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="60mm" viewBox="0 0 90 60">
<circle cx="32" cy="30" r="22" fill="#dc143c" stroke="#101010" stroke-width="2"/>
<path d="M32 14C44 22 50 30 32 48 14 30 20 22 32 14Z" fill="#ffd700" stroke="#101010"/>
<rect x="62" y="10" width="18" height="40" rx="5" fill="#ffffff"/>
<path d="M66 20h10M66 27q5 5 10 0" stroke="#206080" stroke-width="1.5" fill="none"/>
</svg>"""
HOSTILE = '<script>alert("x")</script> ../é'

FILM_MM = (152.4, 101.6)
"""6 by 4 inches: whole pixels at 300 dpi, so that pictures of different renderers can be laid on each other."""


@pytest.fixture(scope="session")
def settings():
    return Settings(garment_hex="#7a1020", inks=(InkSetting("#ffd700", HOSTILE, 195),), film=FilmSetting(*FILM_MM))


@pytest.fixture(scope="session")
def made(settings):
    """The finished job and the files of its folder."""
    return separate(DESIGN, settings, "harbour <lights>.svg")


@pytest.fixture(scope="session")
def job(made):
    return made[0]


@pytest.fixture(scope="session")
def files(made):
    return made[1]


@pytest.fixture
def folder(files, tmp_path) -> Path:
    """The job's folder on disk."""
    for name, content in files.items():
        (tmp_path / name).write_bytes(content)
    return tmp_path
