"""An existing distributed engine as the place where region files are read."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final

from analyzer.base.errors import UsageError
from analyzer.report.version import VERSION

if TYPE_CHECKING:
    from distributed import Client

#: The one engine there is.
DASK: Final = "dask"

_TIMEOUT_SECONDS: Final = 10


@contextmanager
def engine(given: str) -> Iterator[Executor]:
    """Give the executor of an engine that runs already; it is left running.

    Parameters
    ----------
    given
        ``dask:ADDRESS``, where a scheduler of dask.distributed answers.

    Raises
    ------
    UsageError
        Where there is no such engine, or its workers cannot read for this program.
    """
    scheme, _, address = given.partition(":")
    if scheme != DASK or not address:
        raise UsageError(f"no executor {given!r}; name one as {DASK}:ADDRESS.")
    try:
        from distributed import Client
        from distributed.comm.addressing import parse_address
        from distributed.comm.registry import get_backend
    except ImportError as error:
        raise UsageError(
            f"executor {given}: dask.distributed is not installed. Install lineshaft[{DASK}]."
        ) from error
    try:
        # A client of such an address would not be told of it before it is closed.
        get_backend(parse_address(address)[0])
        client = Client(address, timeout=_TIMEOUT_SECONDS, set_as_default=False)
    except (OSError, ValueError) as error:
        raise UsageError(f"executor {given}: no scheduler answers there.") from error
    with client:
        _check_workers(client, given)
        # Every call is to be made when it is asked for: a region may be read a second time.
        yield _Engine(client.get_executor(pure=False), sum(client.nthreads().values()))


class _Engine(Executor):
    """An executor that says how many calls it can run at once."""

    def __init__(self, executor: Executor, workers: int) -> None:
        self._executor = executor
        self.workers = workers

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Have a function called on one of the workers; all must be picklable."""
        return self._executor.submit(fn, *args, **kwargs)


def worker_version() -> str:
    """Return the version of this program where it is called."""
    return VERSION


def _check_workers(client: Client, given: str) -> None:
    """Refuse workers that would not read as this program does."""
    versions = client.run(worker_version, on_error="return")
    if not versions:
        raise UsageError(f"executor {given}: it has no worker. Start some first.")
    told = {f"worker {worker}": versions[worker] for worker in sorted(versions)}
    try:
        # It takes apart what it hands on.
        told["scheduler"] = client.run_on_scheduler(worker_version)
    except Exception as error:
        told["scheduler"] = error
    for where, version in told.items():
        if version != VERSION:
            has = f"has version {version}" if isinstance(version, str) else "is missing"
            raise UsageError(
                f"executor {given}: on its {where} lineshaft {has}; this is version {VERSION}."
            )
