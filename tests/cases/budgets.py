"""Cases of power: what movers give and what machines ask for."""

from __future__ import annotations

from fractions import Fraction

from tests.cases.case import At, Case, Fault, Network, thin
from tests.cases.stairs import stair
from tests.support.sketch import sketch

GIVES = "A tide wheel has torque 32 at 8 rpm: it gives 32 x 8 = 256."
ASKS = "A strand layer has torque 8; on the wheel's own shaft it turns at 8 rpm: 8 x 8 = 64."


def _row(name: str, question: str, movers: int, machines: int, verdict: str) -> Case:
    """A row of movers and machines on one shaft, eastward from (2, 64, 2)."""
    capacity, demand = 256 * movers, 64 * machines
    first_machine = (2 + movers, 64, 2)
    return Case(
        name=name,
        question=question,
        working=(
            GIVES,
            ASKS,
            f"{movers} x 256 = {capacity} against {machines} x 64 = {demand}: {verdict}",
        ),
        blocks=sketch(" ".join(["wheel:e"] * movers + ["layer:e"] * machines)),
        networks=(
            Network(
                anchor=(2, 64, 2),
                state="overloaded" if demand > capacity else "turning",
                parts=movers + machines,
                capacity=str(capacity),
                demand=str(demand),
                speeds={(2 + x, 64, 2): "8" for x in range(movers + machines)},
            ),
        ),
        faults=_of_budget(first_machine, machines, demand, capacity),
    )


def _of_budget(at: At, machines: int, demand: int, capacity: int) -> list[Fault]:
    """What is wrong with a budget: too much is asked for, or less than a tenth is left."""
    if demand > capacity:
        return [Fault("overload", at, machines, str(demand), str(capacity))]
    if (capacity - demand) * 10 < capacity:
        return [thin(at, machines, str(capacity - demand), str(Fraction(capacity, 10)))]
    return []


def rows() -> list[Case]:
    return [
        _row(
            "three-machines-leave-room-on-one-mover",
            "Does one tide wheel carry three strand layers?",
            1,
            3,
            "64 are left.",
        ),
        _row(
            "four-machines-fill-one-mover",
            "Does one tide wheel carry four strand layers?",
            1,
            4,
            "full, which is not overloaded.",
        ),
        _row(
            "a-fifth-machine-overloads-one-mover",
            "Does one tide wheel carry five strand layers?",
            1,
            5,
            "64 too many, so none of the five turns.",
        ),
        _row(
            "two-movers-with-one-machine",
            "How much do two tide wheels keep over one strand layer?",
            2,
            1,
            "448 are left.",
        ),
        _row(
            "two-movers-filled-by-eight-machines",
            "How much do two tide wheels keep over eight strand layers?",
            2,
            8,
            "0 are left, which is not overloaded.",
        ),
        _row(
            "two-movers-overloaded-by-nine-machines",
            "How much do two tide wheels keep over nine strand layers?",
            2,
            9,
            "64 are missing, a headroom of -64.",
        ),
    ]


def torque_8_at_three_speeds() -> Case:
    asks = {"8": ("64", 0), "16": ("128", 1), "32": ("256", 2)}
    starts = dict(zip(asks, ((2, 64, 2), (2, 64, 5), (2, 64, 9)), strict=True))
    return Case(
        name="what-torque-8-asks-at-8-16-and-32-rpm",
        question="What does a machine of torque 8 ask for at 8, 16 and 32 rpm?",
        working=(
            "Three networks, each a tide wheel of 8 rpm and a spar lathe of torque 8.",
            "Each bull gear of 24 teeth on a trundle of 12 doubles the speed: 8, 16, 32 rpm.",
            "8 x 8 = 64, 8 x 16 = 128, 8 x 32 = 256.",
        ),
        blocks=[
            placed
            for rpm, (_, pairs) in asks.items()
            for placed in stair(starts[rpm], pairs, "lathe:x")
        ],
        networks=[
            Network(
                anchor=starts[rpm],
                state="turning",
                parts=2 + 2 * pairs,
                capacity="256",
                demand=demand,
                speeds={
                    starts[rpm]: "8",
                    _last(starts[rpm], pairs): f"{'-' if pairs % 2 else ''}{rpm}",
                },
            )
            for rpm, (demand, pairs) in asks.items()
        ],
        faults=(thin(_last(starts["32"], 2), 1, "0", "128/5"),),
    )


