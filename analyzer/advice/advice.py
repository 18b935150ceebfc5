"""Advice: changes to a save, what each costs and gives up, and what holds before and after."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from types import MappingProxyType
from typing import Literal, TypeAlias

from analyzer.base.block import BlockState
from analyzer.base.place import Block
from analyzer.catalogue.catalogue import Field, Port
from analyzer.couplings.couplings import Kind
from analyzer.findings.audit import Audit
from analyzer.findings.findings import Finding
from analyzer.solution.solution import Conflict, State


@dataclass(frozen=True, order=True)
class Spot:
    """A position in a dimension."""

    dimension: str
    at: Block


@dataclass(frozen=True)
class Remove:
    """Take a part away."""

    spot: Spot


@dataclass(frozen=True)
class Put:
    """Put a part somewhere, in place of what stands there.

    Parameters
    ----------
    spot
        Where.
    state
        Its block state, of a type of the catalogues.
    numbers
        What it stores, about its own front; what is left out has the catalogue's default.
    """

    spot: Spot
    state: BlockState
    numbers: tuple[tuple[Field, Fraction], ...] = ()


@dataclass(frozen=True)
class SetProperty:
    """Set a block property of a part, such as a switch."""

    spot: Spot
    property: str
    value: str


@dataclass(frozen=True)
class Flip:
    """Turn a part round, so that its front looks the opposite way."""

    spot: Spot


@dataclass(frozen=True)
class SetNumber:
    """Set a number that a part stores, such as a governor's speed; speeds about its own front."""

    spot: Spot
    field: Field
    value: Fraction


@dataclass(frozen=True)
class SetActive:
    """Let a mover drive, or not."""

    spot: Spot
    active: bool


@dataclass(frozen=True)
class Alongside:
    """Put more movers of the same type and rating on the shaft of one that is there.

    They need no place yet: each gives the power that the one there gives.
    """

    spot: Spot
    count: int


@dataclass(frozen=True, order=True)
class Joint:
    """A coupling by what it couples: two parts of a dimension, how, and at which ports.

    `first` is the smaller by position, unless the coupling leads through a governed port: then it
    is the governor.
    """

    dimension: str
    first: Block
    second: Block
    kind: Kind
    first_port: Port
    second_port: Port


@dataclass(frozen=True)
class Cut:
    """Undo one coupling, in every state of its switches; the parts stay."""

    joint: Joint


@dataclass(frozen=True)
class Gearing:
    """Put gears into one coupling, so that all behind it changes together.

    Parameters
    ----------
    joint
        The coupling.
    behind
        The one of its two parts whose speed changes.
    factor
        Speed behind it per speed it had. A pair in mesh turns the sense round: below 0.
    gears
        Block names of the gear before and the gear behind; none for one reversing gear.
    """

    joint: Joint
    behind: Block
    factor: Fraction
    gears: tuple[str, str] | None = None


Edit: TypeAlias = (
    Remove | Put | SetProperty | Flip | SetNumber | SetActive | Alongside | Cut | Gearing
)


@dataclass(frozen=True)
class Weights:
    """What touching a part costs, by how it is touched; each at least 0.

    `gear` is for each gear of a pair, `cut` for a coupling that is undone, `add` also for movers
    put alongside.
    """

    remove: Fraction = Fraction(1)
    add: Fraction = Fraction(1)
    replace: Fraction = Fraction(1)
    flip: Fraction = Fraction(1)
    set: Fraction = Fraction(1)
    cut: Fraction = Fraction(1)
    gear: Fraction = Fraction(1)


@dataclass(frozen=True, order=True)
class Cost:
    """What remedies are compared by, in this order.

    Parameters
    ----------
    touched
        Weighted count of the parts touched.
    lost_rpm
        Sum over the machines of the speed each loses, in rpm: in an overloaded network, of what it
        would turn at.
    stopped
        Machines left without a drive whose speed was not known, since their network conflicts.
    places
        The positions touched, ascending.
    """

    touched: Fraction
    lost_rpm: Fraction
    stopped: int
    places: tuple[Block, ...]


