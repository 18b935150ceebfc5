"""Equal saves give equal bytes, wherever and in whatever order the work was done."""

from __future__ import annotations

import os
import subprocess
import sys
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context
from typing import Any

from analyzer.catalogue.load import load_catalogues
from analyzer.findings.audit import Audit
from analyzer.pipeline.audit import audit_save
from analyzer.pipeline.survey import survey_save
from analyzer.pipeline.workers import FEW_REGIONS, workers_for
from analyzer.report.audit_json import iter_audit_json
from analyzer.report.audit_text import iter_audit_text
from analyzer.report.parts_csv import iter_parts_csv
from analyzer.report.survey_json import iter_survey_json
from analyzer.report.survey_list import iter_survey_list
from tests.support.demo import demo_audit, demo_save


class LastFirst(Executor):
    """Runs what it is given when the last call has come, the last one first."""

    def __init__(self, calls: int) -> None:
        self._calls = calls
        self._waiting: list[tuple[Future[Any], Any]] = []

    def submit(self, fn: Any, /, *args: Any, **kwargs: Any) -> Future[Any]:
        future: Future[Any] = Future()
        self._waiting.append((future, lambda: fn(*args, **kwargs)))
        if len(self._waiting) == self._calls:
            for waiting, call in reversed(self._waiting):
                waiting.set_result(call())
        return future


def everything(audit: Audit) -> str:
    return "".join((*iter_audit_json(audit), *iter_audit_text(audit), *iter_parts_csv(audit)))


def audited(executor: Executor) -> str:
    return everything(audit_save(demo_save(), catalogues=["quayworks"], executor=executor))


def test_threads_and_processes_and_any_order_give_the_same_bytes() -> None:
    here = everything(demo_audit())
    with ThreadPoolExecutor(3) as threads:
        assert audited(threads) == here
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as processes:
        assert audited(processes) == here
    regions = len(demo_audit().scan.coverage.regions)
    assert audited(LastFirst(min(regions, 4 * (os.cpu_count() or 1)))) == here


def test_an_inventory_is_the_same_on_threads() -> None:
    nothing = load_catalogues([])
    with ThreadPoolExecutor(3) as threads:
        there = survey_save(demo_save(), executor=threads)
    here = survey_save(demo_save())
    for one, other in ((there, here),):
        assert "".join(iter_survey_json(one, nothing)) == "".join(iter_survey_json(other, nothing))
        assert "".join(iter_survey_list(one)) == "".join(iter_survey_list(other))


def test_reading_every_byte_changes_what_was_looked_at_and_nothing_else() -> None:
    whole = audit_save(demo_save(), catalogues=["quayworks"], every_byte=True)
    assert "".join(iter_parts_csv(whole)) == "".join(iter_parts_csv(demo_audit()))
    assert whole.findings == demo_audit().findings


def test_the_seed_of_hashing_changes_nothing() -> None:
    def run(seed: str) -> bytes:
        command = [sys.executable, "-m", "analyzer.cli.main"]
        answers = b""
        for arguments in (
            ["audit", str(demo_save()), "--catalogue", "quayworks", "--format", "json"],
            ["audit", str(demo_save()), "--catalogue", "quayworks"],
            ["parts", str(demo_save()), "--catalogue", "quayworks"],
            ["survey", str(demo_save()), "--format", "json"],
        ):
            done = subprocess.run(
                [*command, *arguments],
                env={**os.environ, "PYTHONHASHSEED": seed},
                capture_output=True,
                check=False,
            )
            assert done.stderr == b""
            answers += done.stdout
        return answers

    assert run("1") == run("2")


def test_a_few_regions_are_read_here_and_a_given_executor_is_used_as_it_is() -> None:
    with workers_for(FEW_REGIONS, None) as workers:
        assert workers is None
    with ThreadPoolExecutor(1) as threads, workers_for(10_000, threads) as workers:
        assert workers is threads


def test_progress_is_told_from_nothing_to_all_regions() -> None:
    told = []
    audit_save(demo_save(), catalogues=["quayworks"], progress=told.append)
    assert told[0].regions_done == 0
    assert told[-1].regions_done == told[-1].regions == len(demo_audit().scan.coverage.regions)
