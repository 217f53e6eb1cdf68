"""SVG artwork to painted shapes."""

from vectorsep.artwork.read import read_artwork

__all__ = ["read_artwork"]
