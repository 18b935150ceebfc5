"""Loading catalogues: by path, by the name under which a package offers one, or from text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from analyzer.base.errors import CatalogueError
from analyzer.base.mistake import Mistake
from analyzer.catalogue.build import build_source, build_types
from analyzer.catalogue.catalogue import Catalogues
from analyzer.catalogue.entry_points import catalogue_path, known_catalogues
from analyzer.catalogue.format import DOCUMENT, MOST_STORED, MOST_TYPES
from analyzer.catalogue.meetings import check_meetings
from analyzer.catalogue.notes import Notes, hint, key_text, near
from analyzer.catalogue.read import read_document, read_file
from analyzer.catalogue.rules import check_rules
from analyzer.catalogue.structure import check_shape
from analyzer.catalogue.wanted import wanted_paths


def load_catalogues(names: Sequence[str]) -> Catalogues:
    """Load catalogues that are to be used together.

    Parameters
    ----------
    names
        Each a path that ends in ``.toml`` or that exists, or else the name under which an
        installed package offers one. None gives catalogues without types.

    Raises
    ------
    CatalogueError
        With every mistake in every one of them, and every block that two of them describe.
    """
    mistakes: list[Mistake] = []
    found: list[tuple[str, bytes]] = []
    places: dict[Path, str] = {}
    for name in names:
        try:
            path = _locate(name)
            data = read_file(path, name)
        except CatalogueError as error:
            mistakes += error.mistakes
            continue
        place = path.resolve()
        if place in places:
            mistake = Mistake(name, 0, "", "the catalogue is given twice", "each of them once")
            mistakes.append(mistake)
            continue
        places[place] = name
        found.append((name, data))
    return _load(found, mistakes)


def load_catalogue_text(text: str, name: str) -> Catalogues:
    """Load one catalogue from its text.

    Parameters
    ----------
    text
        What would stand in the file.
    name
        What mistakes name as the file.

    Raises
    ------
    CatalogueError
        With every mistake in it.
    """
    return _load([(name, text.encode("utf-8", "surrogatepass"))], [])


def _locate(name: str) -> Path:
    path = Path(name)
    if name.endswith(".toml") or (_exists(path) and not path.is_dir()):
        return path
    # A folder is no catalogue: a save may well be called what its catalogue is.
    offered = catalogue_path(name)
    if offered is not None:
        return offered
    if _exists(path):
        return path
    known = known_catalogues()
    if name in known:
        found = "the package that offers this catalogue does not hold its file"
        raise CatalogueError((Mistake(name, 0, "", found, "a package that is installed whole"),))
    listed = f" ({', '.join(known)})" if known else ""
    expected = f"a path that ends in .toml, or the name of an installed catalogue{listed}"
    found = f"no such catalogue{hint(near(name, known))}"
    raise CatalogueError((Mistake(name, 0, "", found, expected),))


def _exists(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):
        return False


def _load(files: Iterable[tuple[str, bytes]], mistakes: list[Mistake]) -> Catalogues:
    checked: list[tuple[dict[str, Any], Notes]] = []
    unread = len(mistakes)
    for name, data in files:
        try:
            document, notes = read_document(data, name)
        except CatalogueError as error:
            mistakes += error.mistakes
            unread += 1
            continue
        check_shape(document, DOCUMENT, (), notes)
        check_rules(document, notes)
        checked.append((document, notes))
    _check_together(checked)
    check_meetings(checked, complete=not unread)
    mistakes += [mistake for _, notes in checked for mistake in notes.mistakes]
    if mistakes:
        raise CatalogueError(tuple(mistakes))
    sources = tuple(build_source(document) for document, _ in checked)
    types = [
        type_
        for index, (document, _) in enumerate(checked)
        for type_ in build_types(document, index=index, source=sources[index])
    ]
    catalogues = Catalogues(sources, tuple(sorted(types, key=lambda type_: type_.block)))
    _check_wanted(catalogues, [notes.file for _, notes in checked])
    return catalogues


def _check_wanted(catalogues: Catalogues, files: Sequence[str]) -> None:
    wanted = wanted_paths(catalogues)
    paths = {path for of_entity in wanted.values() for path in of_entity}
    for what, count in (("block-entity ids", len(wanted)), ("stored paths", len(paths))):
        if count > MOST_STORED:
            found = f"found {count:,} different {what} in all the catalogues together"
            mistake = Mistake(files[-1], 0, "parts", found, f"at most {MOST_STORED:,}")
            raise CatalogueError((mistake,))


def _check_together(checked: list[tuple[dict[str, Any], Notes]]) -> None:
    first: dict[str, str] = {}
    for document, notes in checked:
        parts = document.get("parts", {})
        for block in parts if isinstance(parts, dict) else ():
            path = ("parts", block)
            if block in first:
                found = f"{key_text(path)} is also in {first[block]}"
                notes.add(path, found, "each block in one catalogue")
            else:
                first[block] = f"{notes.file}:{notes.line(path)}"
    if len(checked) > 1 and len(first) > MOST_TYPES:
        document, notes = checked[-1]
        found = f"found {len(first):,} entries in all the catalogues together"
        notes.add(("parts",), found, f"at most {MOST_TYPES:,}")
