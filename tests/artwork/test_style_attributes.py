"""Style attributes, read declaration by declaration, against the CSS parser tinycss2 on the whole of them."""

import pytest
import tinycss2
from svg import areas_of

from vectorsep.artwork.cascade import build_cascade
from vectorsep.artwork.document import parse_document

STYLES = (
    "fill:red;stroke:blue", ";fill : RED ;; stroke:blue;", "fill red;stroke:blue", "*fill:red;stroke:blue",
    "fill:red!important;fill:blue", "fill:red ! important ;stroke:blue", "fill:red:blue;stroke:blue",
    "fill:;stroke:red", "fill:rgb(1,2;3);stroke:red", "fill:url(a;b);stroke:red", "fill:red/*;*/;stroke:blue",
    "stroke:red;@x;fill:blue", "fill:'a;b';stroke:red", "fill:red;{stroke:blue};stroke-width:3",
    "fill:re\\;d;stroke:blue", "--a:b;stroke:red", "fill:red}stroke:blue;stroke:red", "fill:a]b;stroke:red",
    "fill:red\n;\tstroke:\nblue", "-->;fill:red", "fill",
)  # fmt: skip
NAMES = ("fill", "stroke", "stroke-width", "--a")


def declared_by_the_library(style):
    """What wins of these properties: the last, and important ones before others."""
    nodes = [node for node in tinycss2.parse_declaration_list(style, skip_comments=True) if node.type == "declaration"]
    values = sorted(((node.important, i, node) for i, node in enumerate(nodes)), key=lambda entry: entry[:2])
    found = {node.name: tinycss2.serialize(node.value).strip() for _, _, node in values}
    return {name: value for name, value in found.items() if name in NAMES and value}


@pytest.mark.parametrize("style", STYLES)
def test_a_style_declares_what_the_library_finds_in_it(style):
    root = parse_document(b'<svg xmlns="http://www.w3.org/2000/svg"/>').root
    root.set("style", style)
    assert build_cascade(root).declared(root) == declared_by_the_library(style)


def test_elements_of_one_style_are_painted_alike():
    body = "".join(f'<rect x="{x}" width="9" height="9" style="fill:gold;stroke:none"/>' for x in (0, 20, 40))
    assert areas_of(body) == [("#ffd700", 81.0)] * 3
