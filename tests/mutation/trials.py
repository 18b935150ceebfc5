"""Each mutant in a process of its own, forked where the tests were collected once."""

from __future__ import annotations

import argparse
import gc
import json
import os
import pickle
import random
import resource
import signal
import sys
import tempfile
import time
from collections import Counter, defaultdict
from pathlib import Path
from typing import IO

import pytest
from hypothesis import HealthCheck, Phase, settings

from tests.mutation.mutants import RESULTS, function_of, mutants_in, results, sampled

KEPT = Path("..") / RESULTS
#: A test may take so many seconds of processor time, and so many times what it takes without.
PATIENCE_S, PATIENCE_TIMES = 5.0, 10.0
#: And so many seconds of the clock, should it wait for something that does not come.
WAIT_S = 600.0
MEMORY_BYTES = 4 << 30


def run_mutants(asked: argparse.Namespace) -> int:
    """Run the mutants that are asked for through the tests that are."""
    # What fails is not looked at, so no example is made smaller; a busy machine fails nothing.
    settings.register_profile(
        "mutants",
        phases=[Phase.explicit, Phase.generate],
        database=None,
        deadline=None,
        derandomize=True,
        suppress_health_check=list(HealthCheck),
    )
    settings.load_profile("mutants")
    quick = ["-p", "no:cacheprovider", "--tb=no", "--assert=plain"]
    return int(pytest.main([*quick, *asked.tests], plugins=[Trials(asked)]))


class Trials:
    """What pytest does with the tests it collected, in place of running them."""

    def __init__(self, asked: argparse.Namespace) -> None:
        self.asked = asked
        self.killers: defaultdict[str, Counter[str]] = defaultdict(Counter)
        self.running: dict[int, tuple[str, IO[bytes]]] = {}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Leave out the docstring examples of the mutants themselves."""
        items[:] = [item for item in items if "__mutmut_" not in item.nodeid]

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Run each mutant through the tests that reach it."""
        import analyzer

        assert Path(analyzer.__file__).is_relative_to(Path.cwd()), "not the mutants"
        self.items = {item.nodeid: item for item in session.items}
        self.reach, self.cost_s = _look(session, self.asked.looked)
        self.place = {name: i for i, name in enumerate(self.items)}
        names = self._asked_for()
        gc.collect()
        gc.freeze()
        print(f"{len(names)} mutants, {len(self.items)} tests", file=sys.stderr)
        for i, name in enumerate(names):
            if not self.reach.get(function_of(name)):
                self._write(name, "survived", "no test", 0.0)
                continue
            while len(self.running) >= self.asked.jobs:
                self._wait()
            self._start(name)
            if i % 50 == 0:
                print(i, name, file=sys.stderr, flush=True)
        while self.running:
            self._wait()
        return True

    def _asked_for(self) -> list[str]:
        self.hashes = mutants_in(Path(), self.asked.mutants)
        names = sampled(self.hashes, self.asked.sample, self.asked.seed)
        random.Random(self.asked.seed).shuffle(names)
        done = results(KEPT, self.hashes)
        if self.asked.survivors:
            return [name for name in names if done.get(name, {}).get("status") == "survived"]
        return [name for name in names if self.asked.again or name not in done]

    def _start(self, mutant: str) -> None:
        # A file, since a pipe that nobody reads would stop the child when it is full.
        names = tempfile.TemporaryFile()  # noqa: SIM115 (closed where the child has ended)
        child = os.fork()
        if child:
            self.running[child] = (mutant, names)
            return
        status = 1
        try:
            status = self._try(mutant, names.fileno())
        finally:
            os._exit(status)

    def _try(self, mutant: str, into: int) -> int:
        """Run tests until one fails; tell which is running."""
        _be_quiet()
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
        _act_as(mutant)
        names = self._order(function_of(mutant))
        left_s = self.asked.seconds
        for name, after in zip(names, [*names[1:], None], strict=True):
            left_s -= self.cost_s[name]
            if left_s < 0:
                break
            os.write(into, name.encode() + b"\n")
            limit_s = PATIENCE_S + PATIENCE_TIMES * self.cost_s[name]
            signal.setitimer(signal.ITIMER_PROF, limit_s)
            signal.setitimer(signal.ITIMER_REAL, WAIT_S)
            if _fails(self.items[name], None if after is None else self.items[after]):
                return 1
        return 0

    def _order(self, function: str) -> list[str]:
        reaching = sorted(self.reach[function], key=self.place.__getitem__)
        per_file: Counter[str] = Counter()
        for name in reaching:
            per_file[name.split("::")[0]] += int(1e6 * self.cost_s[name])
        own, module = self.killers[function], self.killers[function.rpartition(".")[0]]
        first = [name for name, _ in [*own.most_common(12), *module.most_common(12)]]
        first = [name for name in dict.fromkeys(first) if name in self.reach[function]]
        rest = sorted(
            (name for name in reaching if name not in first),
            key=lambda name: per_file[name.split("::")[0]],
        )
        return first + rest

    def _wait(self) -> None:
        child, status, used = os.wait4(-1, 0)
        if child not in self.running:
            return
        mutant, names = self.running.pop(child)
        with names:
            names.seek(0)
            lines = names.read().decode().splitlines()
        last = lines[-1] if lines else ""
        took = used.ru_utime + used.ru_stime
        if os.WIFEXITED(status) and os.WEXITSTATUS(status) == 0:
            self._write(mutant, "survived", f"{len(lines)} tests", took)
            return
        ended = os.WTERMSIG(status) if os.WIFSIGNALED(status) else 0
        late = ended in (signal.SIGPROF, signal.SIGALRM)
        function = function_of(mutant)
        self.killers[function][last] += 1
        self.killers[function.rpartition(".")[0]][last] += 1
        self._write(mutant, "timeout" if late else "killed", last, took)

    def _write(self, mutant: str, status: str, by: str, took_s: float) -> None:
        with KEPT.open("a", encoding="utf-8") as file:
            line = {"mutant": mutant, "hash": self.hashes[mutant], "status": status, "by": by}
            line["took_s"] = f"{took_s:.2f}"
            file.write(json.dumps(line) + "\n")


