"""Dask's executor, for a batch that goes past one machine. Needs the optional extra `dask`."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from concurrent.futures import Executor

from vectorsep.errors import VectorsepError

CONNECT_S = 10
"""How long to wait for a scheduler before saying that there is none."""


class WorkersError(VectorsepError):
    """The workers that were asked for cannot be had."""


@contextlib.contextmanager
def dask_executor(address: str) -> Iterator[Executor]:
    """The executor of the Dask scheduler at an address, such as `tcp://10.0.0.5:8786`, closed afterwards.

    Raises WorkersError when Dask is not installed or no scheduler answers.
    """
    try:
        from distributed import Client  # noqa: PLC0415 # an optional extra, and slow to import
    except ImportError as error:
        raise WorkersError("--dask needs an optional extra: pip install 'vectorsep[dask]'") from error
    try:
        client = Client(address, timeout=CONNECT_S)
    except (OSError, ValueError) as error:
        raise WorkersError(
            f"--dask {address}: no Dask scheduler answers there ({error}); start one, or mend the address"
        ) from error
    with client:
        yield client.get_executor()
