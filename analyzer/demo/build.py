"""The demo save as a whole."""

from __future__ import annotations

from pathlib import Path

from analyzer.base.errors import UsageError
from analyzer.demo import levers, neglect, oddments, quay, rigging, troubles, undercroft
from analyzer.demo.content import Content
from analyzer.demo.expect import (
    OVERWORLD,
    UNDERCROFT,
    Build,
    ExpectedFinding,
    ExpectedNetwork,
)
from analyzer.demo.write import write_save


def build_demo(folder: Path) -> None:
    """Write the demo save: a boatyard and ropewalk by a tidal quay.

    Equal calls write equal files.

    Parameters
    ----------
    folder
        Folder to write into: missing, or empty.

    Raises
    ------
    UsageError
        Where the folder holds something, or is no folder.
    """
    if folder.exists() and not (folder.is_dir() and not any(folder.iterdir())):
        raise UsageError(
            f"{folder} is not an empty folder. Name one that is empty or does not exist yet."
        )
    above = tuple(
        placed for each in builds() if each.dimension == OVERWORLD for placed in each.placements
    )
    below = tuple(
        placed for each in builds() if each.dimension == UNDERCROFT for placed in each.placements
    )
    write_save(
        folder,
        {
            OVERWORLD: Content(
                placements=(*above, *oddments.store_room(), *oddments.leftovers()),
                broken=oddments.DAMAGED,
            ),
            UNDERCROFT: Content(placements=below),
        },
        title="Quayworks boatyard and ropewalk",
    )


def builds() -> tuple[Build, ...]:
    """Return everything in the demo save that makes a network."""
    return (
        quay.ropewalk(),
        quay.spar_shed(),
        quay.slipway(),
        quay.pitch_house(),
        quay.sharpening_bench(),
        rigging.rigging_loft(),
        rigging.hauling_shed(),
        rigging.chain_house(),
        rigging.boring_bench(),
        levers.hemp_store(),
        levers.keel_slip(),
        levers.lock_house(),
        levers.ebb_house(),
        levers.mill_mound(),
        levers.watch_hill(),
        levers.clutch_row(),
        troubles.mast_hall(),
        troubles.lantern_corner(),
        troubles.tar_yard(),
        troubles.twin_sluices(),
        troubles.signal_tower(),
        troubles.breakwater_hoist(),
        neglect.rival_regulators(),
        neglect.bare_sheave(),
        neglect.horse_whim(),
        neglect.refitted_spindle(),
        neglect.stuck_gate(),
        neglect.unweighed_boat(),
        neglect.lost_ledger(),
        undercroft.boring_vault(),
        undercroft.old_sail_loft(),
        oddments.spare_gear(),
        oddments.patched_shaft(),
    )


def expected_networks() -> tuple[ExpectedNetwork, ...]:
    """Return every network that an audit of the demo save should find, sorted by place."""
    return tuple(sorted(network for each in builds() for network in each.networks))


def expected_findings() -> tuple[ExpectedFinding, ...]:
    """Return every error and warning that an audit of the demo save should print."""
    whole = (
        ExpectedFinding(rule, OVERWORLD, None)
        for rule in ("not-understood", "record-missing", "unread-chunks")
    )
    return (*whole, *(finding for each in builds() for finding in each.findings))
