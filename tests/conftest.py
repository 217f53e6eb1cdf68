"""What many tests start from."""

import os
import shutil
import signal

import pytest

from vectorsep.pipeline import separate
from vectorsep.settings import Settings
from vectorsep.writing import write_folder

SMALL_ART = b"""<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<rect x="5" y="5" width="30" height="30" fill="#c81e28"/>
<circle cx="40" cy="20" r="12" fill="#1e3c8c"/>
<rect x="10" y="10" width="8" height="8" fill="#ffffff"/>
</svg>"""


@pytest.fixture(scope="session")
def small_art():
    return SMALL_ART


@pytest.fixture(scope="session")
def small_job():
    """The finished job of the small art: (Separation, files)."""
    return separate(SMALL_ART, Settings(), "small.svg")


@pytest.fixture
def finished_folder(tmp_path, small_job):
    """A folder of plates on disk, as the separate command leaves it."""
    folder = tmp_path / "plates"
    write_folder(folder, small_job[1], replace=False)
    return folder


@pytest.fixture
def interruptible():
    """Ctrl+C ends what runs, as in a terminal: started in the background, tests and all they start would ignore it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.fixture(scope="session")
def system_tool():
    """A system program by name; without it the test skips, but on CI it fails."""

    def find(name):
        path = shutil.which(name)
        if path is None and os.environ.get("CI"):
            pytest.fail(f"{name} is missing, and CI must have it")
        if path is None:
            pytest.skip(f"{name} is not installed")
        return path

    return find
