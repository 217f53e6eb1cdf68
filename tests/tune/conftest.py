"""A disc laid out for tuning, on a server of its own and in a browser."""

import threading
from contextlib import contextmanager

import pytest
from browser import Browser
from disc import DISC, RIM_MM

from vectorsep.api import read_design
from vectorsep.tune import LightTable, TuneServer


@pytest.fixture
def table():
    return LightTable("a <disc>.svg", DISC.encode(), read_design(DISC), {"garment_hex": "#202024"}, RIM_MM)


@contextmanager
def serving(table):
    with TuneServer(table) as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
        thread.start()
        try:
            yield server
        finally:
            server.shutdown()
            thread.join()


@pytest.fixture
def served(table):
    """The disc's table behind a real server."""
    with serving(table) as server:
        yield server


@pytest.fixture(scope="module")
def browser(system_tool, tmp_path_factory):
    """A browser without a screen, 1,000 x 700 pixels."""
    with Browser(system_tool("chromium"), tmp_path_factory.mktemp("profile")) as browser:
        yield browser
