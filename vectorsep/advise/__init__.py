"""Choosing the numbers: what each pair of spread and choke would cost a design, and which pair the press calls for."""

from vectorsep.advise.chart import draw_chart
from vectorsep.advise.sweep import Advice, PairCost, advise
from vectorsep.advise.table import table_lines

__all__ = ["Advice", "PairCost", "advise", "draw_chart", "table_lines"]
