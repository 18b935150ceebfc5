"""An audit as one self-contained page."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterator, Sequence
from functools import cache
from importlib.resources import files
from string import Template

from analyzer.advice.advice import Advice, Trial
from analyzer.advice.spare.networks import SparePower
from analyzer.findings.audit import Audit
from analyzer.report.baseline import Comparison
from analyzer.report.network_rows import iter_network_rows
from analyzer.report.page.basis import basis_section
from analyzer.report.page.coverage import coverage_section
from analyzer.report.page.head import title_block
from analyzer.report.page.markup import escaped, script_json
from analyzer.report.page.page_data import page_document
from analyzer.report.page.places import places_section
from analyzer.report.page.proposals import Proposal, remedies_of, spendings_of
from analyzer.report.version import VERSION


def iter_audit_page(
    audit: Audit, *, comparison: Comparison | None = None, proposals: Sequence[Proposal] = ()
) -> Iterator[str]:
    """Yield the page in pieces.

    It asks nothing of any network and says nothing of this machine or the clock; the same audit
    gives the same bytes. Style and script are the only ones that it lets run: their hashes stand
    in its security policy.

    Parameters
    ----------
    audit
        What to show.
    comparison
        How it differs from a former report, if it was held against one.
    proposals
        Changes: the page then has them beside what they mend, and shows each over the drawing.
    """
    rows = list(iter_network_rows(audit))
    style, script = page_style(), page_script()
    # Values are put in as they are: what looks like a placeholder in them is none.
    yield Template(_asset("page.html")).substitute(
        title=escaped(audit.scan.facts.title),
        version=escaped(VERSION),
        style_hash=_hash(style),
        script_hash=_hash(script),
        style=style,
        script=script,
        head=title_block(audit, rows),
        places=places_section(audit, rows),
        coverage=coverage_section(audit),
        basis=basis_section(audit, comparison),
        data=script_json(page_document(audit, rows, proposals)),
    )


def iter_advice_page(audit: Audit, advice: Advice, power: SparePower) -> Iterator[str]:
    """Yield the page of an audit with what to change, and what to spend spare power on."""
    proposals = [*remedies_of(audit, advice), *spendings_of(audit, power)]
    return iter_audit_page(audit, proposals=proposals)


def iter_trial_page(audit: Audit, trial: Trial) -> Iterator[str]:
    """Yield the page of an audit that opens with a change shown."""
    return iter_audit_page(audit, proposals=[Proposal(trial)])


@cache
def page_style() -> str:
    """Return the page's style sheet."""
    return _asset("page.css")


@cache
def page_script() -> str:
    """Return the page's script: its pieces in the order of their names, in a scope of their own."""
    pieces = (files("analyzer.report.page") / "assets" / "script").iterdir()
    texts = [piece.read_text("utf-8") for piece in sorted(pieces, key=lambda piece: piece.name)]
    return '(() => {\n"use strict";\n' + "".join(texts) + "})();\n"


def _asset(name: str) -> str:
    return (files("analyzer.report.page") / "assets" / name).read_text("utf-8")


def _hash(text: str) -> str:
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"sha256-{base64.b64encode(digest).decode('ascii')}"
