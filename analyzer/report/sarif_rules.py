"""The rules as SARIF reporting descriptors, and what the user decided about them."""

from __future__ import annotations

from typing import Any

from analyzer.base.policy import Policy
from analyzer.findings.registry import RULES
from analyzer.report.rule_texts import rule_texts


def rule_descriptors() -> list[dict[str, Any]]:
    """Return every rule with its texts, in the order of the table of rules."""
    texts = rule_texts()
    found = []
    for rule in RULES:
        text = texts[rule.name]
        found.append(
            {
                "id": rule.name,
                "name": "".join(word.capitalize() for word in rule.name.split("-")),
                "shortDescription": {"text": _first_sentence(text.means)},
                "fullDescription": {"text": f"{text.means} {text.matters}"},
                "help": {
                    "text": f"{text.means} {text.matters} {text.remedy}",
                    "markdown": f"{text.means}\n\n{text.matters}\n\n**What to do.** {text.remedy}",
                },
                "defaultConfiguration": {"level": str(rule.level)},
            }
        )
    return found


def rule_numbers() -> dict[str, int]:
    """Return the place of each rule among the descriptors."""
    return {rule.name: number for number, rule in enumerate(RULES)}


def rule_overrides(policy: Policy) -> list[dict[str, Any]]:
    """Return what the user decided about rules, in their order; empty where nothing."""
    found = []
    for number, rule in enumerate(RULES):
        configuration: dict[str, Any] = {}
        if rule.name in policy.off:
            configuration["enabled"] = False
        level = policy.levels.get(rule.name)
        if level is not None and level != rule.level:
            configuration["level"] = str(level)
        if configuration:
            descriptor = {"id": rule.name, "index": number}
            found.append({"configuration": configuration, "descriptor": descriptor})
    return found


def _first_sentence(text: str) -> str:
    head, stop, _ = text.partition(". ")
    return f"{head}." if stop else text
