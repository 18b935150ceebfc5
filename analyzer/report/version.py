"""The version of the program, as its package is installed."""

from __future__ import annotations

from importlib.metadata import version as installed


def version() -> str:
    """Return the version."""
    return installed("lineshaft")
