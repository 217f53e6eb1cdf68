"""A disc laid out for tuning, on a server of its own and in a browser."""

import pytest
from browser import Browser
from disc import DISC, RIM_MM
from serving import serving
from sight import SHOWN

from vectorsep.api import read_design
from vectorsep.tune import LightTable


@pytest.fixture
def table():
    return LightTable("a <disc>.svg", DISC.encode(), read_design(DISC), {"garment_hex": "#202024"}, RIM_MM)


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


@pytest.fixture
def page(browser, served):
    browser.open(served.address)
    browser.wait_for(SHOWN)
    return browser
