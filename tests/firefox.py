"""Firefox driven as a person drives it, by WebDriver BiDi (a W3C draft): JSON over one socket of its own."""

import base64
import io
import json
import subprocess
import time
from contextlib import ExitStack
from pathlib import Path

import numpy as np
from PIL import Image
from websockets.sync.client import connect

PREFERENCES = {"datareporting.policy.dataSubmissionEnabled": False, "app.update.auto": False}
"""Neither a page of its own at the first start nor anything fetched."""
STARTED_S = 60
WIDTH_PX, HEIGHT_PX = 1000, 700


class Firefox:
    def __init__(self, program, profile):
        lines = [f"user_pref({json.dumps(name)}, {json.dumps(value)});\n" for name, value in PREFERENCES.items()]
        Path(profile, "user.js").write_text("".join(lines))
        self._process = subprocess.Popen(
            [program, "--headless", "--no-remote", "--remote-debugging-port=0", "--profile", str(profile)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        self._opened = ExitStack()
        self._opened.callback(self._end)
        self._count = 0
        try:
            address = f"ws://127.0.0.1:{self._port(profile)}/session"
            self._socket = self._opened.enter_context(connect(address, max_size=None))
            self._ask("session.new", capabilities={})
            self._tab = self._ask("browsingContext.getTree")["contexts"][0]["context"]
            self.resize(WIDTH_PX, HEIGHT_PX)
        except BaseException:
            self._opened.close()
            raise

    def _end(self):
        self._process.terminate()
        self._process.wait(timeout=20)

    def _port(self, profile):
        """The port that it listens on, which it writes down once it does."""
        told, until = Path(profile, "WebDriverBiDiServer.json"), time.monotonic() + STARTED_S
        while not (told.exists() and (text := told.read_text())):
            assert self._process.poll() is None and time.monotonic() < until, "Firefox did not start"
            time.sleep(0.05)
        return json.loads(text)["ws_port"]

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self._opened.close()

    def _ask(self, method, **parameters):
        self._count += 1
        self._socket.send(json.dumps({"id": self._count, "method": method, "params": parameters}))
        while True:
            answer = json.loads(self._socket.recv(timeout=120))
            if answer.get("id") == self._count:
                assert answer["type"] == "success", answer
                return answer["result"]

    def open(self, address):
        """A page, loaded anew."""
        self._ask("browsingContext.navigate", context=self._tab, url="about:blank", wait="complete")
        self._ask("browsingContext.navigate", context=self._tab, url=address, wait="complete")

    def run(self, script):
        """The value of an expression on the page."""
        expression = f"Promise.resolve({script}).then((value) => JSON.stringify(value) ?? 'null')"
        answer = self._ask("script.evaluate", expression=expression, target={"context": self._tab}, awaitPromise=True)
        assert answer["type"] == "success", answer
        return json.loads(answer["result"]["value"])

    def wait_for(self, condition):
        """Until an expression on the page is true."""
        until = time.monotonic() + 60
        while not self.run(f"Boolean({condition})"):
            assert time.monotonic() < until, f"{condition} never came true"
            time.sleep(0.02)

    def act(self, *sources):
        """What pointers, keys and wheels do, as WebDriver's actions (W3C WebDriver 2, 15.4)."""
        self._ask("input.performActions", context=self._tab, actions=list(sources))

    def resize(self, width, height, scale=None):
        """Make the window as large as said (CSS pixels), on a screen of so many of its own pixels each."""
        viewport = {"width": width, "height": height}
        self._ask("browsingContext.setViewport", context=self._tab, viewport=viewport, devicePixelRatio=scale)

    def picture(self):
        """What is seen, as an array of RGB pixels."""
        png = base64.b64decode(self._ask("browsingContext.captureScreenshot", context=self._tab)["data"])
        return np.asarray(Image.open(io.BytesIO(png)).convert("RGB"))

    def printed(self, width_cm, height_cm):
        """The page on paper of that size, as a PDF, with the page's own margins."""
        paper, none = {"width": width_cm, "height": height_cm}, {"top": 0, "bottom": 0, "left": 0, "right": 0}
        answer = self._ask("browsingContext.print", context=self._tab, page=paper, margin=none, background=False)
        return base64.b64decode(answer["data"])
