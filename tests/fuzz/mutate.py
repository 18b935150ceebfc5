"""Making false inputs from true ones: a change here and there, by chance that can be repeated."""

from __future__ import annotations

from functools import lru_cache
from random import Random
from typing import Final

from tests.fuzz.spots import Spots, find_spots

# Numbers at which something ends: a byte, a sector, the nesting of the game, an integer.
_EDGES: Final = (0, 1, 2, 3, 15, 16, 17, 127, 128, 255, 256, 511, 512, 513, 1024, 4095, 4096, 4097)
_ENDS: Final = (
    2**15 - 1,
    2**15,
    2**16 - 1,
    2**16,
    2**24 - 1,
    2**31 - 1,
    2**31,
    2**32 - 2,
    2**32 - 1,
)
_NAMES: Final = (
    *(b"", b"Level", b"block_entities", b"TileEntities", b"sections", b"Sections", b"DataVersion"),
    *(b"xPos", b"zPos", b"Status", b"block_states", b"palette", b"Palette", b"BlockStates"),
    *(
        b"data",
        b"Data",
        b"Y",
        b"Name",
        b"Properties",
        b"id",
        b"x",
        b"y",
        b"z",
        b"Blocks",
        b"LevelName",
    ),
)
_VERSIONS: Final = (
    0,
    99,
    100,
    1343,
    1451,
    1519,
    1912,
    2225,
    2528,
    2529,
    2566,
    2836,
    2844,
    3955,
    4790,
)
_TOML: Final = (
    *(
        '"',
        "'",
        "\n",
        "[",
        "]",
        "{",
        "}",
        "=",
        ",",
        ".",
        "#",
        "\\",
        "\x00",
        '"""',
        "'''",
        "[[",
        "]]",
    ),
    *(
        "inf",
        "nan",
        "-0",
        "1e9",
        "1e-9",
        "1e999",
        "0x10",
        "true",
        "1979-05-27",
        "9" * 30,
        "-1",
        "0.5",
    ),
    *("role", "entity", "pose", "ends", "rim", "teeth", "front", "stored", "property", "values"),
    *(
        "mover",
        "machine",
        "transmission",
        "near",
        "far",
        "beside",
        "meets",
        "at",
        "switch",
        "governs",
    ),
    *(
        "\\u0000",
        "\\ud800",
        "\u202e",
        "\x1b[2J",
        "quayworks:shaft",
        "a" * 300,
        "x.y.z",
        "[1, 2, 3]",
    ),
)


