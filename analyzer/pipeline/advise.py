"""Advice about an audited save: remedies for what was found, and changes tried."""

from __future__ import annotations

from collections.abc import Sequence

from analyzer.advice.advice import Advice, Trial
from analyzer.advice.advise import advise_audit
from analyzer.advice.change_text import parse_changes
from analyzer.advice.remedies.subject import Allowed
from analyzer.advice.spare.networks import SparePower, network_named, spare_power
from analyzer.advice.spare.spare import Spending
from analyzer.advice.workbench import try_edits
from analyzer.base.errors import UsageError
from analyzer.findings.audit import Audit


def advise_save(
    audit: Audit,
    *,
    allowed: Allowed = Allowed(),  # noqa: B008 (frozen)
    network: str | None = None,
) -> Advice:
    """Seek the cheapest ways to mend what an audit found.

    Parameters
    ----------
    audit
        The audit of the save; an audit without findings gives advice without remedies.
    allowed
        What may be done, and what it costs.
    network
        Name of the network whose findings are to be mended, as `lineshaft networks` lists it; None
        for those of all.

    Raises
    ------
    UsageError
        Where no network has that name.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from analyzer.demo.build import build_demo
    >>> from analyzer.pipeline.audit import audit_save
    >>> with tempfile.TemporaryDirectory() as name:
    ...     build_demo(Path(name))
    ...     audit = audit_save(name, catalogues=["quayworks"])
    >>> overload = next(one for one in audit.findings.items if one.rule == "overload")
    >>> [one.kind for one in advise_save(audit).remedies[overload.fingerprint]]
    ['add-movers', 'disconnect-machines', 'change-speed']
    """
    number = None if network is None else network_named(audit, network)
    return advise_audit(audit, allowed, network=number)


def spend_save(
    audit: Audit,
    spending: Spending = Spending(),  # noqa: B008 (frozen)
    *,
    network: str | None = None,
) -> SparePower:
    """Tell how best to spend the headroom of networks.

    Parameters
    ----------
    audit
        The audit of the save.
    spending
        What is made greatest, and how.
    network
        Name of a network, as `lineshaft networks` lists them; None for those that turn with the
        most headroom.

    Raises
    ------
    UsageError
        Where no network has that name, or a type of the spending is in no catalogue, or not one of
        its role.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from analyzer.demo.build import build_demo
    >>> from analyzer.pipeline.audit import audit_save
    >>> with tempfile.TemporaryDirectory() as name:
    ...     build_demo(Path(name))
    ...     audit = audit_save(name, catalogues=["quayworks"])
    >>> (spare,) = spend_save(audit, network="minecraft:overworld:3,64,5").networks
    >>> str(spare.worth_before), str(spare.worth), str(spare.left_power), spare.optimum.best
    ('16', '32', '0', True)
    """
    roles = {type_.block: type_.role for type_ in audit.parts.catalogues.types}
    for blocks, role in (
        ([block for _, block in spending.added], "mover"),
        ([block for block, _ in spending.weights], "machine"),
    ):
        for block in blocks:
            if roles.get(block) != role:
                raise UsageError(f"{block} is no {role} of the catalogues")
    number = None if network is None else network_named(audit, network)
    return spare_power(audit, spending, number)


def try_changes(audit: Audit, changes: Sequence[str], *, dimensions: Sequence[str] = ()) -> Trial:
    """Try changes without touching the save.

    Parameters
    ----------
    audit
        The audit of the save.
    changes
        Changes as docs/advice.md says how to write them; all are made, in this order.
    dimensions
        Dimensions that were asked about: where there is one, positions are in it.

    Raises
    ------
    UsageError
        Where a change is not understood or cannot be made.
    """
    dimension = dimensions[0] if len(set(dimensions)) == 1 else None
    return try_edits(audit, parse_changes(changes, audit, dimension))
