"""The style of an element, from what is declared there and what holds around it (CSS Cascade 4, chapters 4 and 7)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from vectorsep.artwork.lengths import Frame
from vectorsep.artwork.properties import INHERITED
from vectorsep.artwork.style import Style
from vectorsep.artwork.unread import unread
from vectorsep.artwork.values import resolved, with_fonts
from vectorsep.artwork.variables import substituted


def computed(declared: Mapping[str, str], parent: Style, frame: Frame) -> tuple[Style, Frame]:
    """The style of an element and the frame its lengths refer to, given its parent's.

    An opacity, keyword or width that cannot be read counts as not declared, and the style tells of it where it means
    something to other programs; paints are judged where they are used.
    """
    if not declared:
        return (replace(parent, own={}) if parent.own else parent), frame
    values, variables = substituted(declared, parent.variables)
    here = with_fonts(values, parent, frame)
    inherited, own = dict(parent.inherited), {}
    for name, text in values.items():
        value = resolved(name, text.strip(), parent, here)
        if value is None:
            continue
        if name in INHERITED:
            inherited[name] = value
        else:
            own[name] = value
    fault = parent.unread or unread(values, declared, parent, frame)
    return Style(inherited, own, variables, fault), here
