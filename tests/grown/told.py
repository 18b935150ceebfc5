"""What the tool tells about a build, in the judge's terms, and whether its proofs hold."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from analyzer.base.policy import Policy
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.solution.solution import Conflict, State
from tests.judge.placed import Place
from tests.judge.verdicts import Verdict

#: Every place of a finding is named, however many there are.
EVERY_PLACE = Policy(worst_places=10**6)


@dataclass(frozen=True)
class Told:
    """One network: what of a `Verdict` the tool tells. See there."""

    members: tuple[Place, ...]
    state: str
    conflict: str | None
    speeds: dict[Place, Fraction | None]
    capacity: Fraction
    demand: Fraction | None
    loops: tuple[int, ...]
    paths: tuple[int, ...]
    over_speed: frozenset[Place]


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
    loops = _findings(audit, network, "loop-conflict")
    paths = _findings(audit, network, "mover-conflict")
    fast = _findings(audit, network, "over-speed")
    overloaded = _findings(audit, network, "overload")
    state = State(solution.state[network])
    assert (len(overloaded) == 1) == (state is State.OVERLOADED)
    return Told(
        members=tuple(places),
        state=str(state),
        conflict=None if conflict is Conflict.NONE else str(conflict),
        speeds={place: solution.speed_rpm(row) for place, row in zip(places, rows, strict=True)},
        capacity=solution.capacity_power(network),
        demand=solution.demand_power(network),
        loops=tuple(sorted(len(_chain(finding)) for finding in loops)),
        paths=tuple(sorted(len(_chain(finding)) for finding in paths)),
        over_speed=frozenset(
            (finding.dimension, tuple(at)) for finding in fast for at in _every_place(finding)
        ),
    )


def _place(audit: Audit, row: int) -> Place:
    dimension = audit.parts.dimensions[int(audit.parts.dimension[row])]
    return (dimension, tuple(audit.parts.block_at(row)))


def _findings(audit: Audit, network: int, rule: str) -> list[Finding]:
    return [
        finding
        for finding in audit.findings.items
        if finding.network == network and finding.rule == rule
    ]


def _every_place(finding: Finding) -> list[tuple[int, int, int]]:
    places = [] if finding.at is None else [finding.at, *finding.also]
    assert len(places) == finding.count
    return places


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
        assert finding.witness.kind == "path" or product != 1
        assert finding.witness.shortest
