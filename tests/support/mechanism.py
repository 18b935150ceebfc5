"""A mechanism written down by hand: parts in a row and couplings between any of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from analyzer.base.block import BlockState
from analyzer.base.frame import FACES, pose_facing
from analyzer.base.place import Block
from analyzer.base.policy import Policy
from analyzer.base.ratio import tabulate
from analyzer.catalogue.catalogue import (
    Catalogues,
    Constant,
    Field,
    Governor,
    PartType,
    Port,
    PoseFixed,
    Source,
    Switch,
    Warnings,
)
from analyzer.couplings.couplings import Break, BrokenLinks, Couplings, Cuts, Governed, Kind
from analyzer.findings.audit import Audit
from analyzer.findings.case import Case
from analyzer.findings.judge import judge_audit
from analyzer.networks.group import group_networks
from analyzer.parts.parts import Parts, Rejected, Unusable
from analyzer.save.scan.bare import BareBlocks
from analyzer.save.scan.scan import (
    Candidates,
    Coverage,
    Leftovers,
    Readings,
    SaveFacts,
    Scan,
    SlotStatus,
)
from analyzer.solution.solve import solve_networks

OVERWORLD = "minecraft:overworld"


@dataclass(frozen=True)
class Part:
    """A shaft, a mover (with a rated speed) or a machine (with a torque alone)."""

    rated: Fraction | int | None = None
    torque: Fraction | int | None = None
    limit: Fraction | int | None = None
    strict: bool = False
    dimension: str = OVERWORLD
    set_rpm: Fraction | int | None = None
    follows: bool = False
    least: Fraction | int | None = None
    switch: bool = False

    @property
    def role(self) -> str:
        if self.rated is not None:
            return "mover"
        return "transmission" if self.torque is None else "machine"


SHAFT = Part()


def mover(rated: Fraction | int, torque: Fraction | int = 32, **more: object) -> Part:
    return replace(Part(rated=rated, torque=torque), **more)  # type: ignore[arg-type]


def machine(torque: Fraction | int = 8, **more: object) -> Part:
    return replace(Part(torque=torque), **more)  # type: ignore[arg-type]


def governor(set_rpm: Fraction | int, *, follows: bool = False) -> Part:
    """A governor; its governed port is its rim, so that no factor plays a part."""
    return Part(set_rpm=set_rpm, follows=follows)


def mechanism(
    parts: Sequence[Part],
    couplings: Sequence[tuple[int, int, Fraction | int]] = (),
    *,
    governed: Sequence[tuple[int, int, Fraction | int]] = (),
    cut: Sequence[int] = (),
    never_made: Sequence[int] = (),
    broken: Sequence[tuple[int, Break]] = (),
    unusable: Sequence[Unusable] = (),
    rejected: Sequence[Rejected] = (),
    warnings: Sequence[Warnings] = (),
    policy: Policy = Policy(),  # noqa: B008
    selected: Sequence[int] | None = None,
    scan: Scan | None = None,
    catalogues: bool = True,
) -> Case:
    """Solve the mechanism; part i lies at (i, 64, 0).

    Parts in `cut` aim at a chunk that is unreadable, those in `never_made` at an absent one. The
    warnings are those of the catalogues of lax and of strict parts, as far as given.
    """
    table = replace(
        parts_table(parts, catalogues=catalogues, warnings=warnings),
        unusable=tuple(sorted(unusable)),
        rejected=tuple(sorted(rejected)),
    )
    coupled = replace(
        couplings_table(couplings, (), governed),
        cuts=_cuts_table(cut, never_made),
        broken=_broken_table(broken),
    )
    networks = group_networks(table, coupled)
    chosen = np.ones(len(networks), bool)
    if selected is not None:
        chosen[:] = False
        chosen[list(selected)] = True
    return Case(
        scan=scan or scan_of(),
        parts=table,
        couplings=coupled,
        networks=networks,
        solution=solve_networks(table, coupled, networks, policy),
        policy=policy,
        selected=chosen,
    )


def audit_of(case: Case) -> Audit:
    """Judge a case and bundle it as the pipeline does."""
    findings = judge_audit(
        case.scan,
        case.parts,
        case.couplings,
        case.networks,
        case.solution,
        case.policy,
        case.selected,
    )
    return Audit(
        policy=case.policy,
        scan=case.scan,
        parts=case.parts,
        couplings=case.couplings,
        networks=case.networks,
        solution=case.solution,
        findings=findings,
        selected=case.selected,
    )


def parts_table(
    parts: Sequence[Part], *, catalogues: bool = True, warnings: Sequence[Warnings] = ()
) -> Parts:
    kinds = sorted(set(parts), key=repr)
    dimensions = tuple(sorted({part.dimension for part in parts}))
    numbers = tuple(
        sorted(
            {
                Fraction(v)
                for part in parts
                for v in (part.rated, part.torque, part.set_rpm, part.least, 1)
                if v is not None
            }
        )
    )

    def column(values: Sequence[Fraction | int | None]) -> np.ndarray:
        return np.array(
            [-1 if value is None else numbers.index(Fraction(value)) for value in values], np.int32
        )

    sources = tuple(
        Source("Sketch", "sketch", "1", "MIT", "hands", None, rule, 1, limits)  # type: ignore[arg-type]
        for rule, limits in zip(
            ("fastest", "conflict"), (*warnings, Warnings(), Warnings()), strict=False
        )
    )
    return Parts(
        catalogues=Catalogues(
            sources=sources if catalogues else (), types=tuple(map(_type_of, kinds))
        ),
        dimensions=dimensions,
        dimension=np.array([dimensions.index(part.dimension) for part in parts], np.int16),
        xyz=np.array([(i, 64, 0) for i in range(len(parts))], np.int32).reshape(-1, 3),
        type=np.array([kinds.index(part) for part in parts], np.int16),
        pose=np.full(len(parts), pose_facing(FACES.index("east")), np.int8),
        state=np.zeros(len(parts), np.int32),
        states=(BlockState("sketch:part"),),
        numbers=numbers,
        fields={
            Field.RATED_RPM: column([part.rated for part in parts]),
            Field.TORQUE: column([part.torque for part in parts]),
            Field.SET_RPM: column([part.set_rpm for part in parts]),
            Field.LEAST_RPM: column([part.least for part in parts]),
            Field.SWITCH: column([1 if part.switch else None for part in parts]),
        },
    )


def _type_of(part: Part) -> PartType:
    return PartType(
        block=f"sketch:{part.role}",
        source=int(part.strict),
        role=part.role,  # type: ignore[arg-type]
        entities=("sketch:part",),
        pose=PoseFixed(pose_facing(FACES.index("east"))),
        ends=(),
        rim=None,
        rated_rpm=None if part.rated is None else Constant(Fraction(part.rated)),
        torque=None if part.torque is None else Constant(Fraction(part.torque)),
        active=None,
        speed_limit_rpm=None if part.limit is None else Fraction(part.limit),
        fits="sketch",
        least_rpm=None if part.least is None else Constant(Fraction(part.least)),
        switch=Switch("clutch", (Port.RIM,), Constant(Fraction(1))) if part.switch else None,
        governor=None
        if part.set_rpm is None
        else Governor(Port.RIM, Constant(Fraction(part.set_rpm)), part.follows),
    )


def couplings_table(
    couplings: Sequence[tuple[int, int, Fraction | int]],
    cut: Sequence[int] = (),
    governed: Sequence[tuple[int, int, Fraction | int]] = (),
    guards: Sequence[int] | None = None,
) -> Couplings:
    rows = sorted((a, b, Fraction(ratio)) for a, b, ratio in couplings)
    held = sorted((part, other, Fraction(ratio)) for part, other, ratio in governed)
    ratios = sorted({ratio for _, _, ratio in (*rows, *held)})
    count = len(rows)
    anyway = np.full(len(held), -1, np.int8)
    return Couplings(
        a=np.array([a for a, _, _ in rows], np.int32),
        b=np.array([b for _, b, _ in rows], np.int32),
        kind=np.full(count, Kind.MESH, np.int8),
        port_a=np.zeros(count, np.int8),
        port_b=np.zeros(count, np.int8),
        ratio=np.array([ratios.index(ratio) for _, _, ratio in rows], np.int32),
        guard_a=np.full(count, -1, np.int8) if guards is None else np.array(guards, np.int8),
        guard_b=np.full(count, -1, np.int8),
        ratios=tabulate(ratios),
        governed=Governed(
            part=np.array([part for part, _, _ in held], np.int32),
            port=np.full(len(held), Port.RIM, np.int8),
            other=np.array([other for _, other, _ in held], np.int32),
            other_port=np.full(len(held), Port.RIM, np.int8),
            kind=np.full(len(held), Kind.MESH, np.int8),
            ratio=np.array([ratios.index(ratio) for _, _, ratio in held], np.int32),
            drives=np.ones(len(held), bool),
            guard_part=anyway,
            guard_other=anyway,
        ),
        broken=_broken_table(()),
        cuts=_cuts_table(cut),
    )


def _cuts_table(cut: Sequence[int], never_made: Sequence[int] = ()) -> Cuts:
    rows = sorted(
        [(part, SlotStatus.UNREADABLE) for part in cut]
        + [(part, SlotStatus.ABSENT) for part in never_made]
    )
    return Cuts(
        part=np.array([part for part, _ in rows], np.int32),
        port=np.zeros(len(rows), np.int8),
        towards=np.array(
            [(part, 64, -1 if status else 1) for part, status in rows], np.int64
        ).reshape(-1, 3),
        status=np.array([status for _, status in rows], np.uint8),
    )


def _broken_table(broken: Sequence[tuple[int, Break]]) -> BrokenLinks:
    rows = sorted(broken)
    return BrokenLinks(
        part=np.array([part for part, _ in rows], np.int32),
        towards=np.array([(part, 70, 0) for part, _ in rows], np.int64).reshape(-1, 3),
        reason=np.array([reason for _, reason in rows], np.int8),
    )


def scan_of(
    *,
    coverage: Coverage | None = None,
    unknown: Sequence[tuple[str, int]] = (),
    strangers: Sequence[tuple[str, int]] = (),
    bare: Sequence[tuple[Block, str]] = (),
    versions: Sequence[int] = (3465,),
) -> Scan:
    nothing = np.empty(0, np.int16)
    names = tuple(sorted({BlockState(name) for _, name in bare}))
    rows = sorted(bare)
    return Scan(
        dimensions=(OVERWORLD,),
        candidates=Candidates(
            dimension=nothing,
            xyz=np.empty((0, 3), np.int32),
            state=nothing.astype(np.int32),
            entity=nothing,
            data_version=nothing.astype(np.int32),
            readings=Readings(
                nothing.astype(np.int32),
                nothing,
                nothing.astype(np.int8),
                nothing.astype(np.int64),
                nothing.astype(np.float64),
            ),
            states=names,
            entities=(),
            paths=(),
        ),
        coverage=coverage or Coverage((), ()),
        leftovers=Leftovers(unknown=tuple(unknown)),
        facts=SaveFacts("Sketch", tuple(versions), None),
        bare=BareBlocks(
            dimension=np.zeros(len(rows), np.int16),
            xyz=np.array([at for at, _ in rows], np.int32).reshape(-1, 3),
            state=np.array([names.index(BlockState(name)) for _, name in rows], np.int32),
        ),
        strangers=tuple(strangers),
    )


def at(*parts: int) -> tuple[Block, ...]:
    return tuple(Block(part, 64, 0) for part in parts)
