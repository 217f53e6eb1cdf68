"""A disc on cloth, whose plates' edges are known, and a window (mm) with its edge down the middle, at x = 50."""

RADIUS_MM = 20.0
CENTRE_MM = 30.0
DISC = f"""<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="60mm" viewBox="0 0 60 60">
<circle cx="{CENTRE_MM:g}" cy="{CENTRE_MM:g}" r="{RADIUS_MM:g}" fill="#c81e28"/></svg>"""
RIM_MM = (45.0, 25.0, 55.0, 35.0)

YELLOW_BY_BLACK = """<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="60mm" viewBox="0 0 100 60">
<rect x="20" y="10" width="30" height="40" fill="#f2c230"/>
<rect x="50" y="10" width="30" height="40" fill="#101012"/></svg>"""
"""Yellow that ends at black, at x = 50."""