def torque_4_at_two_speeds() -> Case:
    asks = {"16": ("64", 1), "32": ("128", 2)}
    starts = dict(zip(asks, ((2, 64, 2), (2, 64, 6)), strict=True))
    return Case(
        name="what-torque-4-asks-at-16-and-32-rpm",
        question="What does a machine of torque 4 ask for at 16 and 32 rpm?",
        working=(
            "Two networks, each a tide wheel of 8 rpm and an oakum picker of torque 4.",
            "Each bull gear of 24 teeth on a trundle of 12 doubles the speed: 16, 32 rpm.",
            "4 x 16 = 64, 4 x 32 = 128.",
        ),
        blocks=[
            placed
            for rpm, (_, pairs) in asks.items()
            for placed in stair(starts[rpm], pairs, "picker:e")
        ],
        networks=[
            Network(
                anchor=starts[rpm],
                state="turning",
                parts=2 + 2 * pairs,
                capacity="256",
                demand=demand,
                speeds={_last(starts[rpm], pairs): f"{'-' if pairs % 2 else ''}{rpm}"},
            )
            for rpm, (demand, pairs) in asks.items()
        ],
    )


def _last(start: tuple[int, int, int], pairs: int) -> tuple[int, int, int]:
    """Where the machine behind the last pair of a stair stands."""
    x, y, z = start
    return (x + 1 + pairs, y + pairs, z + pairs)


def _at_16_rpm(machines: int, name: str, verdict: str) -> Case:
    demand = 128 * machines
    return Case(
        name=name,
        question=f"Does one tide wheel carry {machines} machine(s) of torque 8 at 16 rpm?",
        working=(
            GIVES,
            "A bull gear of 24 teeth on a trundle of 12 doubles 8 rpm to 16, the other way round.",
            f"Each lathe asks for 8 x 16 = 128, {machines} of them for {demand}: {verdict}",
        ),
        blocks=stair((2, 64, 2), 1, *["lathe:x"] * machines),
        networks=(
            Network(
                anchor=(2, 64, 2),
                state="overloaded" if demand > 256 else "turning",
                parts=3 + machines,
                capacity="256",
                demand=str(demand),
                speeds={(3, 64, 2): "8", (3, 65, 3): "-16", (4, 65, 3): "-16"},
            ),
        ),
        faults=_of_budget((4, 65, 3), machines, demand, 256),
    )


def at_16_rpm() -> list[Case]:
    return [
        _at_16_rpm(1, "one-machine-at-16-rpm", "128 are left."),
        _at_16_rpm(2, "two-machines-at-16-rpm-fill-one-mover", "full, not overloaded."),
        _at_16_rpm(3, "three-machines-at-16-rpm-overload-one-mover", "128 too many."),
    ]


def two_machines_at_32_keep_128() -> Case:
    return Case(
        name="two-movers-keep-128-over-two-machines-at-32-rpm",
        question="What do two tide wheels keep over a torque-8 and a torque-4 machine at 32 rpm?",
        working=(
            "Two tide wheels give 2 x 256 = 512.",
            "Two doublings make 32 rpm of 8.",
            "8 x 32 = 256 and 4 x 32 = 128: together 384, so 128 are left.",
        ),
        blocks=stair((2, 64, 2), 2, "lathe:x", "picker:e", movers=2),
        networks=(
            Network(
                anchor=(2, 64, 2),
                state="turning",
                parts=8,
                capacity="512",
                demand="384",
                speeds={(3, 64, 2): "8", (6, 66, 4): "32", (7, 66, 4): "32"},
            ),
        ),
    )


