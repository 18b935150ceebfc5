"""The key tables of the page on configuration, made from the format's tables of keys.

Run as a program, this writes them anew.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))

from analyzer.findings.registry import RULES  # noqa: E402
from analyzer.pipeline.config_format import TABLES  # noqa: E402
from tests.catalogue.key_tables import key_table  # noqa: E402

PAGE = ROOT / "docs" / "configuration.md"
#: What stands between a table's marks is made by this module.
_MARKED = re.compile(r"(?<=<!-- keys: )(\w+)( -->\n).*?(?=<!-- end of keys -->)", re.DOTALL)


def with_tables(page: str) -> str:
    """Return the page with every table between marks made anew."""
    rules = ", ".join(f"`{rule.name}`" for rule in RULES)
    tables = {
        table.name: key_table(table).replace(rules, "[a rule](findings.md)") for table in TABLES
    }
    return _MARKED.sub(lambda mark: f"{mark[1]}{mark[2]}{tables[mark[1]]}", page)


if __name__ == "__main__":
    PAGE.write_text(with_tables(PAGE.read_text("utf-8")), "utf-8")
