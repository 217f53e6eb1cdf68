"""A light table behind a real server, for as long as a test needs it."""

import threading
from contextlib import contextmanager

from vectorsep.tune import TuneServer


@contextmanager
def serving(table):
    with TuneServer(table) as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
        thread.start()
        try:
            yield server
        finally:
            server.shutdown()
            thread.join()
