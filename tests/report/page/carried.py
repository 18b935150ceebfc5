"""What a page carries, taken out of it again."""

from __future__ import annotations

import json
import re
from typing import Any

from analyzer.findings.audit import Audit
from analyzer.report.page.audit_page import iter_audit_page


def page_of(audit: Audit) -> str:
    return "".join(iter_audit_page(audit))


def data_of(page: str) -> dict[str, Any]:
    """Return the document that stands in a page, as a browser would cut it out."""
    found = re.search(r'<script type="application/json" id="data">(.*?)</script', page, re.DOTALL)
    assert found is not None
    document = json.loads(found[1])
    assert isinstance(document, dict)
    return document