def _look(
    session: pytest.Session, kept: Path | None
) -> tuple[dict[str, set[str]], dict[str, float]]:
    """Return the tests that reach each function, and what each test takes in seconds.

    Looked for in a child, so that nothing that a test keeps is there when a mutant is tried. Taken
    from a file where one is named and there, else written to it.
    """
    if kept is not None and kept.exists():
        found: tuple[dict[str, set[str]], dict[str, float]] = pickle.loads(kept.read_bytes())
        return found
    out, into = os.pipe()
    child = os.fork()
    if not child:
        told = b""
        try:
            os.close(out)
            told = pickle.dumps(_reach_and_cost(session.items))
        finally:
            with os.fdopen(into, "wb") as file:
                file.write(told)
            os._exit(0)
    os.close(into)
    with os.fdopen(out, "rb") as file:
        told = file.read()
    os.waitpid(child, 0)
    reach, cost_s, failed = pickle.loads(told)
    assert not failed, f"fail without a mutant: {failed}"
    if kept is not None:
        kept.write_bytes(pickle.dumps((reach, cost_s)))
    return reach, cost_s


def _reach_and_cost(
    items: list[pytest.Item],
) -> tuple[dict[str, set[str]], dict[str, float], list[str]]:
    from mutmut.state import state

    _be_quiet()
    _act_as("stats")
    reach: dict[str, set[str]] = {}
    cost_s: dict[str, float] = {}
    failed = []
    for item, after in zip(items, [*items[1:], None], strict=True):
        began = time.process_time()
        if _fails(item, after):
            failed.append(item.nodeid)
        cost_s[item.nodeid] = time.process_time() - began
        for function in state()._stats:
            reach.setdefault(function, set()).add(item.nodeid)
        state()._stats.clear()
    return reach, cost_s, failed


def _act_as(mutant: str) -> None:
    from mutmut.mutation.trampoline import set_mutant_under_test

    set_mutant_under_test(mutant)


def _be_quiet() -> None:
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)


def _fails(item: pytest.Item, after: pytest.Item | None) -> bool:
    from _pytest.runner import runtestprotocol

    return any(one.failed for one in runtestprotocol(item, log=False, nextitem=after))
