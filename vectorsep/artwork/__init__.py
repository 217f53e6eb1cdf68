"""SVG artwork to painted shapes."""

from vectorsep.artwork.document import MAX_BYTES
from vectorsep.artwork.read import read_artwork

__all__ = ["MAX_BYTES", "read_artwork"]
