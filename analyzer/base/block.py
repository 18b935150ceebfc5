"""A block state: a block's name with its properties, as palettes store it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from typing import Final

#: Namespace of the host game's own blocks and block entities.
HOST_NAMESPACE: Final = "minecraft"

_STATE = re.compile(r"\A([^\[\]\s,=]+)(?:\[([^\[\]\s]*)\])?\Z")


@dataclass(frozen=True, order=True)
class BlockState:
    """One block state.

    Parameters
    ----------
    name
        Block name with its namespace, such as ``quayworks:shaft``.
    properties
        (name, value) pairs sorted by name; values are always text.
    """

    name: str
    properties: tuple[tuple[str, str], ...] = ()

    @cached_property
    def values(self) -> dict[str, str]:
        """The properties as a mapping."""
        return dict(self.properties)

    @property
    def namespace(self) -> str:
        """What stands before the colon; ``minecraft`` where there is none, as the game reads it."""
        return namespace_of(self.name)

    def __str__(self) -> str:
        """Write the state as ``name[property=value,...]``.

        >>> str(BlockState("quayworks:shaft", (("axis", "x"),)))
        'quayworks:shaft[axis=x]'
        """
        if not self.properties:
            return self.name
        return f"{self.name}[{','.join(f'{name}={value}' for name, value in self.properties)}]"


def namespace_of(name: str) -> str:
    """Return the namespace of a block's or block entity's name, as the game reads it.

    >>> namespace_of("quayworks:shaft"), namespace_of("Chest")
    ('quayworks', 'minecraft')
    """
    head, colon, _ = name.partition(":")
    return head if colon else HOST_NAMESPACE


def parse_block_state(text: str) -> BlockState:
    """Read ``name[property=value,...]``.

    Raises
    ------
    ValueError
        Where the text is not of that form, or names one property twice.

    >>> parse_block_state("quayworks:shaft[axis=x]").values
    {'axis': 'x'}
    """
    match = _STATE.match(text.strip())
    if match is None:
        raise ValueError(f"{text!r} is not of the form name[property=value,...]")
    pairs: dict[str, str] = {}
    for item in filter(None, (match[2] or "").split(",")):
        name, equals, value = item.partition("=")
        if not (name and equals and value):
            raise ValueError(f"{item!r} in {text!r} is not of the form property=value")
        if name in pairs:
            raise ValueError(f"{text!r} names the property {name!r} twice")
        pairs[name] = value
    return BlockState(match[1], tuple(sorted(pairs.items())))
