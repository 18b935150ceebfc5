"""Cases of what is missing, not known or not usable; and of what is not looked at."""

from __future__ import annotations

from dataclasses import replace

from nbtlib import Float, String

from analyzer.demo.content import place
from analyzer.demo.parts import part
from tests.cases.case import DAMAGED, Case, Fault, Network
from tests.support.sketch import sketch

AS_READ = {"level": "note", "certain": "as far as read"}
UNREAD = Fault("unread-chunks", None, level="warning")


def undriven_at_a_cut() -> Case:
    return Case(
        name="undriven-machines-beside-a-damaged-chunk-are-a-note",
        question="A strand layer's shaft leads into a chunk that cannot be read. Is it driven?",
        working=("Nothing that was read drives it; a mover may stand behind the damage: a note.",),
        blocks=sketch("layer:e shaft:x", at=(14, 64, 8)),
        broken=DAMAGED,
        networks=(Network((14, 64, 8), "idle", 2, "0", "0", {}, cut=True),),
        faults=(
            UNREAD,
            Fault("cut-network", (15, 64, 8), level="warning"),
            Fault("undriven-machines", (14, 64, 8), **AS_READ),
        ),
    )


def driving_nothing_at_a_cut() -> Case:
    return Case(
        name="a-mover-whose-shaft-leads-into-a-damaged-chunk-may-drive-something",
        question="A wheel's shaft leads into a chunk that cannot be read. Does it drive nothing?",
        working=("No machine was read; one may stand behind the damage: as far as read.",),
        blocks=sketch("wheel:e shaft:x", at=(14, 64, 8)),
        broken=DAMAGED,
        networks=(Network((14, 64, 8), "turning", 2, "256", "0", {(15, 64, 8): "8"}, cut=True),),
        faults=(
            UNREAD,
            Fault("cut-network", (15, 64, 8), level="warning"),
            Fault("driving-nothing", (14, 64, 8), **AS_READ),
        ),
    )


def unequal_at_a_cut() -> Case:
    return Case(
        name="unequal-movers-beside-a-damaged-chunk",
        question="Unequal movers' shaft leads into a chunk that cannot be read. Who leads?",
        working=(
            "The wheel's 8 rpm lead over the treadwheel's 4, as far as read.",
            "256 + 12 x 4 = 304 against 64.",
        ),
        blocks=sketch("tread:e,walkers=1 wheel:e layer:e", at=(13, 64, 8)),
        broken=DAMAGED,
        networks=(Network((13, 64, 8), "turning", 3, "304", "64", {(13, 64, 8): "8"}, cut=True),),
        faults=(
            UNREAD,
            Fault("cut-network", (15, 64, 8), level="warning"),
            Fault("unequal-movers", (13, 64, 8), measured="8", limit="4", **AS_READ),
        ),
    )


def conflicts_at_a_cut() -> Case:
    return Case(
        name="conflicts-beside-a-damaged-chunk-stand",
        question="A locked ring and opposed wheels reach into a chunk that cannot be read. Now?",
        working=(
            "What stands behind the damage can free neither: both stay errors.",
            "Of the ring's gears two stand at x = 15: the upright one's rim reaches four cells at "
            "x = 16 and the southward one's four too.",
        ),
        blocks=(
            *sketch(
                """
                wheel:e b24:x .
                .       .     b24:z
                ---
                .       .     b24:y
                """,
                at=(13, 64, 2),
            ),
            *sketch("wheel:e shaft:x wheel:w", at=(13, 64, 10)),
        ),
        broken=DAMAGED,
        networks=(
            Network((13, 64, 2), "conflicting", 4, "256", None, {}, conflict="loop", cut=True),
            Network((13, 64, 10), "conflicting", 3, "512", None, {}, conflict="movers", cut=True),
        ),
        faults=(
            UNREAD,
            Fault("cut-network", (15, 64, 3), 8, level="warning"),
            Fault("cut-network", (15, 64, 10), level="warning"),
            Fault("loop-conflict", (14, 64, 2), 3),
            Fault("mover-conflict", (13, 64, 10), 2, "8", "-8"),
        ),
    )


def unfinished() -> Case:
    return Case(
        name="an-overload-beside-an-unfinished-chunk-is-a-note",
        question="An overloaded row points into a chunk that the world has not finished. Now?",
        working=(
            "An unfinished chunk is not looked at: 320 of 256 are asked for, as far as read.",
            "That such a chunk is there is no damage, so nothing says that it could not be read.",
        ),
        blocks=sketch("wheel:e " + "layer:e " * 5, at=(10, 64, 8)),
        unfinished=[(1, 0)],
        networks=(
            Network((10, 64, 8), "overloaded", 6, "256", "320", {(15, 64, 8): "8"}, cut=True),
        ),
        faults=(
            Fault("cut-network", (15, 64, 8), level="warning"),
            Fault("overload", (11, 64, 8), 5, "320", "256", **AS_READ),
        ),
    )


