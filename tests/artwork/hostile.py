"""Hostile files, each a generator of bytes; run as a program it reads the one named and tells its cost."""

import gzip
import random
import re
import sys
import time
from pathlib import Path

from vectorsep.artwork import read_artwork
from vectorsep.errors import ArtworkError

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">'
RECT = '<rect width="9" height="9"/>'


def _svg(body, before=""):
    return (before + HEAD + body + "</svg>").encode()


def _scribble(count):
    rng = random.Random(1)
    return " ".join(f"{rng.uniform(0, 100):.2f},{rng.uniform(0, 100):.2f}" for _ in range(count))


def _entities(levels):
    lines = "".join(f'<!ENTITY {chr(98 + i)} "{("&" + chr(97 + i) + ";") * 10}">' for i in range(levels))
    return f'<!DOCTYPE svg [<!ENTITY a "lollollol">{lines}]>'


REFUSED = {
    "entity bomb": lambda: _svg("<text>&j;</text>", _entities(9)),
    "entity bomb in an attribute": lambda: _svg('<path d="&j;"/>', _entities(9)),
    "quadratic entities": lambda: _svg(
        "<text>" + "&a;" * 20_000 + "</text>", f'<!DOCTYPE svg [<!ENTITY a "{"x" * 50_000}">]>'
    ),
    "external entity": lambda: _svg(
        "<text>&a;</text>", '<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/hostname">]>'
    ),
    "external parameter entity": lambda: _svg(RECT, '<!DOCTYPE svg [<!ENTITY % p SYSTEM "file:///etc/hostname">%p;]>'),
    "use of itself": lambda: _svg('<g id="a"><use href="#a"/></g>'),
    "use of use of use": lambda: _svg(
        RECT.replace("<rect", '<rect id="a0"')
        + "".join(f'<g id="a{i + 1}">' + f'<use href="#a{i}"/>' * 10 + "</g>" for i in range(9))
    ),
    "long chain of use": lambda: _svg(
        '<rect id="a0" width="9" height="9"/>' + "".join(f'<use id="a{i + 1}" href="#a{i}"/>' for i in range(5000))
    ),
    "markers on markers": lambda: _svg(
        "".join(
            f'<marker id="m{i}"><path d="M0 0 1 1 2 0 3 1 4 0 5 0 6 0 7 0" marker-mid="url(#m{i + 1})"/></marker>'
            for i in range(10)
        )
        + '<path d="M0 0 1 1 2 0" marker-mid="url(#m0)"/>'
    ),
    "clips on clips": lambda: _svg(
        "".join(
            f'<clipPath id="c{i}" clip-path="url(#c{i + 1})">'
            + f'<rect clip-path="url(#c{i + 1})" width="5" height="5"/>' * 2
            + "</clipPath>"
            for i in range(40)
        )
        + '<rect clip-path="url(#c0)" width="9" height="9"/>'
    ),
    "nested 10,000 deep": lambda: _svg("<g>" * 10_000 + RECT + "</g>" * 10_000),
    "nested 10,000 deep with a doctype": lambda: _svg("<g>" * 10_000 + RECT + "</g>" * 10_000, "<!DOCTYPE svg>"),
    "not a number": lambda: _svg('<path d="M nan 0 L inf 5"/>'),
    "1e300": lambda: _svg('<path d="M 1e300 0 L -1e300 5e300 L 1 1z"/>'),
    "1e400": lambda: _svg('<path d="M 1e400 0 L 5 5z"/>'),
    "a rectangle of 1e300": lambda: _svg('<rect width="1e300" height="9"/>'),
    "transforms of 1e200": lambda: _svg('<g transform="scale(1e200)"><g transform="scale(1e200)">' + RECT + "</g></g>"),
    "a million tiny paths": lambda: _svg('<path d="M0 0h1v1z"/>' * 1_000_000),
    "a page of no size": lambda: _svg(RECT).replace(b"100mm", b"0"),
    "a page of ten thousand kilometres": lambda: _svg(RECT).replace(b"100mm", b"1e10mm"),
    "style sheet of another file": lambda: _svg('<?xml-stylesheet href="http://localhost:9/a.css"?>' + RECT),
    "no XML": lambda: b"%PDF-1.4 hello",
    "a picture": lambda: b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 100,
    "nothing": lambda: b"",
    "another language": lambda: b"<html><body/></html>",
    "truncated": lambda: _svg(RECT * 100)[:-500],
    "wrong encoding": lambda: b'<?xml version="1.0" encoding="utf-16"?>' + _svg(RECT),
    "unknown encoding": lambda: b'<?xml version="1.0" encoding="klingon"?>' + _svg(RECT),
    "bytes of another encoding": lambda: _svg("<desc>\xe9</desc>").decode().encode("latin-1"),
    "truncated gzip": lambda: gzip.compress(_svg(RECT))[:-12],
    "gzip bomb": lambda: gzip.compress(b" " * 600_000_000, 1),
    "dashes of a picometre": lambda: _svg('<path d="M0 0h90" stroke="red" stroke-dasharray="1e-9"/>'),
    "a scribble of 100,000 lines": lambda: _svg(f'<path d="M{_scribble(100_000)}z"/>'),
    "a scribble of 5,000 lines": lambda: _svg(f'<path d="M{_scribble(5_000)}z"/>'),
    "curves across kilometres": lambda: _svg('<path d="M0 0' + "C1e6 1e6 -1e6 1e6 50 50" * 5000 + '"/>'),
    "brackets in a style sheet": lambda: _svg("<style>a{b:" + "f(" * 20_000 + "</style>" + RECT),
    "brackets in a style": lambda: _svg('<rect style="fill:' + "(" * 20_000 + '"/>'),
    "selectors in selectors": lambda: _svg("<style>" + ":not(" * 3000 + "a" + ")" * 3000 + "{fill:red}</style>" + RECT),
    "siblings of siblings": lambda: _svg(
        "<style>" + "".join(f"g>rect:nth-child({i}n)~rect{{fill:red}}" for i in range(1, 1000)) + "</style>"
        "<g>" + RECT * 3000 + "</g>"
    ),
    "a paint without end": lambda: _svg('<rect fill="url(' + " " * 100_000 + 'x" width="9" height="9"/>'),
    "a transform without end": lambda: _svg('<rect transform="' + "rotate(" * 100_000 + '" width="9" height="9"/>'),
}  # fmt: skip
DRAWN = {
    "entity in an attribute": lambda: _svg('<rect width="&w;" height="9"/>', '<!DOCTYPE svg [<!ENTITY w "9">]>'),
    "doctype of another file": lambda: _svg(RECT, '<!DOCTYPE svg SYSTEM "http://localhost:9/x.dtd">'),
    "another encoding": lambda: _svg(RECT).decode().encode("utf-16"),
    "20,000 rules": lambda: _svg("<style>" + "".join(f".c{i}{{fill:red}}" for i in range(20_000)) + "</style>" + RECT),
    "36,000 turns of a degree": lambda: _svg('<rect transform="' + "rotate(1)" * 36_000 + '" width="9" height="9"/>'),
    "groups in groups": lambda: _svg("<g>" * 90 + RECT + "</g>" * 90),
    "20,000 tiny paths": lambda: _svg('<path d="M0 0h1v1z"/>' * 20_000),
}
SECONDS, MEGABYTES = 60, 500
"""No measure of speed, for the machine may be busy: without their limits these files take minutes, or never end."""


def main():
    """Read one file in a fresh process; print what became of it, seconds of processor and peak megabytes."""
    data = sys.stdin.buffer.read()
    start = time.process_time()
    try:
        read_artwork(data)
        outcome = "drawn"
    except ArtworkError:
        outcome = "refused"
    seconds = time.process_time() - start
    print(outcome, f"{seconds:.2f}", f"{_peak_megabytes():.0f}")


def _peak_megabytes():
    """The largest resident size of this process alone; getrusage would count the parent's at the fork."""
    status = Path("/proc/self/status").read_text()
    return int(re.search(r"VmHWM:\s*(\d+) kB", status)[1]) / 1024


if __name__ == "__main__":
    main()
