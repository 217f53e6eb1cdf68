"""A browser driven over its own pipe, as a person drives it: opening, moving the pointer, reading what is shown.

The messages are those of the Chrome DevTools Protocol, JSON ended by a zero byte, on file descriptors 3 and 4.
"""

import base64
import io
import json
import os
import subprocess
import sys
import time

import numpy as np
from PIL import Image

AS_3_AND_4 = """
import fcntl, os, sys
ends = [fcntl.fcntl(int(end), fcntl.F_DUPFD, 10) for end in sys.argv[1:3]]
for end, number in zip(ends, (3, 4)):
    os.dup2(end, number)
os.execv(sys.argv[3], sys.argv[3:])
"""
"""Starts a program with two ends of pipes where the protocol wants them."""
WIDTH_PX, HEIGHT_PX = 1000, 700
"""The window that a page starts with."""


class Browser:
    def __init__(self, program, profile):
        read_end, self._write = os.pipe()
        self._read, write_end = os.pipe()
        command = [
            program, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--no-first-run",
            f"--user-data-dir={profile}", f"--window-size={WIDTH_PX},{HEIGHT_PX}", "--remote-debugging-pipe",
        ]  # fmt: skip
        self._process = subprocess.Popen(
            [sys.executable, "-c", AS_3_AND_4, str(read_end), str(write_end), *command],
            pass_fds=(read_end, write_end),
            stderr=subprocess.DEVNULL,
        )
        os.close(read_end)
        os.close(write_end)
        self._buffer, self._count, self._session = b"", 0, None

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self._process.terminate()
        self._process.wait(timeout=20)
        os.close(self._write)
        os.close(self._read)

    def _ask(self, method, **parameters):
        self._count += 1
        message = {"id": self._count, "method": method, "params": parameters}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._write, json.dumps(message).encode() + b"\0")
        while True:
            while b"\0" not in self._buffer:
                some = os.read(self._read, 1 << 20)
                assert some, "the browser has ended"
                self._buffer += some
            text, _, self._buffer = self._buffer.partition(b"\0")
            answer = json.loads(text)
            if answer.get("id") == self._count:
                assert "error" not in answer, answer
                return answer["result"]

    def open(self, address):
        """A new page, once it is loaded and the first plates are drawn or a problem is told."""
        if self._session:
            self._ask("Page.close")
        self._session = None
        target = self._ask("Target.createTarget", url="about:blank")["targetId"]
        self._session = self._ask("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        self.resize(WIDTH_PX, HEIGHT_PX)
        self._ask("Page.navigate", url=address)
        self.wait_for("['shown', 'problem'].includes(document.body?.dataset.state)")

    def run(self, script):
        """The value of an expression on the page."""
        answer = self._ask("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in answer, answer["exceptionDetails"]
        return answer["result"].get("value")

    def wait_for(self, condition):
        """Until an expression on the page is true."""
        until = time.monotonic() + 30
        while not self.run(f"Boolean({condition})"):
            assert time.monotonic() < until, f"{condition} never came true"
            time.sleep(0.02)

    def set(self, selector, value):
        """Type into a field, as far as the page can tell."""
        self.run(f"(() => {{ const field = document.querySelector({selector!r}); field.value = {json.dumps(value)}; "
                 "field.dispatchEvent(new Event('input', {bubbles: true})); })()")  # fmt: skip

    def drag(self, start, end, *, shift=False, button="left"):
        """Press at a point of the page (pixels), move to another, and let go."""
        for kind, point in (("mousePressed", start), ("mouseMoved", end), ("mouseReleased", end)):
            self.mouse(kind, point, shift=shift, button=button)

    def mouse(self, kind, point, *, shift=False, button="left"):
        """`mousePressed`, `mouseMoved` or `mouseReleased` at a point of the page (pixels)."""
        self._ask("Input.dispatchMouseEvent", type=kind, x=point[0], y=point[1], button=button, clickCount=1,
                  buttons={"left": 1, "right": 2}[button], modifiers=8 if shift else 0)  # fmt: skip

    def hover(self, x, y):
        """Move the pointer with nothing pressed."""
        self._ask("Input.dispatchMouseEvent", type="mouseMoved", x=x, y=y)

    def press(self, key, *, control=False, shift=False):
        """Press a key where the keyboard is, and let it go."""
        for down in (True, False):
            self.key(key, down=down, modifiers=2 * control + 8 * shift)

    def key(self, key, *, down, modifiers=0):
        """Press a key, or let it go."""
        self._ask("Input.dispatchKeyEvent", type="keyDown" if down else "keyUp", key=key, modifiers=modifiers)

    def touch(self, *steps):
        """Put fingers down, move them, and lift them: the points (pixels) of all fingers, step by step."""
        self.fingers("touchStart", dict(enumerate(steps[0])))
        for points in steps[1:]:
            self.fingers("touchMove", dict(enumerate(points)))
        self.fingers("touchEnd", {})

    def fingers(self, kind, points):
        """`touchStart`, `touchMove` or `touchEnd` of fingers by number; lifting none by number lifts all."""
        touches = [{"x": x, "y": y, "id": finger} for finger, (x, y) in points.items()]
        self._ask("Input.dispatchTouchEvent", type=kind, touchPoints=touches)

    def resize(self, width, height):
        """Make the window as large as said (pixels)."""
        self._ask("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)

    def picture(self):
        """What is seen, as an array of RGB pixels."""
        png = base64.b64decode(self._ask("Page.captureScreenshot", format="png")["data"])
        return np.asarray(Image.open(io.BytesIO(png)).convert("RGB"))

    def wheel(self, at, down, *, across=0):
        """Turn the wheel at a point, away from the user or down, or push it to a side."""
        self._ask("Input.dispatchMouseEvent", type="mouseWheel", x=at[0], y=at[1], deltaX=across, deltaY=down)