@dataclass(frozen=True)
class Outline:
    """What one network does, before a change or after it.

    Parameters
    ----------
    id, dimension, anchor
        Its name, where it is, and its member smallest by position.
    state, conflict
        What it does, and why it cannot.
    parts, movers, machines
        How many members it has; movers that drive; machines.
    capacity_power, demand_power
        In the catalogues' unit; demand None where it is unknown.
    machines_rpm
        Sum of its machines' speeds, in rpm; None where one has none.
    cut
        Whether something that was not read may belong to it.
    findings
        What was found about it.
    """

    id: str
    dimension: str
    anchor: Block
    state: State
    conflict: Conflict
    parts: int
    movers: int
    machines: int
    capacity_power: Fraction
    demand_power: Fraction | None
    machines_rpm: Fraction | None
    cut: bool
    findings: tuple[Finding, ...]

    @property
    def headroom_power(self) -> Fraction | None:
        """Capacity less demand, or None where demand is unknown."""
        return None if self.demand_power is None else self.capacity_power - self.demand_power


@dataclass(frozen=True)
class Trial:
    """A change that was tried: the networks it touches as they are and as they would be.

    Both by dimension and anchor. A network that the change makes or unmakes is on one side alone.

    Parameters
    ----------
    edits
        The change.
    before, after
        The networks.
    audits
        The audits, before and after, of the part of the save in which it was tried.
    """

    edits: tuple[Edit, ...]
    before: tuple[Outline, ...]
    after: tuple[Outline, ...]
    audits: tuple[Audit, Audit] = field(repr=False, compare=False)


@dataclass(frozen=True)
class Lost:
    """What a remedy gives up.

    Parameters
    ----------
    stopped
        Machines that it leaves without a drive, ascending.
    slowed
        Machines that would turn slower, with the speed before and after in rpm, ascending.
    rpm
        Sum of the speeds that they lose, as far as known.
    """

    stopped: tuple[Block, ...] = ()
    slowed: tuple[tuple[Block, Fraction, Fraction], ...] = ()
    rpm: Fraction = Fraction(0)


@dataclass(frozen=True)
class Proof:
    """How it is known that no cheaper remedy of the kind exists.

    Parameters
    ----------
    by
        ``count``: follows from the amounts alone. ``enumeration``: all were looked at.
        ``program``: by an integer program. ``loops``: so many loops that contradict themselves
        share no part or coupling. ``none``: it is not known.
    found
        What was made least, such as a number of couplings.
    bound
        A number that nothing goes below.
    """

    by: Literal["count", "enumeration", "program", "loops", "none"]
    found: Fraction
    bound: Fraction

    @property
    def least(self) -> bool:
        """Whether nothing less exists."""
        return self.found == self.bound


#: Kinds of remedies, in the order in which those of equal cost are listed.
RemedyKind: TypeAlias = Literal[
    "add-movers",
    "switch-on",
    "disconnect-machines",
    "change-speed",
    "reverse",
    "turn-round",
    "set",
    "switch-off",
    "cut-couplings",
    "remove-parts",
]


@dataclass(frozen=True)
class Remedy:
    """One way to mend what a finding is about, tried by solving the changed parts again.

    Parameters
    ----------
    kind
        What is done.
    cost, lost
        What it costs and gives up.
    trial
        The edits, and the networks before and after.
    proof
        How it is known that none of its kind is cheaper.
    """

    kind: RemedyKind
    cost: Cost
    lost: Lost
    trial: Trial
    proof: Proof


@dataclass(frozen=True)
class Advice:
    """What to change about a save.

    Parameters
    ----------
    remedies
        For each finding that was looked at, by fingerprint: ways to mend it, the cheapest first;
        none where none was found.
    """

    remedies: Mapping[str, tuple[Remedy, ...]] = field(default_factory=lambda: MappingProxyType({}))
