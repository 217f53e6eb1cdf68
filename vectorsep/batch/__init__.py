"""Many designs at once: each in a folder of its own, none stopping another, the done ones skipped."""

from vectorsep.batch.designs import BatchDesign, find_designs, settings_beside
from vectorsep.batch.result import Result, Row
from vectorsep.batch.run import separate_batch
from vectorsep.batch.summary import write_summary

__all__ = ["BatchDesign", "Result", "Row", "find_designs", "separate_batch", "settings_beside", "write_summary"]
