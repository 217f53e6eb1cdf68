"""Art that print and screen paint otherwise: what holds for the art, and the one notice that says so."""

import pytest

from vectorsep.artwork import read_artwork
from vectorsep.cli import main

RED_ON_SCREEN = ".a{fill:hsl(20,80%,50%)} "


def art(style, body='<rect id="boat" class="a" width="9" height="9"/>', media=""):
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="30mm" viewBox="0 0 30 30">\n'
        f"<style{media}>{style}</style>\n{body}</svg>"
    ).encode()


def told(svg):
    artwork = read_artwork(svg)
    return [shape.hex for shape in artwork.shapes], [n for n in artwork.notices if n.code == "print-rules"]


def test_rules_for_print_hold_and_one_warning_says_what_a_screen_shows():
    hexes, (notice,) = told(art(RED_ON_SCREEN + "@media print{.a{fill:#00f}}"))
    assert hexes == ["#0000ff"]
    assert notice.severity == "warning"
    assert '<rect id="boat"> at line 3' in notice.message
    assert "fill is #00f here, hsl(20,80%,50%) there" in notice.message
    assert "remove the rules for print" in notice.message


@pytest.mark.parametrize(
    ("style", "hex_"),
    [
        ("@media print{.a{fill:#00f}} .a{fill:red}", "#ff0000"),
        (".a{fill:#00f} @media print{.a{fill:blue}}", "#0000ff"),
        (".a{fill:red} @media print{.b{fill:blue}}", "#ff0000"),
        (".a{fill:red} @media print, screen{.a{fill:blue}}", "#0000ff"),
        (".a{fill:red} @media screen{.a{fill:blue}}", "#0000ff"),
        (".a{fill:red} @media all{.a{fill:blue}}", "#0000ff"),
        (".a{fill:red} @media print{.a{page-break-after:always}}", "#ff0000"),
        (".a{fill:red} @media speech{.a{fill:blue}}", "#ff0000"),
        (".a{fill:red} @media not print{@media (min-width:9px){.a{fill:blue}} .a!{fill:blue}}", "#ff0000"),
    ],
)
def test_rules_that_change_nothing_are_not_told(style, hex_):
    assert told(art(style)) == ([hex_], [])


@pytest.mark.parametrize(
    "style", [".a{fill:red} @media not print{.a{fill:blue}}", ".a{fill:red} @media not print{.a{fill:blue !important}}"]
)
def test_rules_that_a_screen_alone_has_are_told_as_well(style):
    hexes, (notice,) = told(art(style))
    assert hexes == ["#ff0000"]
    assert "fill is red here, blue there" in notice.message


def test_a_whole_sheet_for_print_is_told_and_elements_are_counted():
    body = '<g class="a"><rect class="a" width="9" height="9"/><rect class="a" x="9" width="9" height="9"/></g>'
    _, (notice,) = told(art(".a{fill:#00f}", body, media=' media="print"'))
    assert notice.message.startswith("@media rules paint <g> at line 3, and 2 more elements otherwise")
    assert "fill is #00f here, not set there" in notice.message


def test_art_hidden_in_print_is_told():
    body = '<rect width="9" height="9"/><rect class="a" x="9" width="9" height="9"/>'
    hexes, (notice,) = told(art("@media print{.a{display:none}}", body))
    assert len(hexes) == 1
    assert "display is none here, not set there" in notice.message


def test_the_command_tells_it(tmp_path, capsys):
    design = tmp_path / "boat.svg"
    design.write_bytes(art(RED_ON_SCREEN + "@media print{.a{fill:#00f}}"))
    assert main(["separate", str(design), "--out", str(tmp_path / "out")]) == 0
    assert "otherwise than on a screen" in " ".join(capsys.readouterr().out.split())
