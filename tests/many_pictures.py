"""Many small drawings as Chromium draws them, in one picture."""

import base64
import subprocess

import numpy as np
from PIL import Image

SIDE_PX = 200
PAGE = f'width="{SIDE_PX}" height="{SIDE_PX}" viewBox="0 0 100 100"'
"""A page of 100 x 100 units, as wide in pixels as the browser's picture of it."""


def on_page(body):
    """A drawing of these elements on such a page."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" {PAGE}>{body}</svg>'
    ).encode()


def browser_pictures(bodies, folder, chromium):
    """What Chromium draws of each of these bodies on such a page, by name. `folder` holds its files."""
    size = f"{SIDE_PX},{SIDE_PX * len(bodies) + 200}"
    subprocess.run(
        [chromium, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
         f"--user-data-dir={folder}/profile", f"--window-size={size}", f"--screenshot={folder}/probes.png",
         str(write_page(bodies, folder))], check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    return cut(np.asarray(Image.open(folder / "probes.png").convert("RGB")), bodies)


def write_page(bodies, folder):
    """A web page of all of them, one below the other; where it was written."""
    images = "".join(
        f'<img src="data:image/svg+xml;base64,{base64.b64encode(on_page(body)).decode()}">' for body in bodies.values()
    )
    page = folder / "probes.html"
    page.write_text(f"<!doctype html><style>*{{margin:0}}img{{display:block}}</style>{images}")
    return page


def cut(whole, bodies):
    """The picture of such a page, taken apart by name."""
    return {name: whole[i * SIDE_PX : (i + 1) * SIDE_PX, :SIDE_PX].astype(int) for i, name in enumerate(bodies)}
