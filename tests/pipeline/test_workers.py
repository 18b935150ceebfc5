"""Where a save's regions are read."""

from __future__ import annotations

import os
from concurrent.futures import ProcessPoolExecutor

import pytest

from analyzer.base.errors import LineshaftError
from analyzer.pipeline import workers
from analyzer.pipeline.survey import survey_save
from analyzer.pipeline.workers import FEW_REGIONS, workers_for
from tests.support.demo import demo_save


def test_more_than_a_few_regions_are_read_on_processes_of_our_own(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    here = survey_save(demo_save())
    monkeypatch.setattr(workers, "FEW_REGIONS", 0)
    there = survey_save(demo_save())
    assert (there.rows, there.states, there.fields) == (here.rows, here.states, here.fields)


def test_one_processor_alone_needs_no_further_process(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "cpu_count", lambda: 1)
    with workers_for(FEW_REGIONS + 1, None) as given:
        assert given is None


def ended() -> None:
    with workers_for(FEW_REGIONS + 1, None) as pool:
        assert isinstance(pool, ProcessPoolExecutor)
        pool.submit(os._exit, 3).result()


def test_a_process_that_is_ended_from_outside_ends_the_run(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    with pytest.raises(LineshaftError, match="ended from outside"):
        ended()
