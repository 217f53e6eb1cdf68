"""The test chart: films that a shop prints once to measure its own press, and the sheet that says how to read them."""

from vectorsep.chart.films import RECORD, SHEET, make_chart, read_record

__all__ = ["RECORD", "SHEET", "make_chart", "read_record"]
