"""The columns of a table: of the type that its annotation names, and not to be written to."""

from __future__ import annotations

import typing
from dataclasses import fields
from pathlib import Path

import numpy as np
from nbtlib import Float

from analyzer.demo.parts import part
from analyzer.findings.audit import Audit
from analyzer.pipeline.audit import audit_save
from tests.cases.case import PLAIN
from tests.support.saves import save_of
from tests.support.sketch import sketch


def yard_audit(folder: Path) -> Audit:
    """Audit a small yard with something of everything: a row in every column."""
    blocks = [
        *sketch("wheel:e weights:e,weights=1 lathe:x", at=(2, 64, 2)),
        *sketch("wheel:e clutch:x,lever=in layer:e shaft:x", at=(12, 64, 5)),
        *sketch("t12:x . b24:x . t15:x", at=(2, 64, 8)),
        part((3, 64, 11), "rope_sheave[axis=x]", LeadsTo={"X": 3, "Y": 64, "Z": 13}),
        part((3, 64, 13), "great_sheave[axis=x]", Rope={"Steps": [0, 9, 0]}),
        part((8, 64, 12), "tide_wheel[facing=east]"),
        part((9, 64, 12), "line_shaft[axis=x]", Rpm=Float(8)),
    ]
    return audit_save(save_of(folder, blocks, manner=PLAIN), catalogues=["quayworks"])


def empty_audit(folder: Path) -> Audit:
    """Audit a save without parts: no row in any column."""
    return audit_save(save_of(folder, (), manner=PLAIN), catalogues=["quayworks"])


def columns_of(table: object) -> dict[str, tuple[np.ndarray, np.dtype]]:
    """Return the arrays of a table by name, each with the type that it is annotated with."""
    hints = typing.get_type_hints(type(table))
    return {
        field.name: (np.asarray(getattr(table, field.name)), _dtype(hints[field.name]))
        for field in fields(table)  # type: ignore[arg-type]
        if typing.get_origin(hints[field.name]) is np.ndarray
    }


def wrong_types(table: object) -> dict[str, str]:
    """Return the columns that are not of the type that they are annotated with."""
    return {
        name: f"{column.dtype}, not {wanted}"
        for name, (column, wanted) in columns_of(table).items()
        if column.dtype != wanted
    }


def writable(table: object) -> list[str]:
    """Return the columns that somebody could write to."""
    return [name for name, (column, _) in columns_of(table).items() if column.flags.writeable]


def _dtype(hint: object) -> np.dtype:
    """Return the type that an annotation of the form `npt.NDArray[T]` stands for."""
    (_, of_items) = typing.get_args(hint)
    return np.dtype(typing.get_args(of_items)[0])
