"""Every wire carries its current and its fuse, and loses little on the way."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.basics.findings import Finding, Remedy, Rule, Severity, at_most
from casewright.behavior.harness import Run
from casewright.behavior.laying import wire_system
from casewright.behavior.wires import DROP, FUSES, wire_for
from casewright.checks.subject import Subject

RULE = Rule(
    id="power.wire",
    severity=Severity.CAUTION,
    asks=f"Each run's wire carries its current and its fuse, and supply to load lose no more than {100 * DROP:g} % of "
    "the rail's voltage.",
    why="Thin wire gets hot in its bundle, and what it loses the far part lacks.",
    source="iec-60335-1-cords",
)


def find(subject: Subject) -> Iterator[Finding]:
    """One finding for each run that no wire suits, and for each of the maker's own that leads nowhere."""
    if subject.behavior is None:
        return
    wiring = subject.behavior.wiring
    for run in wiring.runs:
        if run.label in wiring.too_thin and run.wire is not None:
            yield RULE.finding(
                f"{run.label} from {run.start_label} to {run.end_label} carries {run.amps:.1f} A: no usual wire and "
                f"fuse suits that; {run.wire.name} would lose {run.drop:.2f} V, {run.most_drop:.2f} V are allowed.",
                remedies=_remedies(run),
                names=(run.start, run.end),
            )
        elif run.wire is not None and run.volts and run.drop > run.most_drop + 1e-9:
            yield _own(subject, run)
    for wish in wiring.lost:
        known = subject.cabinet.placed_by_key
        missing = next(key for key in (wish.start, wish.end) if key not in known)
        yield RULE.finding(
            f"The wire from {wish.start} to {wish.end} leads nowhere: no placed part is called {missing}.",
            remedies=(Remedy("Name two parts by the keys of their places, or take the wire out."),),
        )


def _remedies(run: Run) -> tuple[Remedy, ...]:
    made = []
    assert run.wire is not None
    most = min(run.wire.carries, FUSES[-1] / 1.25)
    if run.amps > most:
        made.append(
            Remedy(
                f"Split the load over circuits of {most:g} A at most, each with its own fuse and wire."
            )
        )
    if run.most_drop > 0 and run.drop > run.most_drop:
        length = run.most_drop / run.wire.drop(1.0, run.amps)
        made.append(
            Remedy(f"Bring the two nearer: {run.wire.name} may be {at_most(length)} long at most.")
        )
    made.append(Remedy(f"Or choose parts for {2 * run.volts:g} V: at half the current."))
    return tuple(made)


def _own(subject: Subject, run: Run) -> Finding:
    wire = wire_for(run.amps, run.length, run.most_drop, wire_system(subject.cabinet))
    if run.most_drop <= 0:
        left = f"{run.end_label} loses all that may be lost, so nothing is left for its wire"
        cure = f"Cure the loss inside {run.end_label} first; its own finding says how."
    else:
        left = f"{run.most_drop:.2f} V may be lost"
        cure = f"Take {wire.name}." if wire else "Make it shorter, or choose a higher voltage."
    return RULE.finding(
        f"{run.label} from {run.start_label} to {run.end_label} loses {run.drop:.2f} V of {run.volts:g} V; {left}.",
        remedies=(Remedy(cure),),
        names=(run.start, run.end),
    )


__all__ = ["RULE", "find"]
