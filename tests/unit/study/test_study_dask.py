"""Beyond one machine: an executor of dask.distributed, with two workers of its own here."""

import pytest

from cableroute import read_job, study_many

distributed = pytest.importorskip("distributed")


@pytest.mark.filterwarnings("ignore")  # the cluster's own, as it goes down
def test_two_workers_of_dask_give_the_rows_of_this_process():
    job = read_job("data/workboat.toml")
    jobs = [("one", job), ("twin", job)]
    here = list(study_many(jobs, n=64))
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, dashboard_address=None
        ) as cluster,
        distributed.Client(cluster) as client,
        # equal tasks are merged otherwise, and their results come once
        client.get_executor(pure=False) as executor,
    ):
        there = list(study_many(jobs, executor=executor, n=64))
    assert sorted(there, key=repr) == sorted(here, key=repr)
