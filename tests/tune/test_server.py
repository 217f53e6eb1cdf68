"""The page over HTTP: what is answered, to whom, and that one slow or odd request does not stop the others."""

import json
import multiprocessing
import socket
import struct
import time
import urllib.error
import urllib.request
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from http.server import BaseHTTPRequestHandler

import pytest
from serving import serving

from vectorsep.errors import CalledOff
from vectorsep.tune import LightTable, TuneServer
from vectorsep.tune.server import HEADERS, HOST, ICON, SCRIPTS, STYLE

LOOK = "look?window=45,25,55,35"


def get(address):
    """Status, headers and body of a GET, whatever the status."""
    try:
        with urllib.request.urlopen(address, timeout=20) as response:
            return response.status, response.headers, response.read()
    except urllib.error.HTTPError as error:
        with error:
            return error.code, error.headers, error.read()


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("", "text/html"),
        *((script, "text/javascript") for script in SCRIPTS),
        (STYLE, "text/css"),
        (ICON, "image/svg+xml"),
        ("map", "application/json"),
        (LOOK, "application/json"),
        (LOOK.replace("look", "loupe"), "application/json"),
    ],
)
def test_everything_the_page_needs_is_there_and_kept_by_nobody(served, name, kind):
    status, headers, body = get(served.address + name)
    assert status == 200
    assert headers["Content-Type"].startswith(kind)
    assert {key: headers[key] for key in HEADERS} == HEADERS
    assert len(body) == int(headers["Content-Length"]) > 100


def test_a_check_is_answered(served):
    status, _, body = get(served.address + LOOK.replace("look", "check"))
    assert (status, json.loads(body)["safe"]) == (200, True)


def test_names_are_escaped_on_the_page(served):
    _, _, body = get(served.address)
    assert b"a &lt;disc&gt;.svg" in body
    assert b"<disc>" not in body


def test_the_page_asks_no_other_machine(served):
    for name in ("", *SCRIPTS, STYLE, ICON):
        body = get(served.address + name)[2].replace(b"http://www.w3.org/2000/svg", b"")
        assert b"://" not in body


@pytest.mark.parametrize("path", ["", "/", "/wrong/", f"/wrong/{LOOK}", "/wrong/map", "//", "/%00/", "/ä/map"])
def test_without_the_secret_nothing_is_told(served, path):
    status, _, body = get(f"http://{HOST}:{served.server_port}{urllib.request.quote(path, safe='/?=,%')}")
    assert (status, json.loads(body)) == (404, {"problems": ["open the address that was printed"]})


def test_the_address_that_a_browser_is_started_with_leads_nowhere_once_the_page_is_shown(table):
    with serving(table) as server:
        address = server.address_to_open
        for _ in range(2):
            assert f'url=/{server.secret}/"'.encode() in get(address)[2]
        for name in ("map", LOOK, "tune.js"):
            assert get(address + name)[0] == 404, "it leads to the page, and is none"
        assert get(f"{server.address}map")[0] == 200
        assert get(address)[0] == get(f"http://{HOST}:{server.server_port}/None/")[0] == 404


@pytest.mark.parametrize(
    "target", ["*", "map", "http://[/", "{secret}/map", "x/{secret}/map", "/{secret}", "/{secret}/a/b"]
)
def test_odd_targets_are_no_defects(served, capsys, target):
    request = f"GET {target.format(secret=served.secret)} HTTP/1.1\r\nConnection: close\r\n\r\n"
    with socket.create_connection((HOST, served.server_port)) as connection:
        connection.sendall(request.encode())
        assert connection.makefile("rb").readline() == b"HTTP/1.1 404 Not Found\r\n"
    assert capsys.readouterr().err == ""


def test_no_name_of_this_machine_is_looked_up(table, monkeypatch):
    monkeypatch.setattr(socket, "getfqdn", lambda *_: pytest.fail("a name was looked up"))
    with TuneServer(table) as server:
        assert server.server_name == HOST


@pytest.mark.parametrize("name", ["nothing", "templates", "..%2Fserver.py"])
def test_other_names_are_not_found(served, name):
    assert get(served.address + name)[0] == 404


def test_problems_are_told_as_problems(served):
    status, _, body = get(served.address + "look?window=1,2&white.choke=wide")
    assert status == 400
    assert len(json.loads(body)["problems"]) == 2


def test_a_defect_is_told_and_the_page_goes_on(served, monkeypatch, capsys):
    with monkeypatch.context() as broken:
        broken.setattr(LightTable, "look", lambda *_: 1 / 0)
        status, _, body = get(served.address + LOOK)
    assert status == 500
    assert "a defect of this program, not of your art: ZeroDivisionError" in json.loads(body)["problems"][0]
    assert "ZeroDivisionError" in capsys.readouterr().err
    assert get(served.address + LOOK)[0] == 200


def test_a_connection_that_asks_nothing_holds_up_nobody(served):
    with socket.create_connection((HOST, served.server_port)):
        assert get(served.address + LOOK)[0] == 200


