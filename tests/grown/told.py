"""What the tool tells about a build, in the judge's terms, and whether its proofs hold."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from analyzer.base.policy import Policy
from analyzer.couplings.couplings import Break
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.solution.solution import Conflict, Motion, State
from tests.judge.placed import Place
from tests.judge.verdicts import Verdict

#: Every place of a finding is named, however many there are.
EVERY_PLACE = Policy(worst_places=10**6)


@dataclass(frozen=True)
class Told:
    """One network: what of a `Verdict` the tool tells. See there."""

    members: tuple[Place, ...]
    zones: tuple[tuple[Place, ...], ...]
    state: str
    conflict: str | None
    speeds: dict[Place, Fraction | None]
    capacity: Fraction
    demand: Fraction | None
    cut: bool
    loops: tuple[int, ...]
    paths: tuple[int, ...]
    out_of_range: frozenset[Place]
    over_speed: frozenset[Place]
    too_slow: frozenset[Place]
    dragged: frozenset[Place]
    broken: frozenset[tuple[Place, str]]
    unusable: frozenset[Place]


def told(audit: Audit) -> list[Told]:
    """Return what an audit tells about each network, in their order."""
    return [_network(audit, network) for network in range(len(audit.networks))]


def judged(verdicts: list[Verdict]) -> list[Told]:
    """Return what the judge says, as far as the tool tells it."""
    return [
        Told(**{name: getattr(verdict, name) for name in Told.__dataclass_fields__})
        for verdict in verdicts
    ]


def _network(audit: Audit, network: int) -> Told:
    solution = audit.solution
    rows = audit.networks.members(network).tolist()
    places = [_place(audit, row) for row in rows]
    conflict = Conflict(solution.conflict[network])
    state = State(solution.state[network])
    for rule, holds in (
        ("overload", state is State.OVERLOADED),
        ("governor-conflict", conflict is Conflict.GOVERNORS),
    ):
        assert len(_findings(audit, network, rule)) == holds
    loops = _findings(audit, network, "loop-conflict")
    paths = [
        finding
        for finding in _findings(audit, network, "mover-conflict")
        if conflict is Conflict.MOVERS and not finding.names
    ]
    return Told(
        members=tuple(places),
        zones=_zones(audit, rows),
        state=str(state),
        conflict=None if conflict is Conflict.NONE else str(conflict),
        speeds={place: solution.speed_rpm(row) for place, row in zip(places, rows, strict=True)},
        capacity=solution.capacity_power(network),
        demand=solution.demand_power(network),
        cut=bool(solution.cut[network]),
        loops=tuple(sorted(len(_chain(finding)) for finding in loops)),
        paths=tuple(sorted(len(_chain(finding)) for finding in paths)),
        out_of_range=frozenset(
            place for place, row in zip(places, rows, strict=True) if _is_beyond(audit, row)
        ),
        over_speed=_named(audit, network, "over-speed"),
        too_slow=_named(audit, network, "too-slow"),
        dragged=frozenset(
            place for place, row in zip(places, rows, strict=True) if solution.dragged[row]
        ),
        broken=_broken(audit, network),
        unusable=_unusable(audit, network),
    )


def _zones(audit: Audit, rows: list[int]) -> tuple[tuple[Place, ...], ...]:
    zones: dict[int, list[Place]] = {}
    for row in rows:
        zones.setdefault(int(audit.networks.zone[row]), []).append(_place(audit, row))
    return tuple(sorted(map(tuple, zones.values())))


def _is_beyond(audit: Audit, row: int) -> bool:
    """Return whether a part's speed is out of range, in a network that turns."""
    state = audit.solution.state[audit.networks.network[row]]
    motion = audit.solution.motion[audit.networks.zone[row]]
    return bool(motion == Motion.OUT_OF_RANGE and state == State.TURNING)


def _broken(audit: Audit, network: int) -> frozenset[tuple[Place, str]]:
    broken = audit.couplings.broken
    found = frozenset(
        (_place(audit, part), str(Break(reason)))
        for part, reason in zip(broken.part.tolist(), broken.reason.tolist(), strict=True)
        if audit.networks.network[part] == network
    )
    assert _named(audit, network, "broken-link") == {place for place, _ in found}
    return found


def _unusable(audit: Audit, network: int) -> frozenset[Place]:
    parts = [
        number.part
        for number in audit.parts.unusable
        if audit.networks.network[number.part] == network
    ]
    places = frozenset(_place(audit, part) for part in parts)
    for finding in _findings(audit, network, "unusable-number"):
        assert finding.count == len(parts)
        assert places == {(finding.dimension, tuple(at)) for at in _places(finding)}
    return places


def _named(audit: Audit, network: int, rule: str) -> frozenset[Place]:
    """Return every place that the findings of a rule name in a network."""
    return frozenset(
        (finding.dimension, tuple(at))
        for finding in _findings(audit, network, rule)
        for at in _every_place(finding)
    )


def stale(audit: Audit) -> list[frozenset[Place]] | None:
    """Return the parts with stale records by network.

    None where the tool says that the catalogue does not describe the save, and not which records
    it explains by that.
    """
    if any(finding.rule == "catalogue-mismatch" for finding in audit.findings.items):
        return None
    return [_named(audit, network, "stale-record") for network in range(len(audit.networks))]


def _place(audit: Audit, row: int) -> Place:
    dimension = audit.parts.dimensions[int(audit.parts.dimension[row])]
    return (dimension, tuple(audit.parts.block_at(row)))


def _findings(audit: Audit, network: int, rule: str) -> list[Finding]:
    return [
        finding
        for finding in audit.findings.items
        if finding.network == network and finding.rule == rule
    ]


def stale_places(audit: Audit) -> frozenset[Place] | None:
    """Return all parts with stale records, or None as `stale` does."""
    found = stale(audit)
    return None if found is None else frozenset().union(*found)


def _every_place(finding: Finding) -> list[tuple[int, int, int]]:
    places = _places(finding)
    assert len(places) == finding.count
    return places


def _places(finding: Finding) -> list[tuple[int, int, int]]:
    return [] if finding.at is None else [finding.at, *finding.also]


def _chain(finding: Finding) -> list[Place]:
    assert finding.witness is not None
    return [(finding.dimension, tuple(at)) for at in finding.witness.parts]


def check_proofs(audit: Audit, verdicts: list[Verdict]) -> None:
    """Walk along every witness and hold each step against the judge's couplings."""
    ratios: dict[tuple[Place, Place], set[Fraction]] = {}
    for verdict in verdicts:
        for coupling in verdict.couplings:
            ratios.setdefault((coupling.a, coupling.b), set()).add(coupling.ratio)
            ratios.setdefault((coupling.b, coupling.a), set()).add(1 / coupling.ratio)
        for drive in verdict.drives:
            ratios.setdefault((drive.governor, drive.other), set()).add(drive.ratio)
            ratios.setdefault((drive.other, drive.governor), set()).add(1 / drive.ratio)
    for finding in audit.findings.items:
        if finding.witness is None:
            continue
        chain = _chain(finding)
        assert len(set(chain)) == len(chain)
        if finding.witness.kind == "loop":
            chain.append(chain[0])
        product = Fraction(1)
        for here, there, ratio in zip(chain, chain[1:], finding.witness.ratios, strict=False):
            assert ratio in ratios[here, there]
            product *= ratio
        assert len(finding.witness.ratios) == len(chain) - 1
        assert product == finding.witness.product
        assert finding.rule != "loop-conflict" or product != 1
        assert finding.witness.shortest