def odd_numbers() -> Case:
    rows = {
        2: {"Gate": {"Notches": float("nan")}},
        5: {"Gate": {"Notches": String("twelve")}},
        8: {"Gate": {"Notches": 2 * 10**9}},
        11: {"Gate": {"Notches": 2 * 10**9 + 2}},
    }
    return Case(
        name="a-mover-whose-speed-cannot-be-used-does-not-drive",
        question="A gate's notches are NaN, a text, 2,000,000,000, and 2,000,000,002. What drives?",
        working=(
            "NaN and a text are no numbers: the wheels do not drive, and their networks count as "
            "cut, since what they give is not known.",
            "Numbers up to 10^9 can be used, as stored and after scaling; both of the last two are "
            "beyond that as they are stored.",
        ),
        blocks=[
            placed
            for z, data in rows.items()
            for placed in sketch("sluice:e layer:e", at=(2, 64, z), data={"sluice:e": data})
        ],
        networks=[Network((2, 64, z), "idle", 2, "0", "0", {}, cut=True) for z in rows],
        faults=[
            fault
            for z in rows
            for fault in (
                Fault("unusable-number", (2, 64, z), level="warning"),
                Fault("undriven-machines", (3, 64, z), **AS_READ),
            )
        ],
    )


def greatest_number() -> Case:
    return Case(
        name="a-stored-number-of-a-thousand-million-can-be-used",
        question="One boat needs a pull of 10^9, another one of the next float above. What now?",
        working=(
            "10^9 itself can be used: 8 x 10^9 of 256, an overload.",
            "The next float of 4 bytes is 10^9 + 64, beyond it: what the winch asks for is not "
            "known, and the network counts as cut.",
        ),
        blocks=[
            placed
            for z, pull in ((2, 1e9), (5, 1e9 + 64))
            for placed in sketch(
                "wheel:e winch:s", at=(2, 64, z), data={"winch:s": {"Pull": Float(pull)}}
            )
        ],
        networks=(
            Network((2, 64, 2), "overloaded", 2, "256", "8000000000", {(3, 64, 2): "-8"}),
            Network((2, 64, 5), "turning", 2, "256", None, {(3, 64, 5): "-8"}, cut=True),
        ),
        faults=(
            Fault("overload", (3, 64, 2), 1, "8000000000", "256"),
            Fault("unusable-number", (3, 64, 5), level="warning"),
        ),
    )


def without_its_data() -> Case:
    wheel, layer = sketch("wheel:e layer:e")
    return Case(
        name="a-mover-without-its-data-is-no-part",
        question="A tide wheel's block stands there without its block entity. Does it drive?",
        working=(
            "Without data the block is no part: its record is missing.",
            "The layer beside it is driven by nothing.",
            "An oak shaft needs no data, and the upper block of a wind engine is no part anyway.",
        ),
        blocks=(
            replace(wheel, entity=None),
            layer,
            part((4, 64, 2), "oak_shaft[axis=x]"),
            part((2, 64, 6), "wind_engine[brake=set,facing=west,half=lower]"),
            place((2, 65, 6), "quayworks:wind_engine[brake=set,facing=west,half=upper]"),
        ),
        networks=(
            Network((3, 64, 2), "idle", 2, "0", "0", {}),
            Network((2, 64, 6), "idle", 1, "0", "0", {}),
        ),
        faults=(
            Fault("record-missing", (2, 64, 2), level="warning"),
            Fault("undriven-machines", (3, 64, 2), level="warning"),
        ),
    )


def not_understood() -> Case:
    return Case(
        name="a-mover-with-an-unknown-property-is-not-understood",
        question="A treadwheel has 4 walkers, and another one says nothing of them. What drives?",
        working=(
            "The catalogue knows 0 to 3 walkers: neither is understood, and neither is a part.",
            "The layer between them is driven by nothing.",
        ),
        blocks=(
            *sketch("tread:e,walkers=4 layer:e", at=(2, 64, 2)),
            part((4, 64, 2), "treadwheel[facing=west]"),
        ),
        networks=(Network((3, 64, 2), "idle", 1, "0", "0", {}),),
        faults=(
            Fault("not-understood", (2, 64, 2), 2, level="warning"),
            Fault("undriven-machines", (3, 64, 2), level="warning"),
        ),
    )


