"""The only package that calls shapely operations. Regions in, regions out, lengths in millimetres."""
