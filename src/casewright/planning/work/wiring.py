"""Steps of the wiring: every wire of the harness laid and checked once, all before anything is switched on.

Mains stays in bought, enclosed, certified units; local codes go before every step. The checks are common practice of
bench electronics: continuity, polarity, earth and fuses with the supply unplugged, then voltages with no load.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.basics.customary import stick_words
from casewright.basics.findings import mm
from casewright.basics.wording import capital, counted, listed
from casewright.behavior.feeds import Feed
from casewright.behavior.harness import COLORS, Run
from casewright.behavior.harness_plan import MAIN_LEAD, MAINS_WIRED
from casewright.behavior.loads import Loads, power_loads
from casewright.behavior.wiring import Wiring
from casewright.catalog.kinds import Device, Dial, Lever, PushButton, Speaker
from casewright.geometry.model import Cabinet, Placed
from casewright.planning.work.minutes import minutes_table
from casewright.planning.work.part_orders import is_electric
from casewright.planning.work.step import Step

CHECK = "Check: "
"""Begins the order that proves a step of the wiring."""
NEAR = 5
"""A rail may be so far off its voltage. [%] Common practice for small electronics; a data sheet goes first."""
FEW = 6
"""So many runs of a step are told one by one."""
GROUND_OHMS = 1
"""A ground chain is below this from end to end. [Ω] Common practice."""
_OFF = "Supply unplugged, its plug out of the cabinet."
_BATTERY_OFF = "Battery taken off at its plus, every supply unplugged."


def wiring_steps(cabinet: Cabinet, wiring: Wiring, needs: Sequence[str]) -> list[Step]:
    """Every step from the first wire to the last load, the tying down among them; none where nothing is electric.

    Args:
        cabinet: The cabinet.
        wiring: Its harness.
        needs: Keys of the steps that fit the parts.
    """
    electric = [placed for placed in cabinet.placed if is_electric(placed)]
    if not electric and not wiring.runs:
        return []
    return list(_Wiring(cabinet, wiring, tuple(needs), electric).steps())


class _Wiring:
    def __init__(
        self, cabinet: Cabinet, wiring: Wiring, needs: tuple[str, ...], electric: list[Placed]
    ) -> None:
        self.cabinet = cabinet
        self.wiring = wiring
        self.fitted = needs
        self.electric = tuple(placed.key for placed in electric)
        self.loads: Loads = power_loads(cabinet)
        self.placed = cabinet.placed_by_key
        self.mains = [
            placed
            for placed in cabinet.placed
            if placed.part.data.mains
            and not (isinstance(placed.part.data, Device) and placed.part.data.outside)
        ]
        self.fused = list(wiring.fused)
        """One fuse for each run that starts a circuit, as they are bought."""
        has_battery = any(
            isinstance(data := cabinet.parts[supply.key].data, Device) and data.role == "battery"
            for supply in self.loads.supplies
        )
        self.off = _BATTERY_OFF if has_battery else _OFF
        self.rank = 0.0

    def steps(self) -> Iterator[Step]:
        joined = [*self.earth(), *self.power(), *self.lamps(), *self.ground()]
        grounds = tuple(step.key for step in joined if step.key.startswith("wire.ground."))
        joined += self.signals(grounds)
        joined += [*self.speakers(), *self.cables()]
        yield from joined
        yield self.tied(tuple(step.key for step in joined))
        yield from self.proved()

    # ---- wires ----

    def earth(self) -> Iterator[Step]:
        """Protective earth, where a mains unit stands inside."""
        if not self.mains:
            return
        names = listed(placed.label for placed in self.mains)
        yield self.step(
            "wire.earth",
            f"Protective earth of {names}: a licensed electrician's work",
            (
                f"Leave the {names} closed. Its mains lead, inlet, fuse and earth are joined by a licensed electrician "
                "under the local code, which goes before this page.",
                "Earth goes to every metal part that can be touched: plates, inlets, grilles, levers. Green with "
                "yellow is earth and nothing else.",
                f"{CHECK}unplugged, from the earth pin of the plug to each of these metal parts, well below "
                f"{GROUND_OHMS} Ω; from line and neutral to earth, no continuity.",
            ),
            (),
            tuple(placed.key for placed in self.mains),
            "earth",
            len(self.mains),
            tool="Meter; the electrician's own",
        )

    def power(self) -> Iterator[Step]:
        """The main lead, then the branches, source by source."""
        runs = [run for run in self.wiring.runs if run.kind == "power" and run.what != "lamps"]
        for source in dict.fromkeys(run.start for run in runs):
            mine = [run for run in runs if run.start == source]
            fused = [run for run in mine if run in self.fused]
            checks = [
                f"{CHECK}{run_names(mine)}, meter on continuity, nothing plugged in: plus to plus and ground to ground "
                "beep; plus to ground does not.",
                f"{CHECK}polarity: {_colors(mine)}, at each far end on the part's own mark.",
            ]
            if fused:
                checks.append(
                    f"{CHECK}fuses of {run_names(fused)}: with the fuse pulled the plus is broken. Leave all fuses out "
                    "until the first power."
                )
            if any(run.what == MAIN_LEAD for run in mine):
                checks.append(f"{CHECK}the switch, off, breaks the plus of the main lead.")
            yield self.joined(
                f"wire.power.{source}", f"Power from the {self.name(mine[0])}", mine, checks
            )

    def lamps(self) -> Iterator[Step]:
        runs = [run for run in self.wiring.runs if run.kind == "power" and run.what == "lamps"]
        for volts in dict.fromkeys(run.volts for run in runs):
            mine = [run for run in runs if run.volts == volts]
            yield self.joined(
                f"wire.lamps.{volts:g}",
                f"Lamps of {volts:g} V, from button to button",
                mine,
                [
                    f"{CHECK}{run_names(mine)}: from the first plus to the last lamp's plus, and along the ground, the "
                    "meter beeps; plus to ground does not.",
                ],
            )

    def ground(self) -> Iterator[Step]:
        runs = [run for run in self.wiring.runs if run.kind == "ground"]
        for board, mine in _chains(runs).items():
            yield self.joined(
                f"wire.ground.{board}",
                f"Ground chain of the {self.name(mine[0])}",
                mine,
                [
                    f"{CHECK}{run_names(mine)}: from the board's ground to each part of the chain, the last one too, "
                    f"below {GROUND_OHMS} Ω.",
                ],
            )

    def signals(self, grounds: tuple[str, ...]) -> Iterator[Step]:
        runs = [run for run in self.wiring.runs if run.kind == "signal"]
        for board in dict.fromkeys(run.start for run in runs):
            mine = [run for run in runs if run.start == board]
            yield self.joined(
                f"wire.signal.{board}",
                f"Signals of the {self.name(mine[0])}",
                mine,
                list(self.signal_checks(mine)),
                needs=grounds,
            )

    def signal_checks(self, runs: Sequence[Run]) -> Iterator[str]:
        """What a meter tells of each kind of control, at the board's end."""
        kinds: dict[str, list[Run]] = {}
        for run in runs:
            data = self.placed[run.end].part.data
            kind = (
                "button"
                if isinstance(data, PushButton)
                else "lever"
                if isinstance(data, Lever)
                else "dial"
                if isinstance(data, Dial)
                else "other"
            )
            kinds.setdefault(kind, []).append(run)
        said = {
            "button": "from signal to ground the meter beeps while the button is pressed, and only then",
            "lever": "each of the four ways beeps to ground while the lever is pushed that way, and only then",
            "dial": "from slider to ground the ohms follow the knob from end to end; plus to ground does not change",
            "other": "each wire beeps from end to end, and to none of its neighbors",
        }
        for kind, mine in kinds.items():
            yield f"{CHECK}{run_names(mine)}, at the board's end: {said[kind]}."

    def speakers(self) -> Iterator[Step]:
        mine = [run for run in self.wiring.runs if run.kind == "speaker"]
        if not mine:
            return
        ohms = sorted(
            {
                data.ohms
                for run in mine
                if isinstance(data := self.placed[run.end].part.data, Speaker) and data.ohms
            }
        )
        below = f" (a little below {' or '.join(f'{ohm:g}' for ohm in ohms)} Ω)" if ohms else ""
        yield self.joined(
            "wire.speakers",
            "Loudspeakers",
            mine,
            [
                f"{CHECK}{run_names(mine)}: ohms at the far end{below}, and no continuity from either wire to ground.",
                f"{CHECK}polarity: touch a cell of 1.5 V to each pair for a moment, plus to brown; every cone moves "
                "the same way, outward.",
            ],
        )

    def cables(self) -> Iterator[Step]:
        mine = [r for r in self.wiring.runs if r.kind == "cable" and r.what != MAINS_WIRED]
        if not mine:
            return
        orders = [
            f"{run.label}: {run.what or 'cable'} from the {run.start_label} to the {run.end_label}; "
            + (
                f"{mm(run.length)}."
                if run.wire
                else f"it comes with its part; its way inside is {mm(run.way)}."
                if run.own
                else f"bought, {stick_words(run.length, self.cabinet.project.unit)}."
            )
            for run in mine
        ]
        yield self.step(
            "wire.cables",
            f"Plug in {counted(len(mine), 'bought cable')}",
            (
                self.off,
                *orders,
                f"{CHECK}{run_names(mine)}: each plug sits to its stop, a gentle pull does not move it, its bend "
                "is wider "
                "than the cable asks; power stays off.",
            ),
            tuple(run.label for run in mine),
            self.parts(mine),
            "cables",
            len(mine),
            tool="By hand",
        )

    def joined(
        self,
        key: str,
        title: str,
        runs: Sequence[Run],
        checks: Sequence[str],
        *,
        needs: tuple[str, ...] = (),
    ) -> Step:
        """A step that lays some runs and proves each of them."""
        soldered = any("solder" in end for run in runs for end in run.ends)
        tools = ["stripper", *(["soldering iron"] if soldered else [])]
        if any("receptacle" in end or "ferrule" in end for run in runs for end in run.ends):
            tools.insert(0, "crimp tool")
        cores = sum(max(1, len(run.cores)) for run in runs)
        return self.step(
            key,
            title,
            (
                f"{self.off} Labels on both ends first; lengths and ends as in the wire list.",
                *self.laid(runs),
                *checks,
            ),
            tuple(run.label for run in runs),
            self.parts(runs),
            "wire",
            cores,
            tool=capital(f"{listed(tools)}, meter"),
            needs=needs,
        )

    def laid(self, runs: Sequence[Run]) -> Iterator[str]:
        """Runs as orders: each by itself where it has a fuse or there are few, else as the wire list has them."""
        alone = [run for run in runs if len(runs) <= FEW or run in self.fused]
        for run in alone:
            yield _laid(run, fused=run in self.fused)
        rest = [run for run in runs if run not in alone]
        if rest:
            cores = listed(
                dict.fromkeys(
                    f"{COLORS[core.color]} {core.carries}" for run in rest for core in run.cores
                )
            )
            yield (
                f"{run_names(rest)}: as the wire list has them, from the {rest[0].start_label} to the "
                f"{rest[-1].end_label}; {cores}. Tick each there."
            )

    def tied(self, needs: tuple[str, ...]) -> Step:
        """Everything in its place; the last step before power."""
        orders = [
            "Tie the wires down away from edges, levers, fan blades and warm parts; leave enough loop that every part "
            "can be taken out.",
            f"{CHECK}every wire pulled gently at both ends, no bare strand, no wire between a panel and its cleat, "
            "every label readable.",
        ]
        if not self.wiring.runs:
            orders.insert(
                0,
                f"{self.off} No wire could be planned, since no supply or controller is named: wire each part by its "
                "own sheet, power first, then signals, both ends labelled.",
            )
            orders.append(
                f"{CHECK}each wire from end to end, plus to plus and ground to ground; plus to ground does not beep."
            )
        return self.step(
            "wire",
            "Tie the wires down and look everything over",
            tuple(orders),
            (),
            self.electric,
            "tie down",
            max(1, len(self.electric)),
            tool="Cable ties, cutters",
            needs=needs,
        )

    # ---- power, the first time ----

    def proved(self) -> Iterator[Step]:
        """Cold, then with no load, then load by load, then everything in use."""
        rails = sorted({row.volts for row in self.loads.rows if row.volts}, reverse=True)
        fused = self.fused
        before = "test.cold"
        yield self.test(
            before,
            "Before the first power: measure everything cold",
            tuple(self.cold(rails, fused)),
            ("wire",),
            "cold test",
            max(1, len(self.wiring.runs)),
        )
        if rails and self.loads.supplies:
            yield self.test(
                "test.no-load",
                "First power, with no load: voltages",
                tuple(self.no_load(fused)),
                (before,),
                "no load",
                max(1, len(fused)),
            )
            yield self.test(
                "test.loads",
                "Connect one load after the other",
                tuple(self.one_by_one(rails)),
                ("test.no-load",),
                "load",
                max(1, len(self.loads.rows)),
            )
            before = "test.loads"
        last = [
            "Go through the commissioning list: every display, button, lever, loudspeaker, fan, light, switch, socket "
            "and handle.",
        ]
        if rails:
            last.append(
                "Let it run for an hour, closed; feel for heat, look at the fan, then switch off and pull the plug."
            )
        yield self.test(
            "test", "Test before the first use", tuple(last), (before,), "test", len(self.electric)
        )

    def cold(self, rails: Sequence[float], fused: Sequence[Run]) -> Iterator[str]:
        yield "Everything unplugged: supply, computer, loads. Take a photograph of the open wiring."
        if rails:
            volts = listed(f"{rail:g} V" for rail in rails)
            yield f"{CHECK}from the plus of {volts} to ground: no short; the reading climbs and stays over 1 kΩ."
            if len(rails) > 1:
                yield f"{CHECK}from rail to rail: no continuity."
        if fused:
            by_size = sorted({run.fuse for run in fused})
            words = "; ".join(
                f"{size:g} A for {run_names([run for run in fused if run.fuse == size])}"
                for size in by_size
            )
            yield f"{CHECK}fuses by their print, beside the holders, not in them yet: {words}."
        if self.mains:
            yield f"{CHECK}earth once more, from the plug's pin to every metal part, before anything is plugged in."
        else:
            yield (
                "No mains is inside: it stays in a bought, enclosed, certified supply or charger outside. Do not open "
                "that; local codes go before this page."
            )

    def no_load(self, fused: Sequence[Run]) -> Iterator[str]:
        feeds = [
            f for f in self.wiring.feeds.all if f.supply.volts or len(self.wiring.feeds.all) == 1
        ]
        for feed in feeds:
            supply = feed.supply
            volts = supply.volts
            span = f"{volts * (1 - NEAR / 100):.1f} to {volts * (1 + NEAR / 100):.1f} V"
            yield (
                f"{CHECK}the {supply.label} by itself, its plug in nothing: {span}, plus where the drawing has it."
            )
            if feed.straight_to:
                continue
            others = " and all other supplies unplugged" if len(feeds) > 1 else ""
            whose = "the supply" if len(feeds) == 1 else f"the {supply.label}"
            yield (
                f"Loads unplugged, fuses out{others}: plug {whose} in, switch on. Nothing warms, nothing smells; else "
                "pull it."
            )
            mine = self.behind(feed, fused)
            main = [run for run in mine if run.what == MAIN_LEAD]
            if main:
                yield (
                    f"Put in the main fuse, {main[0].fuse:g} A: {CHECK.lower()}{span} behind the switch, 0 V when it "
                    "is off."
                )
            rest = [run for run in mine if run not in main]
            ends = list({(run.fuse, run.end): run for run in rest if run.what != "lamps"}.values())
            for run in ends:
                yield (
                    f"Put in the {run.fuse:g} A of {run.label}: {CHECK.lower()}{span} at the plug for the "
                    f"{run.end_label}, plus on "
                    f"{COLORS[run.cores[0].color] if run.cores else 'its plus'}."
                )
            for run in (run for run in rest if run.what == "lamps"):
                yield (
                    f"Put in the {run.fuse:g} A of the lamps: {CHECK.lower()}every lamp lights, none is dim."
                )
            if len(feeds) > 1:
                yield f"Switch off, pull the {supply.label}'s plug."
        for converter in self.loads.converters:
            if converter.volts:
                low, high = (
                    converter.volts * (1 - NEAR / 100),
                    converter.volts * (1 + NEAR / 100),
                )
                yield (
                    f"{CHECK}output of the {converter.label}, nothing on it: {low:.2f} to {high:.2f} V before any "
                    "board is plugged in."
                )
        yield "Switch off, pull the plug."

    def behind(self, feed: Feed, fused: Sequence[Run]) -> list[Run]:
        """Fused runs that one supply feeds itself."""
        return [run for run in fused if run.start in (feed.source, feed.hub)]

    def one_by_one(self, rails: Sequence[float]) -> Iterator[str]:
        for row in self.loads.rows:
            amps = f", {row.peak_w / row.volts:.2f} A at most" if row.volts else ""
            rail = f" on {row.volts:g} V" if row.volts else ""
            yield f"Unplugged, connect the {row.label}{rail}; switch on: it works{amps}; switch off."
        for row in self.loads.mains:
            yield f"Plug the {row.label} in by its own mains lead; it works; pull its plug again."
        yield (
            f"{CHECK}with all loads on, each rail within {NEAR} % of its voltage: "
            + listed(f"{rail:g} V" for rail in rails)
            + "."
        )

    # ---- common ----

    def parts(self, runs: Sequence[Run]) -> tuple[str, ...]:
        """Placed parts that some runs join."""
        keys = dict.fromkeys(key for run in runs for key in (run.start, run.end))
        return tuple(key for key in keys if key in self.placed)

    def name(self, run: Run) -> str:
        return run.start_label

    def step(
        self,
        key: str,
        title: str,
        orders: tuple[str, ...],
        wires: tuple[str, ...],
        parts: tuple[str, ...],
        job: str,
        count: int,
        *,
        tool: str,
        needs: tuple[str, ...] = (),
    ) -> Step:
        self.rank += 1
        return Step(
            key=key,
            stage="wire",
            title=title,
            orders=orders,
            parts=parts,
            tool=tool,
            cautions=("mains", "low voltage", "heat"),
            needs=(*self.fitted, *needs),
            count=count,
            job=job,
            minutes=minutes_table().of(job, count),
            rank=self.rank,
            wires=wires,
        )

    def test(
        self,
        key: str,
        title: str,
        orders: tuple[str, ...],
        needs: tuple[str, ...],
        job: str,
        count: int,
    ) -> Step:
        return Step(
            key=key,
            stage="test",
            title=title,
            orders=orders,
            tool="Meter",
            cautions=("mains", "low voltage"),
            needs=needs,
            count=count,
            job=job,
            minutes=minutes_table().of(job, count),
        )