def unknown() -> Case:
    return Case(
        name="blocks-of-the-namespace-that-no-catalogue-describes",
        question="Beside a row stand figureheads, a pennant, a chest by others, and a barrel.",
        working=(
            "Figureheads and the pennant are of the catalogue's namespace and not in it: two "
            "names, told in a note.",
            "What belongs to other namespaces is none of the catalogue's business.",
        ),
        blocks=(
            *sketch("wheel:e layer:e"),
            place((2, 64, 5), "quayworks:figurehead", {"id": "quayworks:figurehead"}),
            place((4, 64, 5), "quayworks:figurehead", {"id": "quayworks:figurehead"}),
            place((2, 65, 5), "quayworks:pennant[facing=south]"),
            place((6, 64, 5), "quayworks_stores:chest", {"id": "quayworks_stores:chest"}),
            place((8, 64, 5), "minecraft:barrel", {"id": "minecraft:barrel"}),
        ),
        networks=(Network((2, 64, 2), "turning", 2, "256", "64", {}),),
        faults=(Fault("unknown-blocks", None, 2, level="note"),),
    )


def nothing_known() -> Case:
    return Case(
        name="a-save-of-parts-by-other-makers",
        question="Two reels of another maker stand beside a barrel. Does the catalogue fit?",
        working=("No part is found, and the reels belong to neither the game nor the catalogue.",),
        blocks=(
            *(place((x, 64, 2), "ropemakers:reel", {"id": "ropemakers:reel"}) for x in (2, 3)),
            place((4, 64, 2), "minecraft:barrel", {"id": "minecraft:barrel"}),
        ),
        networks=(),
        faults=(Fault("nothing-known", None, 2, level="warning"),),
    )


def only_barrels() -> Case:
    return Case(
        name="a-save-without-any-parts",
        question="A barrel stands alone. Does the catalogue fit?",
        working=("The game's own blocks turn nothing: there is nothing that it should know.",),
        blocks=(place((4, 64, 2), "minecraft:barrel", {"id": "minecraft:barrel"}),),
        networks=(),
    )


def without_a_catalogue() -> Case:
    return Case(
        name="an-audit-without-a-catalogue-knows-no-part",
        question="A wheel and a layer are audited without any catalogue. What is known?",
        working=(
            "Without a catalogue no block is a part: that is said, and that two are not known.",
        ),
        blocks=sketch("wheel:e layer:e"),
        networks=(),
        faults=(
            Fault("no-catalogue", None, level="warning"),
            Fault("nothing-known", None, 2, level="warning"),
        ),
        catalogue="",
    )


def blind_end() -> Case:
    return Case(
        name="an-end-against-a-face-without-one-is-nearly-coupled",
        question="Shafts lead to the side of a shaft, to its end, and to air. What is nearly one?",
        working=(
            "Against its side: an end against a face without one.",
            "End to end they are coupled, and a shaft that leads to air aims at nothing.",
        ),
        blocks=sketch(
            """
            shaft:x shaft:z
            .       .
            .       .
            shaft:x shaft:x
            """
        ),
        networks=(
            Network((2, 64, 2), "idle", 1, "0", "0", {}),
            Network((2, 64, 5), "idle", 2, "0", "0", {}),
            Network((3, 64, 2), "idle", 1, "0", "0", {}),
        ),
        faults=(Fault("nearly-coupled", (2, 64, 2), level="note"),),
        hints=True,
    )


def short_rim() -> Case:
    return Case(
        name="a-rim-one-cell-short-is-nearly-coupled",
        question="Trundles stand side by side, one cell apart, and two cells apart. What is close?",
        working=(
            "Side by side they mesh. One cell apart they would if one moved a cell nearer.",
            "Two cells apart they are not even close.",
        ),
        blocks=sketch(
            """
            t12:x . . . t12:x . . . t12:x
            t12:x . . . .     . . . .
            .     . . . t12:x . . . .
            .     . . . .     . . . t12:x
            """
        ),
        networks=(
            Network((2, 64, 2), "idle", 2, "0", "0", {}),
            *(
                Network(at, "idle", 1, "0", "0", {})
                for at in ((6, 64, 2), (6, 64, 4), (10, 64, 2), (10, 64, 5))
            ),
        ),
        faults=(Fault("nearly-coupled", (6, 64, 2), level="note"),),
        hints=True,
    )


def cases() -> list[Case]:
    return [
        undriven_at_a_cut(),
        driving_nothing_at_a_cut(),
        unequal_at_a_cut(),
        conflicts_at_a_cut(),
        unfinished(),
        odd_numbers(),
        greatest_number(),
        without_its_data(),
        not_understood(),
        unknown(),
        nothing_known(),
        only_barrels(),
        without_a_catalogue(),
        blind_end(),
        short_rim(),
    ]
