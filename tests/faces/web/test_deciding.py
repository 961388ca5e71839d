"""The strip of figures tells of power what is too much, where something is."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

from tests.outputs.drawings.sheets_bench import example

from casewright.faces.web.bench import Bench
from casewright.faces.web.views.deciding import Figure, deciding_figures
from casewright.faces.web.wording import written
from casewright.workflow import Worked, open_text, starter_text, work_out


def power_of(name: str) -> Figure:
    return figure_of("power, peak", name)


def figure_of(label: str, name: str | Worked, unit: str = "mm") -> Figure:
    bench: Any = SimpleNamespace(
        worked=example(name) if isinstance(name, str) else name,
        style=SimpleNamespace(unit=unit),
        length=str,
        figure=str,
        label=str,
    )
    return next(f for f in deciding_figures(cast("Bench", bench)) if f.label == label)


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


def test_a_mass_is_told_in_pounds_where_lengths_are_told_in_inches() -> None:
    """A pound is 0.45359237 kg, exactly (international yard and pound agreement, 1959); its limit is 85 lb."""
    worked = example("mill-console")
    pounds = f"{worked.balance.total_kg / 0.45359237:.1f}\u202flb"
    assert figure_of("mass", "mill-console", "in").value == f"{pounds} of 85"
    assert figure_of("mass", "mill-console").value.startswith(
        f"{worked.balance.total_kg:.1f}\u202fkg"
    )


def test_what_rounds_to_nothing_has_no_sign() -> None:
    assert written(-0.04, "deg", str) == "0.0°"
    assert written(-0.06, "deg", str) == "-0.1°"
    assert written(-0.001, "kg", str) == "0.00\u202fkg"
    assert written(-0.0, "W", str) == "0\u202fW"


def test_things_without_a_price_are_told_and_nothing_is_no_sum() -> None:
    """The duel's prices are all given but a few; a project just begun has none, which is not the same as free."""
    figure = figure_of("cost", "library-duel")
    assert figure.value.endswith(" of 560\u202fcu")
    rows = example("library-duel").shopping.rows
    unpriced = {row.label for row in rows if row.to_buy and not row.price}
    told = [note for note in figure.notes if note.startswith("No price yet")]
    assert bool(told) == bool(unpriced)
    assert any("stands for your currency" in note for note in figure.notes)
    new = work_out(open_text(starter_text("lap", name="New", unit="mm")))
    figure = figure_of("cost", new)
    assert figure.value == "no prices yet"
    assert figure.notes[0].startswith("No price yet: ") and figure.notes[0].endswith(" more.")
