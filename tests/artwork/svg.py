"""Small drawings for the reader's tests."""

from vectorsep.artwork import read_artwork
from vectorsep.settings import ReadOptions

PAGE = 'width="100mm" height="100mm" viewBox="0 0 100 100"'


def drawing(body, page=PAGE):
    """An SVG file of 100 x 100 mm, one user unit a millimetre."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" {page}>{body}</svg>'
    ).encode()


def shapes_of(body, page=PAGE, **options):
    """The painted shapes of a drawing."""
    return read_artwork(drawing(body, page), ReadOptions(**options)).shapes


def areas_of(body, page=PAGE, **options):
    """(hex, area in mm2) of every painted shape."""
    return [(shape.hex, shape.area.area) for shape in shapes_of(body, page, **options)]
