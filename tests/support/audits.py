"""Audits of saves with a catalogue given as text."""

from __future__ import annotations

from pathlib import Path

from analyzer import audit_save
from analyzer.catalogue.load import load_catalogue_text
from analyzer.findings.audit import Audit


def audited_text(save: Path, text: str) -> Audit:
    """Audit a save with a catalogue's text."""
    return audit_save(save, catalogues=load_catalogue_text(text, "sketch"))
