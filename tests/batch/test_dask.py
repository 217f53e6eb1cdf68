"""A batch on a real Dask cluster of two worker processes on this machine."""

import os

import pytest

from vectorsep.batch import separate_batch
from vectorsep.batch.cluster import WorkersError, dask_executor
from vectorsep.cli import main

distributed = pytest.importorskip("distributed", reason="the optional extra `dask` is not installed")


@pytest.fixture(scope="module")
def cluster():
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0"
    ) as two_workers:
        yield two_workers


def test_two_workers_make_what_this_process_makes(draw, tmp_path, out, cluster):
    designs = [draw(f"{name}.svg", radius) for radius, name in enumerate("abcdef", 8)]
    with dask_executor(cluster.scheduler_address) as executor:
        assert executor.submit(os.getpid).result() != os.getpid()
        rows = separate_batch(designs, out, executor)
    here = separate_batch(designs, tmp_path / "here")
    assert rows == here
    for row in rows:
        for path in (tmp_path / "here" / row.folder).iterdir():
            assert (out / row.folder / path.name).read_bytes() == path.read_bytes()


def test_the_command_sends_its_work_to_the_cluster(draw, tmp_path, out, cluster, capsys):
    draw("a.svg")
    draw("b.svg", body="<text>x</text>")
    assert main(["batch", str(tmp_path / "art"), "--out", str(out), "--dask", cluster.scheduler_address]) == 2
    assert "2 designs: 1 safe, 0 not safe, 1 failed" in capsys.readouterr().out
    assert (out / "a" / "stacking-report.json").is_file()


def test_no_scheduler_is_told_with_its_address(monkeypatch):
    monkeypatch.setattr("vectorsep.batch.cluster.CONNECT_S", 0.5)
    with pytest.raises(WorkersError, match=r"tcp://127\.0\.0\.1:9"), dask_executor("tcp://127.0.0.1:9"):
        pass
