"""Random entries of a catalogue: every key of the format but own offsets."""

from __future__ import annotations

import random
from typing import Any

from tests.grown.lies import POSES
from tests.grown.number_maker import NumberMaker, Stored
from tests.grown.tastes import Taste
from tests.judge.entries import PLACEMENTS
from tests.judge.vectors import add, scale

#: Own directions of the sides, as steps along front, top and right.
SIDES = {
    "front": (1, 0, 0),
    "back": (-1, 0, 0),
    "top": (0, 1, 0),
    "bottom": (0, -1, 0),
    "right": (0, 0, 1),
    "left": (0, 0, -1),
}
#: Kinds of types that carry a shaft and whatever else their names say.
THROUGH = ("shaft", "clutch", "reverser", "governor", "pulley")


def make_entry(
    rng: random.Random, taste: Taste, block: str, kind: str
) -> tuple[dict[str, Any], Stored]:
    """Invent an entry of a kind; return it with the values that its blocks may keep."""
    entity: list[str] | bool = rng.sample([block, f"{block}_old", "quayworks:drive"], 1)
    if rng.random() < 0.2:
        entity = [block, "quayworks:drive"]
    elif rng.random() < 0.15:
        entity = False
    numbers = NumberMaker(rng, constant=taste.constant, keeps_data=entity is not False)
    maker = _Maker(rng, taste, kind, numbers)
    role = kind if kind == "mover" else "machine" if "machine" in kind else "transmission"
    entry: dict[str, Any] = {"role": role, "entity": entity, "pose": maker.pose()}
    maker.add_joints(entry)
    maker.add_powers(entry)
    maker.add_controls(entry)
    if rng.random() < 0.15:
        entry["speed_limit_rpm"] = rng.choice([8, 32, 128])
    if taste.fits and rng.random() < 0.25:
        entry["fits"] = rng.choice(taste.fits)
    return entry, numbers.stored


