"""The work of one design, as a worker does it: values in, values out, no disk, so any machine can do it."""

from __future__ import annotations

from dataclasses import dataclass

from vectorsep.batch.result import Outcome, failure, result_of
from vectorsep.errors import VectorsepError, unforeseen
from vectorsep.pipeline import separate
from vectorsep.settings import Settings


@dataclass(frozen=True, slots=True)
class Work:
    """All that separating one design needs. It is pickled on its way to a worker."""

    svg: bytes
    settings: Settings
    job_name: str


def do_work(work: Work) -> Outcome:
    """Separate one design. Never raises: what goes wrong is told in the outcome, whoever's fault it is."""
    try:
        job, files = separate(work.svg, work.settings, work.job_name)
    except VectorsepError as error:
        return failure(str(error))
    except Exception as error:  # one design's defect must not stop the others
        return failure(defect_message(error))
    return Outcome(result_of(job), files)


def defect_message(error: BaseException) -> str:
    """What the summary says of an error that no design should be able to cause."""
    return f"{unforeseen(error, of='this program or of its workers')}; nothing was written"
