"""``wardwright audit`` on copies of real plans with varied designs: one and two processes, and a local Dask cluster."""

import os
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path

import numpy as np
from bench.plans import twelve_detectors
from bench.routes import detached_house, with_twelve_detectors
from bench.table import Row

from wardwright.audit.engines import in_processes, on_cluster
from wardwright.audit.one_job import Task, Terms
from wardwright.audit.records import FAILED, Audited
from wardwright.audit.run import audit_folder
from wardwright.job.model import Job
from wardwright.storage.job_file import save_job

COPIES = 200
ALONE = 40
"""So many of them tell the rate of one process."""
TERMS = Terms("2026-01-02")


def varied_jobs(folder: Path, count: int) -> str:
    """Copies of the real detached house, or of the invented one where that is not here, every design another one."""
    premises = detached_house()
    base = twelve_detectors() if premises is None else with_twelve_detectors(premises)
    rng = np.random.default_rng(1)
    for number in range(count):
        devices = tuple(
            d.model_copy(update={"heading_rad": (d.heading_rad or 0.0) + float(rng.uniform(-0.5, 0.5))})
            for d in base.design.devices
            if rng.random() < 0.8
        )
        kept = {d.id for d in devices}
        zones = tuple(z for z in base.design.programme.zones if set(z.device_ids) <= kept)
        programme = base.design.programme.model_copy(update={"zones": zones})
        design = base.design.model_copy(update={"devices": devices, "programme": programme})
        job = Job(id=f"copy-{number}", title=f"Copy {number}", premises=base.premises, design=design)
        save_job(job, folder / f"copy-{number:03}.json")
    return "invented house" if premises is None else "real detached house"


def rows() -> list[Row]:
    """Measure."""
    from distributed import LocalCluster

    before = {name: os.environ.get(name) for name in ("WARDWRIGHT_CACHE", "OMP_NUM_THREADS")}
    os.environ.update(WARDWRIGHT_CACHE="off", OMP_NUM_THREADS="1")
    try:
        with tempfile.TemporaryDirectory() as kept:
            building = varied_jobs(Path(kept) / "jobs", COPIES)
            varied_jobs(Path(kept) / "alone", ALONE)

            def rate(engine: Callable[[Sequence[Task]], Iterator[Audited]], folder: str) -> float:
                begin = time.perf_counter()
                audit = audit_folder(Path(kept) / folder, TERMS, engine=engine)
                taken = time.perf_counter() - begin
                assert not [job.error for job in audit.jobs if job.verdict == FAILED]
                return len(audit.jobs) / taken

            one = rate(partial(in_processes, workers=1), "alone")
            two = rate(partial(in_processes, workers=2), "jobs")
            with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
                spread = rate(partial(on_cluster, address=cluster.scheduler_address), "jobs")
    finally:
        for name, value in before.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value
    return [
        Row(f"audit of {COPIES} jobs, {building}: 1 process, {ALONE} of them", f"{one:.2f} jobs/s"),
        Row("the same, 2 processes", f"{two:.2f} jobs/s", "1 process", f"{two / one / 2:.0%} of linear", "90 %"),
        Row(
            "the same, Dask cluster, 2 workers",
            f"{spread:.2f} jobs/s",
            "1 process",
            f"{spread / one / 2:.0%} of linear",
            "90 %",
        ),
    ]
