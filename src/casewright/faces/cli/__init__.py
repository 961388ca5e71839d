"""The `casewright` command. Nothing heavy is imported here: each command brings what it needs."""

from casewright.faces.cli.running import main

__all__ = ["main"]