def _laid(run: Run, *, fused: bool) -> str:
    """One run as an order."""
    cores = listed(f"{COLORS[core.color]} {core.carries}" for core in run.cores)
    size = f", {run.wire.name}" if run.wire else ""
    fuse = f"; fuse {run.fuse:g} A beside the {run.start_label}" if fused else ""
    return (
        f"{run.label}: {run.start_label} to {run.end_label}, {cores}{size}, {mm(run.length)}{fuse}."
    )


def run_names(runs: Sequence[Run]) -> str:
    """Labels of runs, those in a row drawn together: "W2 to W6 and W9"."""
    numbers = sorted(int(run.label[1:]) for run in runs)
    spans: list[list[int]] = []
    for number in numbers:
        if spans and number == spans[-1][-1] + 1:
            spans[-1].append(number)
        else:
            spans.append([number])
    words = [
        f"W{span[0]} to W{span[-1]}" if len(span) > 2 else " and ".join(f"W{n}" for n in span)
        for span in spans
    ]
    return ", ".join(words)


def _colors(runs: Sequence[Run]) -> str:
    """Which color is what, over some runs."""
    told = dict.fromkeys(
        f"{COLORS[core.color]} is {core.carries}" for run in runs for core in run.cores
    )
    return listed(told)


def _chains(runs: Sequence[Run]) -> dict[str, list[Run]]:
    """Runs of a chain by the part that it starts from."""
    root: dict[str, str] = {}
    found: dict[str, list[Run]] = {}
    for run in runs:
        start = root.get(run.start, run.start)
        root[run.end] = start
        found.setdefault(start, []).append(run)
    return found


__all__ = ["CHECK", "FEW", "GROUND_OHMS", "NEAR", "run_names", "wiring_steps"]
