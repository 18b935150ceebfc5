"""One save of a fleet on its way through the stages."""

from __future__ import annotations

import os
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from analyzer.base.errors import SaveNotOpenedError, UsageError
from analyzer.base.limits import Limits
from analyzer.base.policy import Policy
from analyzer.pipeline.looked_for import wanted_for
from analyzer.pipeline.open_save import open_save
from analyzer.save.files.chosen_dimensions import choose_dimensions
from analyzer.save.files.level import clean_text
from analyzer.save.files.locate import UNNAMED
from analyzer.save.files.save_files import SaveFiles
from analyzer.save.files.watch import watched_anew
from analyzer.save.reading.call import Call
from analyzer.save.scan.record import ScanRecord
from analyzer.save.scan.scan_task import ScanTask

if TYPE_CHECKING:
    from analyzer.catalogue.catalogue import Catalogues
    from analyzer.findings.audit import Audit
    from analyzer.findings.ignores import Ignore
    from analyzer.pipeline.cache import Cache
    from analyzer.pipeline.request import Box


@dataclass(frozen=True)
class FleetOrder:
    """One save to audit, and what holds for it alone; the fields are those of `audit_save`."""

    path: Path
    catalogues: Catalogues | Sequence[str] = ()
    policy: Policy = Policy()  # noqa: RUF009 (frozen)
    ignores: Sequence[Ignore] = ()


@dataclass(frozen=True)
class Asking:
    """What is asked of every save alike; the fields are those of `audit_save`."""

    today: date | None
    dimensions: tuple[str, ...]
    box: Box | None
    every_byte: bool
    limits: Limits
    cache: Cache | None
    follow_links: bool = False


class FleetSave:
    """A save that is to be audited.

    Parameters
    ----------
    order, asking
        What is asked.
    catalogues
        The order's, loaded.

    Attributes
    ----------
    title
        The save's, or the name of its folder where it could not be opened.
    folder
        The name of its folder, or of the template.
    error
        Why it could not be opened, or has none of the dimensions asked for; else None.
    sources
        How many region files and templates it has.
    """

    def __init__(self, order: FleetOrder, asking: Asking, catalogues: Catalogues) -> None:
        self._order = order
        self._asking = asking
        self._catalogues = catalogues
        self._kept = ExitStack()
        self._fresh: dict[int, ScanRecord] = {}
        self._task: ScanTask | None = None
        self.error: SaveNotOpenedError | UsageError | None = None
        self._files: SaveFiles | None = None
        try:
            self._files = open_save(
                order.path, dimensions=asking.dimensions, follow_links=asking.follow_links
            )
            self._asked = choose_dimensions(self._files, asking.dimensions)
        except (SaveNotOpenedError, UsageError) as error:
            self.error = error
        self.sources = 0 if self.error is not None else len(self._asked.sources)
        self.folder = _folder(order.path)
        self.title = self.folder if self._files is None else self._files.title

    def check(self) -> None:
        """Raise UsageError where the cache's folder cannot be used with it."""
        if self._asking.cache is not None and self._files is not None:
            from analyzer.pipeline.cache import check_cache

            check_cache(self._asking.cache, self._files)

    def begin(self, stack: ExitStack) -> Sequence[Call[ScanRecord]]:
        """Return what is to be read of it.

        Parameters
        ----------
        stack
            Where it fails, nothing is kept of this save; closed after `audit` it does nothing.
        """
        if self.error is not None or self._files is None:
            return ()
        asking = self._asking
        # Before anything is known of its regions: others may have been read since it was opened.
        self._asked = watched_anew(self._asked)
        wanted = wanted_for(self._catalogues, every_byte=asking.every_byte)
        if asking.cache is None:
            self._task = ScanTask(self._asked, wanted, limits=asking.limits)
            return self._task.calls
        from analyzer.pipeline.cache import recalled

        stack.enter_context(self._kept)
        recall = self._kept.enter_context(
            recalled(asking.cache, self._files, self._asked, wanted, asking.limits)
        )
        self._task = ScanTask(
            self._asked,
            wanted,
            limits=asking.limits,
            known=recall.known,
            former=recall.former,
            learn=recall.learn,
        )
        if not self._task.calls:
            # So many may be known whole that their files cannot all be open.
            self._kept.close()
        return self._task.calls

    def take(self, number: int, record: ScanRecord) -> None:
        """Take in what one of the calls gave."""
        self._fresh[number] = record

    @property
    def is_read(self) -> bool:
        """Whether the calls have all been answered."""
        return self._task is not None and len(self._fresh) == len(self._task.calls)

    def audit(self) -> Audit:
        """Solve and judge it after it was read; what was read is let go."""
        from analyzer.pipeline.audit_scan import audit_scan

        task, self._task = self._task, None
        assert task is not None, "it was begun"
        scan = task.merge([self._fresh[number] for number in range(len(task.calls))])
        self._fresh.clear()
        self._kept.close()
        return audit_scan(
            scan,
            self._catalogues,
            policy=self._order.policy,
            ignores=self._order.ignores,
            today=self._asking.today,
            box=self._asking.box,
        )


def _folder(path: Path) -> str:
    # Not resolved: where a link leads says nothing to whoever gave its name.
    return clean_text(Path(os.path.abspath(path)).name) or UNNAMED  # noqa: PTH100
