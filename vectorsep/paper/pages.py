"""How templates become pages: every value escaped, nothing missing in silence."""

from __future__ import annotations

from functools import cache

import jinja2

from vectorsep.paper.wording import css_text, short_lines, shown_name, told_cm3, told_mm
from vectorsep.units import counted, format_mm

FILTERS = {
    "name": shown_name,
    "mm": format_mm,
    "told_mm": told_mm,
    "told_cm3": told_cm3,
    "counted": counted,
    "short_lines": short_lines,
    "css_text": css_text,
}


@cache
def page_environment(package: str) -> jinja2.Environment:
    """The templates of a package and those that all share: HTML, escaped; a name that is not given is an error.

    There is one environment for all jobs, since it takes longer to compile a template than to fill it in.
    """
    environment = jinja2.Environment(
        loader=jinja2.ChoiceLoader([jinja2.PackageLoader(package), jinja2.PackageLoader("vectorsep.paper")]),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(FILTERS)
    return environment
