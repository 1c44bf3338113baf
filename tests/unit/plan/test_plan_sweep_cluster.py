"""A sweep shared out to a real cluster of two worker processes on this machine."""

from __future__ import annotations

import warnings

from tests.unit.plan.planning import asked

from corebath.plan.sweep import Sweep, make_times


def test_cells_are_the_same_on_a_cluster() -> None:
    sweep = Sweep(asked("pork loin", set_point_C=60.0), (0.015, 0.03, 0.06), (55.0, 60.0))
    told: list[int] = []
    with warnings.catch_warnings():
        # What the cluster's own parts warn of (ports, closing loops) is not ours to mend.
        warnings.simplefilter("ignore")
        from distributed import Client, LocalCluster

        with (
            LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None) as cluster,  # type: ignore[no-untyped-call]
            Client(cluster) as client,  # type: ignore[no-untyped-call]
        ):
            shared = make_times(sweep, client.get_executor(), lambda done, _: told.append(done))
    assert shared.rows == make_times(sweep).rows
    assert sorted(told) == [2, 4, 6]
