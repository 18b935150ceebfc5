"""Places of a save as SARIF locations: the region file, and the block as a logical location."""

from __future__ import annotations

from typing import Any, Final
from urllib.parse import quote

from analyzer.base.place import Block
from analyzer.findings.audit import Audit
from analyzer.report.clean import shown
from analyzer.report.lookup import block_name_at
from analyzer.report.quantities import place

#: What paths of files count from: the save's folder, wherever it lies.
SAVE: Final = "SAVE"


def message_of(text: str) -> dict[str, Any]:
    r"""Return a message that is shown as it is, whatever names of the save are in it.

    Braces would be placeholders and a bracketed text before a parenthesis a link
    (SARIF 2.1.0, 3.11.5 and 3.11.6).

    >>> message_of("{0} [rope](https://quay.example)")["text"]
    '{{0}} [rope] (https://quay.example)'
    """
    safe = shown(text).replace("{", "{{").replace("}", "}}").replace("](", "] (")
    return {"text": safe}


class Places:
    """Makes locations of one audit."""

    def __init__(self, audit: Audit) -> None:
        self._audit = audit
        names = audit.scan.dimensions
        self._files = {
            (names[region.dimension], region.rx, region.rz): region.file
            for region in audit.scan.coverage.regions
        }

    def block(self, dimension: str, at: Block, note: str = "") -> dict[str, Any]:
        """Return the location of a block, with what is said about it."""
        name = block_name_at(self._audit.parts, dimension, at)
        where = f"{place(at)} in {dimension}"
        what = f"{name} at {where}" if name else where
        return {
            **self._file(dimension, at.x >> 9, at.z >> 9),
            "logicalLocations": [
                {
                    "name": shown(name or place(at)),
                    "fullyQualifiedName": shown(f"{dimension}:{at.x},{at.y},{at.z}"),
                    "kind": "part" if name else "block",
                }
            ],
            "message": message_of(f"{what}{note}"),
            "properties": {"dimension": shown(dimension), "block": list(at)},
        }

    def chunk(self, dimension: str, at: Block) -> dict[str, Any]:
        """Return the location of the chunk that a block lies in."""
        cx, cz = at.x >> 4, at.z >> 4
        name = f"chunk {cx} {cz}"
        return {
            **self._file(dimension, at.x >> 9, at.z >> 9),
            "logicalLocations": [
                {
                    "name": name,
                    "fullyQualifiedName": shown(f"{dimension}:{name}"),
                    "kind": "chunk",
                }
            ],
            "message": message_of(f"{name} in {dimension}"),
            "properties": {"dimension": shown(dimension), "chunk": [cx, cz]},
        }

    def dimension(self, dimension: str) -> dict[str, Any]:
        """Return the location of a dimension as a whole."""
        name = shown(dimension)
        logical = {"name": name, "fullyQualifiedName": name, "kind": "namespace"}
        return {"logicalLocations": [logical], "properties": {"dimension": name}}

    def _file(self, dimension: str, rx: int, rz: int) -> dict[str, Any]:
        file = self._files.get((dimension, rx, rz))
        return {} if file is None else {"physicalLocation": file_location(file)}


def file_location(file: str) -> dict[str, Any]:
    """Return a file of the save, its path written as a URI."""
    uri = quote(file, safe="/", errors="surrogatepass")
    return {"artifactLocation": {"uri": uri, "uriBaseId": SAVE}}