def test_a_page_that_hangs_up_is_no_defect(served, capfd):
    connection = socket.create_connection((HOST, served.server_port))
    connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))  # closed by a reset
    connection.sendall(b"GET /")
    connection.close()
    assert get(served.address + LOOK)[0] == 200
    served.shutdown()
    assert capfd.readouterr().err == ""


def test_a_defect_outside_of_an_answer_is_still_told(served, monkeypatch, capfd):
    monkeypatch.setattr(BaseHTTPRequestHandler, "handle", lambda _: 1 / 0)
    with pytest.raises(OSError):
        get(served.address + LOOK)
    assert "ZeroDivisionError" in capfd.readouterr().err


def test_other_machines_are_not_answered(served):
    assert served.server_address[0] == "127.0.0.1"


def test_addresses_differ(served, table):
    with TuneServer(table) as other:
        assert served.secret not in other.address
    assert len(served.secret) >= 16


def test_plates_are_made_one_after_the_other(served, monkeypatch):
    """What is remembered of earlier looks must not be shared by threads."""
    working, most = [], []

    def slow(*_):
        working.append(1)
        most.append(len(working))
        time.sleep(0.05)
        working.pop()
        return {}

    monkeypatch.setattr(LightTable, "look", slow)
    with ThreadPoolExecutor(4) as pool:
        assert {status for status, *_ in pool.map(get, [served.address + LOOK] * 4)} == {200}
    assert most == [1, 1, 1, 1]


@pytest.fixture
def endless_check(monkeypatch):
    """Checks that are never done, in processes that can be counted."""
    monkeypatch.setattr(LightTable, "check", lambda *_: partial(time.sleep, 600))


def asked_for(served, question="check"):
    """A connection on which a check or a look was asked for."""
    connection = socket.create_connection((HOST, served.server_port))
    request = f"GET /{served.secret}/{question}?window=45,25,55,35 HTTP/1.1\r\nHost: {HOST}\r\n\r\n"
    connection.sendall(request.encode())
    return connection


def until(condition):
    patience = time.monotonic() + 20
    while not condition():
        assert time.monotonic() < patience
        time.sleep(0.01)


def processes():
    return len(multiprocessing.active_children())


def test_a_look_does_not_wait_for_a_check(served, endless_check):
    with asked_for(served):
        until(lambda: processes() == 1)
        assert get(served.address + LOOK)[0] == 200
        assert processes() == 1
    until(lambda: processes() == 0)


def test_a_check_that_nobody_waits_for_is_ended_and_the_next_has_its_turn(served, endless_check, monkeypatch):
    first, second = asked_for(served), asked_for(served)
    until(lambda: processes() == 1)
    second.close()  # while it waits: never begun
    monkeypatch.undo()
    with ThreadPoolExecutor(1) as pool:
        third = pool.submit(get, served.address + LOOK.replace("look", "check"))
        with pytest.raises(TimeoutError):
            third.result(timeout=0.3)
        first.close()
        assert json.loads(third.result(timeout=20)[2])["safe"] is True
    until(lambda: processes() == 0)


def test_nothing_is_at_work_when_the_server_has_ended(table, endless_check):
    with serving(table) as served, asked_for(served) as connection:
        until(lambda: processes() == 1)
        served.server_close()
        until(lambda: processes() == 0)
        assert connection.recv(100) == b""


def test_a_defect_of_a_check_is_told_as_one(served, monkeypatch, capsys):
    monkeypatch.setattr(LightTable, "check", lambda *_: partial(int, "no number"))
    status, _, body = get(served.address + LOOK.replace("look", "check"))
    assert (status, "a defect of this program" in json.loads(body)["problems"][0]) == (500, True)
    assert "ValueError" in capsys.readouterr().err


@pytest.fixture
def endless_look(monkeypatch):
    """Looks that are made until they are called off; those that are being made."""
    made = []

    def look(_table, asked, is_wanted):
        made.append(asked["window"])
        until(lambda: not is_wanted())
        made.pop()
        raise CalledOff

    monkeypatch.setattr(LightTable, "look", look)
    return made


def test_a_look_that_nobody_waits_for_is_left_off_and_the_next_has_its_turn(served, endless_look, monkeypatch):
    with asked_for(served, "look"):
        until(lambda: endless_look)
        monkeypatch.undo()
        pool = ThreadPoolExecutor(1)
        next_look = pool.submit(get, served.address + LOOK)
        with pytest.raises(TimeoutError):
            next_look.result(timeout=0.2)
    assert next_look.result(timeout=20)[0] == 200
    assert not endless_look


def test_the_loupe_does_not_wait_for_a_look(served, endless_look):
    with asked_for(served, "look"):
        until(lambda: endless_look)
        assert get(served.address + LOOK.replace("look", "loupe"))[0] == 200
        assert endless_look
    until(lambda: not endless_look)
