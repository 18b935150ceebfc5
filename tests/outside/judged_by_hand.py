"""Trees of NBT written by hand: whatever the walker must read and libraries read right."""

from __future__ import annotations

from tests.outside.judged_trees import in_modified_utf8
from tests.save.nbt_bytes import (
    Tag,
    byte,
    byte_array,
    compound,
    compound_of,
    double,
    int_array,
    integer,
    list_of,
    long,
    long_array,
    named,
    short,
    single,
    text,
    tree,
)


def _arrays(numbers: list[int], **others: Tag) -> bytes:
    return tree(
        compound(
            bytes=byte_array([number % 256 - 128 for number in numbers]),
            ints=int_array(numbers),
            longs=long_array([number << 32 for number in numbers]),
            **others,
        )
    )


#: Trees written by hand that every library reads right.
BY_HAND = {
    "nothing": tree(compound()),
    "a root with a name": b"\x0a" + named("quay", compound())[1:],
    "least numbers": tree(
        compound(a=byte(-128), b=short(-(2**15)), c=integer(-(2**31)), d=long(-(2**63)))
    ),
    "greatest numbers": tree(
        compound(a=byte(127), b=short(2**15 - 1), c=integer(2**31 - 1), d=long(2**63 - 1))
    ),
    "odd floating points": tree(
        compound_of(
            {
                f"{kind.__name__} {value}": kind(value)
                for kind in (single, double)
                for value in (0.0, -0.0, 0.1, 1e-40, float("inf"), float("-inf"), float("nan"))
            }
        )
    ),
    "arrays": _arrays([0, 1, -1, 2**31 - 1, -(2**31)], after=integer(7)),
    "arrays of nothing": _arrays([], after=integer(7)),
    "texts": tree(compound(a=text(""), b=text("é木Ω߿ࠀ￿"), c=text("x" * 65535))),
    "lists of each kind": tree(
        compound_of(
            {
                f"list {value.number}": list_of(value, value)
                for value in (
                    byte(1),
                    short(2),
                    integer(3),
                    long(4),
                    single(0.5),
                    double(0.25),
                    byte_array([1]),
                    text("t"),
                    list_of(integer(1)),
                    compound(a=byte(1)),
                    int_array([1, 2]),
                    long_array([3]),
                )
            }
        )
    ),
    "empty lists": tree(compound(a=list_of(), b=list_of(element=3), c=list_of(element=10))),
    "lists of lists of different kinds": tree(
        compound(a=list_of(list_of(), list_of(integer(1)), list_of(text("x")), list_of(list_of())))
    ),
    "a name of nothing": tree(compound_of({"": integer(1), " ": integer(2)})),
    "a name twice": tree(Tag(10, named("a", integer(1)) + named("a", text("last")) + b"\0")),
    "an end within a value": tree(compound(a=integer(0), b=byte_array([0] * 9), c=text("\x01"))),
    "nesting of a hundred": b"\x0a\0\0" * 100 + b"\0" * 100,
}
#: And what only the one that knows modified UTF-8 does.
ODD_TEXT = tree(
    Tag(
        10,
        named(in_modified_utf8("tide \0 🐟"), text(in_modified_utf8("\0🐟\U0010ffff\0")))
        + named("list", list_of(text(in_modified_utf8("𝄞")), text("plain")))
        + b"\0",
    )
)
