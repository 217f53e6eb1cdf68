"""What a page shows, read off in the browser."""

import json

SHOWN = "document.body?.dataset.state === 'shown' && !looks.asking"
MIDDLE = (640, 350)
"""A point (pixels) well inside the view."""


def window(page):
    return page.run("state.window")


def per_mm(page):
    """Pixels a millimetre."""
    left, _, right, _ = window(page)
    return page.run("document.getElementById('view').clientWidth") / (right - left)


def drawn(page, name):
    """The path data of a plate on the page."""
    return page.run(f"document.querySelector('#view [data-plate={json.dumps(name)}] path')?.getAttribute('d')")


def text(page, name):
    return page.run(f"document.getElementById({name!r}).textContent")
