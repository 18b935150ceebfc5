"""Markup: text made safe to stand in a page, and elements made of it."""

from __future__ import annotations

import html
import json
from typing import Any

from analyzer.report.clean import shown


class Markup(str):
    """Text that is markup already; any other text is escaped where it enters an element."""

    __slots__ = ()


def escaped(text: str) -> Markup:
    """Return text as markup: what a world holds appears as text, whatever it holds.

    >>> escaped("<b>&")
    '&lt;b&gt;&amp;'
    """
    return text if isinstance(text, Markup) else Markup(html.escape(shown(text)))


def element(name: str, *inside: str, **attributes: str) -> Markup:
    """Return an element; an underscore before an attribute's name keeps it from being a keyword.

    >>> element("p", "a < b", _class="note")
    '<p class="note">a &lt; b</p>'
    """
    told = "".join(
        f' {key.lstrip("_").replace("_", "-")}="{escaped(value)}"'
        for key, value in attributes.items()
    )
    return Markup(f"<{name}{told}>{''.join(map(escaped, inside))}</{name}>")


def script_json(document: Any) -> Markup:
    r"""Return a document as JSON that no parser of HTML can take for the end of its element.

    >>> script_json(["</script>"])
    '["\\u003c/script>"]'
    """
    text = json.dumps(document, ensure_ascii=True, allow_nan=False, separators=(",", ":"))
    return Markup(text.replace("<", "\\u003c"))