class Mutator:
    """Changes inputs by chance.

    Parameters
    ----------
    seed
        The same gives the same changes.
    """

    def __init__(self, seed: int | str) -> None:
        self.random = Random(seed)

    def bytes(self, data: bytes, other: bytes) -> bytes:
        """Return some bytes with a few changes; pieces come from them or from others."""
        changed = bytearray(data)
        for _ in range(self._times()):
            self._change(changed, other)
        return bytes(changed)

    def tree(self, data: bytes, other: bytes) -> bytes:
        """Return a tree of NBT with changes where its tags, names, lengths and numbers stand."""
        for _ in range(self._times()):
            spots = _spots(data)
            if not spots.places or self.random.random() < 0.1:
                data = self.bytes(data, other)
            elif self.random.random() < 0.3 and spots.values:
                data = self._restructured(data, spots)
            else:
                data = self._altered(data, spots)
        return data

    def text(self, data: bytes, other: bytes) -> bytes:
        """Return a document of TOML with words, lines and values changed, doubled or gone."""
        lines = data.decode("utf-8", "surrogateescape").splitlines(keepends=True) or [""]
        others = other.decode("utf-8", "surrogateescape").splitlines(keepends=True) or [""]
        for _ in range(self._times()):
            self._change_lines(lines, others)
        return "".join(lines).encode("utf-8", "surrogateescape")

    def number(self, width: int) -> bytes:
        """Return a number of some bytes: mostly one at which something ends."""
        chance = self.random.random()
        if chance < 0.6:
            value = self.random.choice(_EDGES + _ENDS)
        elif chance < 0.7:
            value = self.random.choice(_VERSIONS)
        else:
            value = self.random.getrandbits(8 * width)
        if self.random.random() < 0.1:
            value = -value
        return (value % 2 ** (8 * width)).to_bytes(width, "big")

    def _times(self) -> int:
        return 1 if self.random.random() < 0.5 else self.random.randint(2, 6)

    def _change(self, data: bytearray, other: bytes) -> None:
        random = self.random
        at = random.randint(0, len(data))
        end = min(len(data), at + random.choice((1, 1, 2, 4, 8, 64, 1024)))
        match random.randrange(9):
            case 0 if at < len(data):
                data[at] ^= 1 << random.randrange(8)
            case 1:
                width = random.choice((1, 2, 4, 8))
                data[at : at + width] = self.number(width)
            case 2:
                del data[at:end]
            case 3:
                data[at:at] = data[at:end] * random.choice((1, 1, 2, 50))
            case 4:
                begin = random.randint(0, len(other))
                data[at:end] = other[begin : begin + random.choice((1, 4, 16, 256))]
            case 5:
                data[at:at] = random.randbytes(random.choice((1, 2, 16)))
            case 6 if random.random() < 0.3:
                del data[at:]
            case 7:
                data[at:end] = bytes([random.choice((0, 1, 10, 255))]) * (end - at)
            case _ if at < len(data):
                data[at] = random.randrange(256)

    def _altered(self, data: bytes, spots: Spots) -> bytes:
        at, width = self.random.choice(spots.places)
        if width < 0:
            name = self.random.choice(_NAMES)
            return data[:at] + len(name).to_bytes(2, "big") + name + data[at - width :]
        number = bytes([self.random.randrange(14)]) if width == 1 else self.number(width)
        return data[:at] + number + data[at + width :]

    def _restructured(self, data: bytes, spots: Spots) -> bytes:
        begin, end = self.random.choice(spots.values)
        piece = data[begin:end]
        match self.random.randrange(5):
            case 0:
                return data[:begin] + data[end:]
            case 1:
                return data[:end] + piece * self.random.choice((1, 2, 40)) + data[end:]
            case 2:
                to, _ = self.random.choice(spots.values)
                return data[:to] + piece + data[to:]
            case 3:
                depth = self.random.choice((1, 20, 511, 512, 600))
                return data[:begin] + b"\x0a\x00\x00" * depth + piece + bytes(depth) + data[end:]
            case _:
                # A list within a list within a list, with nothing in it.
                depth = self.random.choice((1, 20, 512, 600))
                inner = b"\x09\x00\x00\x00\x01" * depth + b"\x00" * 5
                return data[:begin] + b"\x09\x00\x01l" + inner + data[begin:]

    def _change_lines(self, lines: list[str], others: list[str]) -> None:
        random = self.random
        at = random.randrange(len(lines))
        line = lines[at]
        place = random.randint(0, len(line))
        match random.randrange(7):
            case 0:
                lines[at] = line[:place] + random.choice(_TOML) + line[place:]
            case 1:
                lines[at] = line[:place] + line[place + random.choice((1, 1, 4, 20)) :]
            case 2:
                lines.insert(random.randint(0, len(lines)), random.choice(others))
            case 3 if len(lines) > 1:
                del lines[at]
            case 4:
                lines[at] = line * random.choice((2, 2, 30))
            case 5:
                head, equals, _ = line.partition("=")
                lines[at] = f"{head}{equals} {random.choice(_TOML)}\n"
            case _:
                words = line.split(" ")
                words[random.randrange(len(words))] = random.choice(_TOML)
                lines[at] = " ".join(words)


@lru_cache(maxsize=64)
def _spots(data: bytes) -> Spots:
    return find_spots(data)
