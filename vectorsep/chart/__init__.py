"""The test chart: films that a shop prints once to measure its own press, and the sheet that says how to read them."""

from vectorsep.chart.films import make_chart

__all__ = ["make_chart"]
