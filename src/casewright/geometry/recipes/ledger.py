"""What a recipe writes down on its way: numbers that can say why, and what is too small."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from casewright.basics.errors import InputError
from casewright.basics.findings import Finding, Remedy, Rule, Severity, mm
from casewright.basics.reckoning import Reckoning, Term, stated, total
from casewright.basics.units import TOUCHING, LengthStyle, format_length, shown_beyond
from casewright.basics.wording import capital
from casewright.design.project import Project


def _rule(name: str, asks: str, why: str, severity: Severity = Severity.STOP) -> Rule:
    return Rule(f"shape.{name}", severity, asks, why, "Plain geometry")


TOO_SMALL: dict[str, Rule] = {
    rule.id.removeprefix("shape."): rule
    for rule in (
        _rule(
            "deck-depth",
            "The deck is deep enough for the controls placed on it.",
            "A control over the deck's end has nothing to sit in, or no room for the fingers.",
        ),
        _rule(
            "lip-height",
            "What hangs below the deck clears the base, and what sits on the lip fits there.",
            "A lever's body that stands on the base lifts the deck.",
        ),
        _rule(
            "screen-length",
            "The screen panel is longer than the display's housing and its margins.",
            "The housing has to lie flat against the panel, between the panels next to it.",
        ),
        _rule(
            "header-height",
            "The header's face is high enough for what is behind it.",
            "A sign's frame or a loudspeaker that meets the panels next to it does not go in.",
        ),
        _rule(
            "header-overhang",
            "The header's underside is deep enough for its loudspeakers.",
            "A frame that meets the header's face does not lie flat.",
        ),
        _rule(
            "depth",
            "The cabinet is deep enough for the display, its cables and the sign.",
            "What touches the back keeps it from closing, and cables bent too sharply break.",
        ),
        _rule(
            "height",
            "The cabinet is high enough for its screen and header.",
            "A height that is given has to come out of the header or the lip.",
        ),
        _rule(
            "width",
            "The cabinet is wide enough for what is placed side by side.",
            "Parts that meet the sides or their cleats do not go in.",
        ),
        _rule(
            "net-litres",
            "The box holds the volume that was wished for.",
            "A loudspeaker's lowest notes depend on the volume behind it.",
            Severity.CAUTION,
        ),
    )
}
"""Rules by the name of what is too small."""

TILT = Rule(
    "shape.screen-tilt",
    Severity.NOTE,
    "The line of sight meets the screen squarely.",
    "Past the limits a display no longer leans into its opening, or mirrors the lamps overhead.",
    "Common practice",
)


@dataclass(frozen=True)
class Candidate:
    """One reason for a size: what asks for it, and the sum it asks for."""

    name: str
    terms: tuple[Term, ...]
    spare: float = 0.0
    """How much of it is comfort that could be done without. [mm]"""

    @property
    def least(self) -> float:
        """What it cannot do without. [mm]"""
        return self.value - self.spare

    @property
    def value(self) -> float:
        """[mm]"""
        return total("", "", self.terms).value


def largest(
    key: str,
    label: str,
    candidates: Sequence[Candidate],
    *,
    rule: str = "",
    source: str = "Plain geometry",
) -> Reckoning:
    """The number that satisfies every candidate: the largest of them, with its terms."""
    best = max(candidates, key=lambda c: c.value)
    names = ", ".join(dict.fromkeys(c.name for c in candidates))
    asked = (
        f"Asked for by {best.name}."
        if len(candidates) == 1
        else (f"Asked for by {best.name}, the largest of: {names}.")
    )
    return total(key, label, best.terms, rule=f"{asked} {rule}".strip(), source=source)


@dataclass
class Ledger:
    """Collects while a recipe solves its outline; frozen into the shape at the end."""

    numbers: list[Reckoning] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    errors: list[InputError] = field(default_factory=list)
    style: LengthStyle = field(default_factory=LengthStyle)

    @classmethod
    def of(cls, project: Project) -> Ledger:
        """An empty ledger that writes lengths in a project's unit."""
        return cls(style=LengthStyle(project.unit, denominator=64))

    def length(self, length: float) -> str:
        """A length as errors write it, with its unit. [mm]"""
        return format_length(length, self.style)

    def least(self, length: float) -> str:
        """A limit from below, rounded up, so that what is read is enough. [mm]"""
        return self.length(shown_beyond(length, self.style, up=True))

    def most(self, length: float) -> str:
        """A limit from above, rounded down. [mm]"""
        return self.length(shown_beyond(length, self.style, up=False))

    def put(self, number: Reckoning) -> None:
        """Write a number down, in place of an earlier one of its key."""
        self.numbers = [known for known in self.numbers if known.key != number.key]
        self.numbers.append(number)

    def settle(
        self,
        name: str,
        wish: float | None,
        need: Reckoning,
        *,
        panels: tuple[str, ...] = (),
        rule: str = "",
        least: float | None = None,
    ) -> float:
        """The wish where there is one, else what is needed; says so where the wish is too small. [mm]

        Args:
            name: Field of the shape, such as "deck_depth".
            wish: Its value in the project.
            need: What the parts ask for; its key is "shape.<name>".
            panels: Where to point at.
            rule: Name of the rule in `TOO_SMALL`; the field's own if not given.
            least: What must not be undercut, where the need has some comfort in it.
        """
        if wish is None:
            self.numbers.append(need)
            return need.value
        self.numbers.append(stated(need.key, need.label, wish))
        self.numbers.append(
            Reckoning(
                f"{need.key}_needed",
                f"{need.label}, as the parts ask for",
                need.value,
                need.unit,
                need.terms,
                need.formula,
                need.rule,
                need.source,
            )
        )
        floor = need.value if least is None else least
        if wish < floor - TOUCHING:
            self.too_small(rule or name.replace("_", "-"), name, need, wish, floor, panels)
        return wish

    def too_small(
        self,
        rule: str,
        name: str,
        need: Reckoning,
        given: float,
        needed: float,
        panels: tuple[str, ...],
    ) -> None:
        """A finding with the value that would pass."""
        asked_by = need.rule if abs(needed - need.value) <= TOUCHING else ""
        self.findings.append(
            TOO_SMALL[rule].finding(
                f"{capital(need.label)} is {mm(given)}; its parts ask for "
                f"{mm(needed)} at least. {asked_by}".strip(),
                remedies=(
                    Remedy(f"Make it {mm(needed)}.", f"shape.{name}", needed),
                    Remedy("Leave the value out: it is then worked out."),
                ),
                names=panels,
            )
        )

    def refuse(self, name: str, got: object, want: str, example: str = "") -> None:
        """An error at a field of the shape."""
        self.errors.append(InputError(f"shape.{name}", got=got, want=want, example=example))

    def within(self, name: str, value: float | None, low: float, high: float) -> None:
        """An error where an angle is outside what the recipe can be made with. [deg]"""
        if value is not None and not low <= value <= high:
            nearest = min(max(value, low), high)
            self.refuse(name, f"{value:g}°", f"{low:g} to {high:g}°", f"{nearest:g}")


__all__ = ["TILT", "TOO_SMALL", "Candidate", "Ledger", "largest"]
