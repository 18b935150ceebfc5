"""Entries with own offsets, for tests."""

from __future__ import annotations

from tests.catalogue.texts import mistakes_in

AXIS, FACING = '{axis = "axis"}', '{facing = "facing"}'


def wheel(name: str, meets: str = "", *, pose: str = FACING, teeth: str = "12") -> str:
    """Return an entry; without teeth it has no rim."""
    text = f'[parts."q:{name}"]\nrole = "transmission"\nentity = ["q:e"]\npose = {pose}\n'
    text += f'rim = {{kind = "far", teeth = {teeth}}}\n' if teeth else ""
    return text + (f"meets = [\n{meets}\n]\n" if meets else "")


def stated(at: str, name: str, ratio: object) -> str:
    return f'{{at = [{at}], types = ["q:{name}"], ratio = {ratio}}},'


def toothed(at: str, name: str, contact: str = "") -> str:
    more = f", contact = [{contact}]" if contact else ""
    return f'{{toothed = true, at = [{at}], types = ["q:{name}"]{more}}},'


def founds(*entries: str) -> list[tuple[str, str]]:
    return [(one.key, one.found) for one in mistakes_in("".join(entries))]
