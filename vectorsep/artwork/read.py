"""The reader in a screenful: SVG bytes in, painted shapes out."""

from __future__ import annotations

import numpy as np

from vectorsep.artwork.cascade import build_cascade
from vectorsep.artwork.document import parse_document
from vectorsep.artwork.elements import ElementWalk
from vectorsep.artwork.opacity import flatten_opacity
from vectorsep.artwork.page import lay_out_page
from vectorsep.artwork.regions import RegionMaker
from vectorsep.artwork.report import Report
from vectorsep.model import Artwork
from vectorsep.settings import ReadOptions


def read_artwork(data: bytes, options: ReadOptions = ReadOptions()) -> Artwork:  # noqa: B008 - frozen
    """Read SVG or gzipped SVG into painted shapes, in mm, cut at the page. Pure: no file, no network.

    Everything flat is drawn as SVG 2 says; everything else is refused at once, with its place, or left out with a
    notice each where the options say so. Raises ArtworkError.
    """
    document = parse_document(data)
    report = Report()
    cascade = build_cascade(document.root)
    page = lay_out_page(document.root, cascade.declared(document.root), options)
    nodes = ElementWalk(document, cascade, report, options, page).draw_page()
    notices = report.close(skip=options.skip_unprintable) + tuple(cascade.notices())
    with np.errstate(all="ignore"):  # the geometry engine leaves floating-point flags behind that mean nothing
        regions = RegionMaker(page.width_mm, page.height_mm)
        shapes = tuple(regions.painted(nodes))
        notices += regions.page_notices()
        if options.mixes_tints:
            flattened = flatten_opacity(shapes, options.tints_on, skip=options.skip_unprintable)
            shapes, notices = flattened.shapes, notices + flattened.notices
    return Artwork(page.width_mm, page.height_mm, shapes, page.notices + notices)