class _Maker:
    """Makes one entry."""

    def __init__(self, rng: random.Random, taste: Taste, kind: str, numbers: NumberMaker) -> None:
        self.rng = rng
        self.taste = taste
        self.kind = kind
        self.numbers = numbers

    def pose(self) -> dict[str, Any]:
        rng = self.rng
        straight = self.kind in ("near", "far", *THROUGH)
        likely = [5, 1, 1, 1] if straight else [1, 4, 1, 2]
        rule = rng.choices(["axis", "facing", "fixed", "cases"], likely)[0]
        if rule == "axis":
            return {"axis": rng.choice(["axis", "lie"])}
        if rule == "facing":
            return {"facing": "facing"}
        if rule == "fixed":
            front, top = rng.choice(POSES)
            return {"front": front, "top": top} if rng.random() < 0.7 else {"front": front}
        cases = [
            {"when": {"orientation": f"{front}_{top}"}, "front": front, "top": top}
            for front, top in rng.sample(POSES, rng.randint(4, 24))
        ]
        if rng.random() < 0.3:
            front, top = rng.choice(POSES)
            cases.insert(1, {"when": {"upset": "true"}, "front": front, "top": top})
        return {"cases": cases}

    def add_joints(self, entry: dict[str, Any]) -> None:
        """Give an entry its ends, its rim and its link."""
        rng, taste = self.rng, self.taste
        ends = self._ends()
        if ends:
            entry["ends"] = {
                side: self.numbers.make(f"turn_{side}", factor and [factor])
                for side, factor in ends.items()
            }
        if self.kind in ("near", "far", "geared machine") or (
            self.kind == "mover" and rng.random() < 0.2
        ):
            entry["rim"] = self._rim()
        if taste.cells and rng.random() < taste.cells:
            self._spread(entry)
        if self.kind == "pulley" or rng.random() < taste.belts / 3:
            entry["link"] = self._link()

    def _ends(self) -> dict[str, Any]:
        rng = self.rng
        if self.kind in THROUGH:
            return {"front": 1, "back": -1}
        if self.kind == "bevel":
            return self._any()
        if self.kind in ("near", "far"):
            return rng.choice([{}, {"front": 1, "back": -1}, {"front": 1, "back": -1}, self._any()])
        if self.kind == "geared machine":
            return {"back": -1} if rng.random() < 0.3 else {}
        if rng.random() < 0.5:
            return {"front": 1, "back": -1}
        return {rng.choice(list(SIDES)): rng.choice(self.taste.factors)}

    def _any(self) -> dict[str, Any]:
        chosen = self.rng.sample(list(SIDES), self.rng.randint(2, 6))
        return {side: self.rng.choice(self.taste.factors) for side in sorted(chosen)}

    def _rim(self) -> dict[str, Any]:
        rng = self.rng
        shape = self.kind if self.kind in PLACEMENTS else rng.choice(["near", "far"])
        rim = {"kind": shape, "teeth": self.numbers.make("size", self.taste.teeth)}
        if rng.random() < self.taste.picky:
            possible = sorted(PLACEMENTS[shape])
            rim["placements"] = rng.sample(possible, rng.randint(1, 2))
        return rim

    def _spread(self, entry: dict[str, Any]) -> None:
        """Move the ends and the rim of a part to other cells, which the other half may fill."""
        rng = self.rng
        ends, cells = entry.get("ends", {}), {}
        for side in ends:
            cells[side] = rng.choice([(0, 0, 0), (0, 1, 0), (0, 0, 1), (1, 0, 0), (0, -2, 1)])
        for side, cell in cells.items():
            beyond, facing = add(cell, SIDES[side]), scale(-1, SIDES[side])
            # No end may meet another one of its own part.
            met = any(SIDES[other] == facing and at == beyond for other, at in cells.items())
            if not met and (any(cell) or rng.random() < 0.2):
                ends[side] = {"factor": ends[side], "cell": list(cell)}
        if "rim" in entry and rng.random() < 0.7:
            entry["rim"]["cell"] = rng.choice([[0, 1, 0], [-1, 0, 0], [0, 0, 2], [0, 0, 0]])
        if rng.random() < 0.6:
            entry["only"] = {"half": rng.choice([["lower"], ["lower", "single"]])}

    def _link(self) -> dict[str, Any]:
        rng = self.rng
        link: dict[str, Any] = {}
        if rng.random() < 0.7:
            link["diameter"] = self.numbers.make("girth", rng.choice([[1], [1, 2], ["1.5", 3, 1]]))
        if rng.random() < 0.5:
            link["crossed"] = rng.random() < 0.5
        if self.numbers.keeps_data and rng.random() < 0.85:
            link["partner"] = self._partner()
        return link

    def _partner(self) -> dict[str, Any]:
        rng = self.rng
        form = rng.choice(["named", "list", "packed"])
        path: str | list[str] = rng.choice(["Partner", ["Belt", "Partner"]])
        partner: dict[str, Any] = {"stored": path, "form": form}
        if form == "named" and rng.random() < 0.5:
            partner["names"] = ["PartnerX", "PartnerY", "PartnerZ"]
            if rng.random() < 0.5:
                partner["stored"] = []
        if rng.random() < 0.6:
            partner["relative"] = rng.random() < 0.6
        return partner

    def add_powers(self, entry: dict[str, Any]) -> None:
        """Give an entry its speeds and its torque."""
        rng, taste = self.rng, self.taste
        base = taste.base_rpm
        if entry["role"] == "mover":
            paces = [base, base, -base, 2 * base]
            entry["rated_rpm"] = self.numbers.make("pace", paces)
            if rng.random() < 0.3:
                entry["active"] = self.numbers.make("lit", [1, 0, 1])
        if entry["role"] != "transmission":
            amounts = taste.torques if entry["role"] == "mover" else taste.loads
            entry["torque"] = self.numbers.make("pull", amounts)
        if entry["role"] == "machine" and rng.random() < 0.5:
            entry["least_rpm"] = self.numbers.make("least", [base, base / 2, 2 * base, 0])
        if self.numbers.keeps_data and rng.random() < taste.records:
            path = self.numbers.path("Recorded")
            record: dict[str, Any] = {"stored": path[0] if len(path) == 1 else list(path)}
            if rng.random() < 0.5:
                record["scale"] = rng.choice([2, -1, 20])
            entry["recorded_rpm"] = {**record, "about": rng.choice(["front", "axis"])}

    def add_controls(self, entry: dict[str, Any]) -> None:
        """Give an entry a switch or a governor."""
        rng, taste = self.rng, self.taste
        ports = [*entry.get("ends", {}), *(key for key in ("rim", "link") if key in entry)]
        if not ports:
            return
        if self.kind in ("clutch", "reverser") or rng.random() < taste.switches / 3:
            kind = self.kind if self.kind in ("clutch", "reverser") else "clutch"
            entry["switch"] = {"kind": kind, "on": self.numbers.make("engaged", [1, 0, 1])}
            if kind == "clutch":
                chosen = rng.sample(ports, rng.randint(1, min(3, len(ports))))
                entry["switch"]["opens"] = chosen
            else:
                entry["switch"]["flips"] = rng.choice(ports)
        elif self.kind == "governor" or (
            entry["role"] == "transmission" and rng.random() < taste.governors / 4
        ):
            base = taste.base_rpm
            speeds = rng.choice([[base], [base, base / 2], [base, -base, 2 * base], [0, base]])
            entry["governor"] = {
                "port": rng.choice(ports),
                "set_rpm": self.numbers.make("governed", speeds),
                "sense": rng.choice(["own", "follow"]),
            }
