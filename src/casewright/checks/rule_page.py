"""The page of all rules, for the docs."""

from __future__ import annotations

from collections.abc import Iterable

from casewright.basics.findings import Rule, Severity
from casewright.basics.sources import source_line

HEAD = """\
# Rules

What casewright looks at before anything is cut. Made from the code by `python3 dev.py docs`; do not edit.

"""

_MEANING = {
    Severity.STOP: "do not cut: it will not fit, work or be safe",
    Severity.CAUTION: "look again",
    Severity.NOTE: "worth knowing",
}


def rule_page(rules: Iterable[Rule]) -> str:
    """Return the page in Markdown: each rule once, by severity and id.

    A rule may find milder or graver things than its own severity; it stands under its own.
    """
    by_id = {rule.id: rule for rule in rules}
    lines = [HEAD.rstrip("\n")]
    for severity, meaning in _MEANING.items():
        lines += ["", f"## {severity.value.capitalize()}: {meaning}", ""]
        lines += ["| Rule | Asks | Why | Source |", "|---|---|---|---|"]
        lines += [
            f"| `{rule.id}` | {_cell(rule.asks)} | {_cell(rule.why)} | {_cell(source_line(rule.source))} |"
            for _, rule in sorted(by_id.items())
            if rule.severity is severity
        ]
    return "\n".join(lines) + "\n"


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


__all__ = ["HEAD", "rule_page"]
