"""Soon."""

from casewright.faces.web.bench import Bench
from casewright.faces.web.controls import heading


def view(bench: Bench) -> None:
    """Show it."""
    heading("cutting")
