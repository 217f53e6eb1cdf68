"""The press sheet: heads, ink, and what the garment's dye calls for. Facts of the trade, no geometry."""

from vectorsep.press.sheet import plan_press, stack_findings

__all__ = ["plan_press", "stack_findings"]