def one_doubling_more_uses_all() -> Case:
    return Case(
        name="doubling-the-second-machine-once-more-uses-all",
        question="May the torque-4 machine be doubled once more, from 32 rpm to 64?",
        working=(
            "Two tide wheels give 2 x 256 = 512.",
            "The lathe stays at 32 rpm: 8 x 32 = 256.",
            "Behind it a bull gear of 24 on a trundle of 12 doubles 32 rpm to 64: 4 x 64 = 256.",
            "256 + 256 = 512: all is used, and nothing is overloaded.",
        ),
        blocks=(
            *stair((2, 64, 2), 2, "lathe:x", movers=2),
            *sketch(
                """
                b24:x .
                .     .
                ---
                .     .
                t12:x picker:e
                """,
                at=(7, 66, 4),
            ),
        ),
        networks=(
            Network(
                anchor=(2, 64, 2),
                state="turning",
                parts=10,
                capacity="512",
                demand="512",
                speeds={(6, 66, 4): "32", (7, 66, 4): "32", (8, 67, 5): "-64"},
            ),
        ),
        faults=(thin((6, 66, 4), 2, "0", "256/5"),),
    )


def unequal_movers() -> Case:
    return Case(
        name="the-fastest-of-two-movers-leads",
        question="A mover of 8 rpm and one of 4 rpm stand on one shaft. What turns, and how fast?",
        working=(
            "Both turn the same way, so the faster leads: the shaft turns at 8 rpm.",
            "The slower one is dragged and still gives its rating: three walkers are torque 36, "
            "and 36 x 4 = 144.",
            "256 + 144 = 400 against the layer's 8 x 8 = 64.",
        ),
        blocks=sketch("tread:e,walkers=3 wheel:e layer:e"),
        networks=(
            Network(
                anchor=(2, 64, 2),
                state="turning",
                parts=3,
                capacity="400",
                demand="64",
                speeds={(2, 64, 2): "8", (4, 64, 2): "8"},
            ),
        ),
        faults=(Fault("unequal-movers", (2, 64, 2), 1, "8", "4", level="note"),),
        source="A convention of this project (docs/mechanics.md, Movers)",
    )


def idle() -> Case:
    return Case(
        name="a-network-without-an-active-mover-is-idle",
        question="A treadwheel that nobody walks in drives a strand layer. What is the network?",
        working=(
            "Without walkers the treadwheel is not active: it gives 0.",
            "Nothing drives, so the network is idle and the layer asks for 0.",
        ),
        blocks=sketch("tread:e,walkers=0 layer:e"),
        networks=(Network((2, 64, 2), "idle", 2, "0", "0", {}),),
        faults=(Fault("undriven-machines", (3, 64, 2), level="warning"),),
    )


def stored_rating() -> Case:
    return Case(
        name="a-mover-whose-speed-is-stored",
        question="A sluice wheel's gate stands at notch 12. What does it give, and drive how fast?",
        working=(
            "A notch is worth half an rpm: 12 x 0.5 = 6 rpm, and 16 x 6 = 96.",
            "The winch shaft crosses from its left (north, facing east) to its right.",
            "Two bull gears of 24 teeth at a right angle, the second one step east and one south: "
            "+ 1 x + 1, so the shaft southward turns at 6 rpm too.",
            "The winch keeps a pull of 10: 10 x 6 = 60.",
        ),
        blocks=sketch(
            """
            sluice:e b24:x .
            .        .     b24:z
            .        .     winch:e
            """,
            data={"sluice:e": {"Gate": {"Notches": 12}}, "winch:e": {"Pull": 10}},
        ),
        networks=(
            Network(
                anchor=(2, 64, 2),
                state="turning",
                parts=4,
                capacity="96",
                demand="60",
                speeds={(2, 64, 2): "6", (4, 64, 3): "6", (4, 64, 4): "6"},
            ),
        ),
    )


def cases() -> list[Case]:
    return [
        *rows(),
        torque_8_at_three_speeds(),
        torque_4_at_two_speeds(),
        *at_16_rpm(),
        two_machines_at_32_keep_128(),
        one_doubling_more_uses_all(),
        unequal_movers(),
        idle(),
        stored_rating(),
    ]
