"""Choosing the numbers: what each pair of spread and choke would cost a design, and which pair the press calls for."""

from vectorsep.advise.chart import draw_chart
from vectorsep.advise.sweep import Advice, PairCost, advise

__all__ = ["Advice", "PairCost", "advise", "draw_chart"]
