"""Make analyzer/report/rule_texts.toml again from docs/findings.md.

Run ``python -m tests.report.make_rule_texts`` after a change of the page.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
TARGET = ROOT / "analyzer" / "report" / "rule_texts.toml"
_FIELDS = {"means": "What it means", "matters": "Why it matters", "remedy": "What to do"}


def rule_texts_toml() -> str:
    """Return the file's text: the first paragraphs of each section, without markup."""
    page = (ROOT / "docs" / "findings.md").read_text("utf-8")
    sections = re.findall(r"^## (\S+)\n(.*?)(?=^## |\Z)", page, re.M | re.S)
    lines = ["# Made from docs/findings.md by tests/report/make_rule_texts.py; change that page.\n"]
    for name, section in sections:
        lines.append(f"\n[{name}]\n")
        for field, title in _FIELDS.items():
            lines.append(f"{field} = {json.dumps(_paragraphs(section, title))}\n")
    return "".join(lines)


def _paragraphs(section: str, title: str) -> str:
    match = re.search(rf"^\*\*{title}\.\*\*(.*?)(?=^\*\*|^```|\Z)", section, re.M | re.S)
    assert match is not None, title
    text = re.sub(r"\[([^\]]+)\]\([^)]+\)", r"\1", match[1])
    text = re.sub(r"[`*]|&nbsp;", "", text)
    return " ".join(text.split())


if __name__ == "__main__":
    TARGET.write_text(rule_texts_toml(), "utf-8")
