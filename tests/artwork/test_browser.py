"""Properties that only style sheets know, as a browser draws them: one picture of all probes by Chromium."""

import base64
import subprocess

import numpy as np
import pytest
from PIL import Image
from rendered import difference_share, painted_svg, rendered
from svg import drawing

from vectorsep.artwork import read_artwork

SIDE_PX = 200
SHARE = 0.0005
PAGE = f'width="{SIDE_PX}" height="{SIDE_PX}" viewBox="0 0 100 100"'
BOX = 'x="20" y="20" width="30" height="20" fill="teal"'
PROBES = {
    "translate": f'<rect {BOX} style="translate:30px 10%"/>',
    "rotate": f'<rect {BOX} style="rotate:20deg"/>',
    "scale": f'<rect {BOX} style="scale:150% .5"/>',
    "all and transform": f'<rect {BOX} style="translate:20px;rotate:.1turn;scale:1.5" transform="skewX(20)"/>',
    "about the middle": f'<rect {BOX} style="transform-box:fill-box;transform-origin:center;rotate:z 1rad;scale:2"/>',
    "percent of the own box": f'<rect {BOX} style="transform-box:fill-box;translate:50% 100%"/>',
    "percent in a transform": f'<rect {BOX} style="transform-box:fill-box;transform:translate(50%,100%)"/>',
    "prefixed": f'<rect {BOX} style="-webkit-transform:rotate(20deg);-webkit-transform-origin:50px 50px"/>',
    "of a group": f'<g style="translate:10px 20px;rotate:10deg"><rect {BOX}/></g>',
    "all": f'<g fill="red"><path d="M0 0H50V50H0Z" fill="teal" stroke="teal" style="all:unset"/><rect {BOX}/></g>',
}


@pytest.fixture(scope="module")
def pictures(tmp_path_factory, system_tool):
    """What Chromium draws of each probe, by name."""
    folder = tmp_path_factory.mktemp("browser")
    images = "".join(
        f'<img src="data:image/svg+xml;base64,{base64.b64encode(drawing(body, PAGE)).decode()}">'
        for body in PROBES.values()
    )
    (folder / "probes.html").write_text(f"<style>*{{margin:0}}img{{display:block}}</style>{images}")
    size = f"{SIDE_PX},{SIDE_PX * len(PROBES) + 200}"
    subprocess.run(
        [system_tool("chromium"), "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
         f"--user-data-dir={folder}/profile", f"--window-size={size}", f"--screenshot={folder}/probes.png",
         str(folder / "probes.html")], check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    whole = np.asarray(Image.open(folder / "probes.png").convert("RGB")).astype(int)
    return {name: whole[i * SIDE_PX : (i + 1) * SIDE_PX] for i, name in enumerate(PROBES)}


@pytest.mark.parametrize("name", PROBES)
def test_a_probe_looks_as_the_browser_draws_it(pictures, name):
    artwork = read_artwork(drawing(PROBES[name], PAGE))
    assert difference_share(rendered(painted_svg(artwork, SIDE_PX, SIDE_PX), SIDE_PX), pictures[name]) <= SHARE


def test_the_comparison_can_fail(pictures):
    artwork = read_artwork(drawing(f"<rect {BOX}/>", PAGE))
    plain = rendered(painted_svg(artwork, SIDE_PX, SIDE_PX), SIDE_PX)
    assert all(difference_share(plain, pictures[name]) > SHARE for name in PROBES if name != "all")
