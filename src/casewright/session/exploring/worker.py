"""A process that works variants out: orders in by its standard input, rows out by its standard output, a line each.

It ends when its input does, so also when the program that started it is killed.
"""

from __future__ import annotations

import json
import os
import signal
import sys
from typing import Any, TextIO

from casewright.basics.collecting import collect_seldom


def main() -> int:
    """Work until nothing more comes in."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the program's own to answer
    # Whatever a library prints goes to the other stream: this one carries rows alone.
    told = os.fdopen(os.dup(sys.stdout.fileno()), "w", encoding="utf-8")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    lines = os.fdopen(os.dup(sys.stdin.fileno()), "r", encoding="utf-8")
    return work(lines, told)


def work(lines: TextIO, told: TextIO) -> int:
    """Answer orders: first the project's, then one line of variants after another, each with a line per row."""
    from casewright.session.exploring.orders import tried

    base: dict[str, Any] = json.loads(lines.readline() or "{}")
    if not base:
        return 0
    collect_seldom()
    for line in lines:
        for order in json.loads(line):
            told.write(json.dumps(tried(base, order)) + "\n")
            told.flush()
    return 0


__all__ = ["main", "work"]


if __name__ == "__main__":
    sys.exit(main())
