"""The strip of figures tells of power what is too much, where something is."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

from tests.outputs.drawings.sheets_bench import example

from casewright.faces.web.bench import Bench
from casewright.faces.web.views.deciding import Figure, deciding_figures


def power_of(name: str) -> Figure:
    bench: Any = SimpleNamespace(
        worked=example(name),
        style=SimpleNamespace(unit="mm"),
        length=str,
        figure=str,
        label=str,
    )
    return next(f for f in deciding_figures(cast("Bench", bench)) if f.label == "power, peak")


def test_an_overrun_converter_is_told_by_its_own_figures() -> None:
    """Computer 25 W and controller board 0.5 W hang on 5 V × 5 A, while the 12 V supply has room: by hand."""
    figure = power_of("library-duel")
    assert figure.is_over
    assert figure.value == "25.5 of 25.0\u202fW at 5\u202fV"
    assert figure.notes[0].endswith("gives 25.0 W; 25.5 W hang on it at most.")


def test_where_all_is_carried_the_whole_is_told() -> None:
    figure = power_of("mill-console")
    assert not figure.is_over
    loads = example("mill-console").behavior.power.loads
    assert loads.peak_w < loads.supply_w
    assert figure.value == f"{loads.peak_w:.0f} of {loads.supply_w:.0f}\u202fW"
