"""The reader runs on customers' files: hostile ones get a clear error in seconds, and never a traceback."""

import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hostile import DRAWN, MEGABYTES, REFUSED, SECONDS
from svg import drawing

from vectorsep.artwork import read_artwork
from vectorsep.errors import ArtworkError

HEAVY = (
    "a million tiny paths",
    "gzip bomb",
    "use of use of use",
    "a scribble of 100,000 lines",
    "curves across kilometres",
)


@pytest.mark.parametrize("name", REFUSED)
def test_a_hostile_file_is_refused_in_time(name):
    data = REFUSED[name]()
    start = time.process_time()
    with pytest.raises(ArtworkError) as caught:
        read_artwork(data)
    assert time.process_time() - start < SECONDS
    assert 20 < len(str(caught.value)) < 100_000


@pytest.mark.parametrize("name", DRAWN)
def test_an_odd_but_harmless_file_is_drawn_in_time(name):
    data = DRAWN[name]()
    start = time.process_time()
    assert read_artwork(data).shapes
    assert time.process_time() - start < SECONDS


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="peak memory is read from /proc")
@pytest.mark.parametrize("name", HEAVY)
def test_a_heavy_file_stays_within_memory(name):
    run = subprocess.run(
        [sys.executable, Path(__file__).with_name("hostile.py")], input=REFUSED[name](), capture_output=True, check=True
    )
    outcome, seconds, megabytes = run.stdout.split()
    assert outcome == b"refused"
    assert float(seconds) < SECONDS
    assert float(megabytes) < MEGABYTES


def test_of_what_repeats_too_often_the_most_frequent_is_named():
    crowd = "".join(f'<path d="M0 {i}h1v1"/>' for i in range(60))
    pattern = f'<pattern id="weave" width="2" height="2" patternUnits="userSpaceOnUse">{crowd}</pattern>'
    body = f'{pattern}<defs><path id="twig" d="M0 0h1v1"/></defs><use href="#twig"/><use href="#twig"/>'
    with pytest.raises(ArtworkError, match='most of them by <pattern id="weave"> at line 1: '):
        read_artwork(drawing(body + '<rect width="100" height="100" fill="url(#weave)"/>'))


def test_nothing_is_opened_and_no_one_is_called(monkeypatch):
    def forbidden(*arguments, **_):
        raise AssertionError(f"reached out: {arguments}")

    samples = [make() for name, make in {**REFUSED, **DRAWN}.items() if "ext" in name or "another file" in name]
    assert len(samples) >= 4
    monkeypatch.setattr("builtins.open", forbidden)
    monkeypatch.setattr(socket, "socket", forbidden)
    for data in samples:
        try:
            read_artwork(data)
        except ArtworkError:
            continue


def test_an_external_entity_does_not_bring_its_file_in(tmp_path):
    secret = tmp_path / "secret.txt"
    secret.write_text("9")
    head = f'<!DOCTYPE svg [<!ENTITY s SYSTEM "{secret.as_uri()}">]>'
    svg = f'{head}<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><desc>&s;</desc><rect width="1" '
    'height="1"/></svg>'
    with pytest.raises(ArtworkError, match="'s' not defined"):
        read_artwork(svg.encode())
