"""What is said of a variant: a row of figures, or why it cannot be built."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final, Literal, TypeAlias

from casewright.basics.errors import InputError

Better: TypeAlias = Literal["less", "more"]


@dataclass(frozen=True)
class Figure:
    """A column of the table."""

    key: str
    label: str
    unit: str
    better: Better
    """Which way is better, where it is an aim."""


FIGURES: Final = (
    Figure("cost", "cost", "currency", "less"),
    Figure("sheets", "sheets to buy", "", "less"),
    Figure("mass", "mass", "kg", "less"),
    Figure("sight", "picture seen", "%", "more"),
    Figure("picture", "picture's diagonal", "mm", "more"),
    Figure("stops", "stops", "", "less"),
    Figure("cautions", "cautions", "", "less"),
    Figure("notes", "notes", "", "less"),
    Figure("width", "width over all", "mm", "less"),
    Figure("depth", "depth over all", "mm", "less"),
    Figure("height", "height over all", "mm", "less"),
    Figure("settings", "fence settings", "", "less"),
    Figure("waste", "wood that is wasted", "m²", "less"),
    Figure("air", "air inside", "°C", "less"),
    Figure("power", "power, usual", "W", "less"),
)
"""What every row has. Sight is the share of the picture that whoever sees least of it sees; a waste is what is neither
piece nor an offcut worth keeping, saw dust included."""

USUAL_AIMS: Final = ("stops", "cautions", "cost", "sheets", "mass", "sight")


@dataclass(frozen=True)
class Aim:
    """A figure that is to be as low, or as high, as can be."""

    key: str
    better: Better = "less"


@dataclass(frozen=True)
class Row:
    """One variant and what came of it."""

    number: int
    choices: Mapping[str, str]
    figures: Mapping[str, float | None] = field(default_factory=dict)
    """By key; None where there is no such figure: no display, no warm parts."""
    reason: str = ""
    """Why it cannot be built; "" where it was worked out."""

    @property
    def is_built(self) -> bool:
        """Whether it was worked out."""
        return not self.reason

    def as_data(self) -> dict[str, Any]:
        """Plain data."""
        return {
            "number": self.number,
            "choices": dict(self.choices),
            "figures": dict(self.figures),
            "reason": self.reason,
        }


def row_from(data: Mapping[str, Any]) -> Row:
    """A row from `as_data`."""
    return Row(data["number"], data["choices"], data["figures"], data["reason"])


def figure_named(key: str, shown: Sequence[str] = ()) -> Figure:
    """The column of a key: one of `FIGURES`, or any number that is shown as well.

    Raises:
        InputError: There is none.
    """
    for figure in FIGURES:
        if figure.key == key:
            return figure
    if key in shown:
        return Figure(key, key, "", "less")
    raise InputError(
        "aim",
        got=key,
        want="one of "
        + ", ".join(figure.key for figure in FIGURES)
        + ", or a number that is shown",
        example="cost",
    )


def columns(shown: Sequence[str] = ()) -> tuple[Figure, ...]:
    """All columns, with the numbers that are shown as well."""
    known = {figure.key for figure in FIGURES}
    return (*FIGURES, *(figure_named(key, shown) for key in shown if key not in known))


def aim_named(text: str, shown: Sequence[str] = ()) -> Aim:
    """An aim as people write it: `cost`, `sight more`, `sight:more`.

    Raises:
        InputError: There is no such figure, or it goes neither way.
    """
    key, _, way = text.strip().replace(":", " ").partition(" ")
    figure = figure_named(key, shown)
    way = way.strip() or figure.better
    if way not in ("less", "more"):
        raise InputError("aim", got=text, want="less or more after the figure", example="mass less")
    return Aim(key, "more" if way == "more" else "less")


def aims_named(texts: Iterable[str], shown: Sequence[str] = ()) -> tuple[Aim, ...]:
    """Aims as people write them; the usual ones where none is named."""
    found = tuple(aim_named(text, shown) for text in texts)
    return found or tuple(aim_named(key) for key in USUAL_AIMS)


__all__ = [
    "FIGURES",
    "USUAL_AIMS",
    "Aim",
    "Better",
    "Figure",
    "Row",
    "aim_named",
    "aims_named",
    "columns",
    "figure_named",
    "row_from",
]
