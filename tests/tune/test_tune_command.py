"""`vectorsep tune` as a shop runs it: the address is printed, Ctrl+C ends it, and what cannot be is told at once."""

import os
import queue
import signal
import socket
import subprocess
import sys
import time
import urllib.request
import webbrowser
from pathlib import Path
from subprocess import PIPE
from urllib.parse import urlsplit

import pytest
from disc import DISC

from vectorsep.cli import main
from vectorsep.commands.tune import show
from vectorsep.tune import TuneServer


@pytest.fixture
def art(tmp_path):
    path = tmp_path / "disc.svg"
    path.write_text(DISC)
    return path


@pytest.fixture
def at_once(monkeypatch):
    """A server that is stopped, as by Ctrl+C, as soon as it serves; what it would have shown."""
    shown = []

    def stopped(server):
        shown.append(server.table)
        raise KeyboardInterrupt

    monkeypatch.setattr(TuneServer, "serve_forever", stopped)
    return shown


def test_it_serves_until_it_is_stopped(art, interruptible):
    command = [sys.executable, "-m", "vectorsep", "tune", str(art), "--choke", "0.5mm", "--at", "50,30"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        line = process.stdout.readline()
        address, _, rest = line.partition(" ")
        assert rest == "shows disc.svg; Ctrl+C ends it\n"
        with urllib.request.urlopen(f"{address}look?window=45,25,55,35", timeout=20) as response:
            assert b'"white.choke": 0.5' in response.read()
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=20)
    assert (out, err, process.returncode) == ("", "", 0)
    assert sorted(path.name for path in art.parent.iterdir()) == ["disc.svg"]  # it writes nothing


@pytest.mark.skipif(not hasattr(os, "killpg"), reason="there are no process groups here")
@pytest.mark.parametrize("ended_by", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_nothing_is_left_at_work_when_it_ends_during_a_check(tmp_path, interruptible, ended_by):
    """A Ctrl+C of a terminal reaches all processes, other signals only the command."""
    dense = Path(__file__).parents[2] / "demo_designs" / "lantern_moth.svg"
    command = [sys.executable, "-m", "vectorsep", "tune", str(dense), "--at", "0,0"]
    with subprocess.Popen(command, stdout=PIPE, stderr=PIPE, text=True, start_new_session=True) as process:
        address = urlsplit(process.stdout.readline().split()[0])
        with socket.create_connection((address.hostname, address.port)) as connection:
            connection.sendall(f"GET {address.path}check?window=0,0,9,9 HTTP/1.1\r\n\r\n".encode())
            time.sleep(0.7)
            (os.killpg if ended_by is signal.SIGINT else os.kill)(process.pid, ended_by)
            out, err = process.communicate(timeout=20)
    assert (out, err) == ("", "")
    until = time.monotonic() + 3  # such a check takes longer
    while is_any_of(process.pid):
        assert time.monotonic() < until
        time.sleep(0.02)


def is_any_of(group):
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return False
    return True


def test_the_job_and_the_place_are_taken(art, tmp_path, at_once):
    job = tmp_path / "job.toml"
    job.write_text('[blocker]\nspread = "0.6mm"\n[press]\nregistration = 0.2\n')
    assert main(["tune", str(art), "--job", str(job), "--at", "1in, 30"]) == 0
    (table,) = at_once
    assert table.first_window == pytest.approx((15.4, 20, 35.4, 40))
    told = {str(key): (mm, follows) for key, mm, follows in table.tuned()}
    assert (told["blocker.spread"], told["colour.clearance"]) == ((0.6, False), (0.2, True))


def test_no_browser_is_opened_unless_asked(art, at_once, monkeypatch):
    monkeypatch.setattr(webbrowser, "open", lambda _: pytest.fail("nobody asked"))
    assert main(["tune", str(art)]) == 0


def test_the_browser_is_opened_while_the_page_is_served(art, interruptible, monkeypatch, capsys):
    """Some browsers are waited for until they are closed."""
    asked = queue.Queue()

    def opened(address):
        try:
            with urllib.request.urlopen(address, timeout=10) as response:
                asked.put((address, response.read().decode()))
        finally:
            os.kill(os.getpid(), signal.SIGINT)
        return True

    monkeypatch.setattr(webbrowser, "open", opened)
    assert main(["tune", str(art), "--open"]) == 0
    (address, page), printed = asked.get(timeout=10), capsys.readouterr().out.split()[0]
    secret = printed.split("/")[-2]
    assert secret not in address, "all users of a machine see what a browser was started with (proc(5), cmdline)"
    assert f'content="0; url=/{secret}/"' in page


def test_a_browser_that_is_missing_is_told(monkeypatch, capsys):
    monkeypatch.setattr(webbrowser, "open", lambda _: False)
    show("http://127.0.0.1:1/")
    assert capsys.readouterr().err == "vectorsep: no browser was found here: open the address in one yourself\n"


def test_a_name_writes_no_line_of_its_own(tmp_path, at_once, capsys):
    path = tmp_path / "two\nlines\x1b[2J.svg"
    path.write_text(DISC)
    assert main(["tune", str(path)]) == 0
    assert capsys.readouterr().out.endswith(" shows two\\nlines\\x1b[2J.svg; Ctrl+C ends it\n")


def test_a_taken_port_is_told(art, capsys):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        assert main(["tune", str(art), "--port", str(port)]) == 2
    assert f"port {port}: address already in use; give another with --port, or leave it out" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("flags", "why"),
    [
        (["--spread", "40mm"], "blocker.spread"),
        (["--merge-inks", "90"], "colour.merge_inks"),
    ],
)
def test_bad_settings_end_with_2(art, capsys, flags, why):
    assert main(["tune", str(art), *flags]) == 2
    assert why in capsys.readouterr().err


@pytest.mark.parametrize(("at", "rc"), [("69,30", 0), ("71,30", 2), ("30,71", 2), ("-11,30", 2), ("30,-11", 2)])
def test_a_place_far_off_the_page_is_refused(art, at_once, capsys, at, rc):
    """The window is 20 mm wide, the page 60: at 69 mm it meets the page, at 71 it does not."""
    assert main(["tune", str(art), f"--at={at}"]) == rc
    assert ("off the page of 60 mm × 60 mm" in capsys.readouterr().err) == (rc == 2)


def test_what_the_job_asks_in_vain_is_told_before_the_page_is_served(art, tmp_path, capsys):
    job = tmp_path / "job.toml"
    job.write_text('[blocker]\nmerge_black = true\ndesign_black = "soot"\n')
    assert main(["tune", str(art), "--job", str(job)]) == 2
    assert "no ink is called 'soot'" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("flags", "why"),
    [
        (["--at", "5"], "'5' is no place: give two lengths, such as 23.4,55.1"),
        (["--at", "5,6,7"], "no place"),
        (["--at", "left,top"], "no place"),
        (["--port", "70000"], "'70000' is no port"),
        (["--port", "-1"], "no port"),
    ],
)
def test_odd_flags_are_refused(art, capsys, flags, why):
    with pytest.raises(SystemExit) as ended:
        main(["tune", str(art), *flags])
    assert ended.value.code == 2
    assert why in capsys.readouterr().err
