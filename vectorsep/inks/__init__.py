"""Second stage: painted shapes become ink areas, what each colour must show in the finished print."""

from vectorsep.inks.separate import separate_inks

__all__ = ["separate_inks"]
