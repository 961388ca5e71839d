"""What boxes and grilles make of the loudspeakers."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from casewright.basics.reckoning import Reckoning, Term, derived, stated, total
from casewright.behavior.acoustics import (
    FLAT_Q,
    PORT_ENDS,
    ClosedBox,
    VentedBox,
    closed_box,
    f3_ratio,
    litres_for,
    port_least,
    port_length,
    port_tuning,
    slot_diameter,
    vented_at,
    vented_box,
)
from casewright.behavior.balance import Balance
from casewright.behavior.chambers import Chamber, chambers_of
from casewright.behavior.enclosure import Enclosure
from casewright.behavior.ports import PIPES, PlacedPort, Wanted, ports_of, wanted_port
from casewright.behavior.vents import air_holes
from casewright.catalog.kinds import Port, Speaker
from casewright.geometry.model import Cabinet, Placed

NEEDED = ("free_air_hz", "total_q", "compliance_litres")
"""What a data sheet must tell before a box can be worked out."""

TRAVEL_SHARE = 0.025
"""Travel of a cone one way as a share of its cut-out, where it is not told. Common practice, taken low."""

LONGEST = 0.8
"""Of the chamber's smaller side: a port's end keeps free of the wall behind it. Common practice."""


@dataclass(frozen=True)
class Grille:
    """Holes drilled before a cone."""

    hole: float
    pitch: float
    count: int
    open_share: float
    """Of the cone's area."""

    @property
    def web(self) -> float:
        """Wood between two holes. [mm]"""
        return self.pitch - self.hole


@dataclass(frozen=True)
class Pipe:
    """A pipe that suits a box with none."""

    diameter: float
    length: float
    least: float
    """Diameter under which it huffs. [mm]"""
    goes_in: bool
    """Whether it ends clear of the wall behind it."""


@dataclass(frozen=True)
class Driver:
    """One loudspeaker in its place."""

    key: str
    label: str
    part: str
    data: Speaker
    chamber: Chamber | None
    """None where it looks into no chamber."""
    litres: float
    """Its share of the chamber's air."""
    certain: bool
    """Whether the three values come from its data sheet or a measurement."""
    grille: Grille | None = None
    beside: tuple[str, ...] = ()
    """Labels of loudspeakers of another kind in the same chamber."""
    ports: tuple[PlacedPort, ...] = ()
    """Ports that were placed into its chamber."""
    alike: int = 1
    """Loudspeakers of its kind in the chamber, itself included."""

    @property
    def missing(self) -> tuple[str, ...]:
        """Fields of its data that are wanted for a box."""
        return tuple(name for name in NEEDED if not getattr(self.data, name))

    @property
    def is_shut(self) -> bool:
        """Whether the air behind it is shut off."""
        return self.chamber is not None and self.chamber.is_shut and self.litres > 0

    @cached_property
    def closed(self) -> ClosedBox | None:
        """With the chamber shut; None where data or a shut chamber are missing."""
        d = self.data
        if self.missing or not self.is_shut:
            return None
        assert d.free_air_hz and d.total_q and d.compliance_litres
        return closed_box(d.free_air_hz, d.total_q, d.compliance_litres, self.litres)

    @cached_property
    def vented(self) -> VentedBox | None:
        """With a port in the same chamber, tuned to go low without a hump."""
        d = self.data
        if self.missing or not self.is_shut:
            return None
        assert d.free_air_hz and d.total_q and d.compliance_litres
        return vented_box(d.free_air_hz, d.total_q, d.compliance_litres, self.litres)

    @cached_property
    def built(self) -> VentedBox | None:
        """With the ports that were placed, as they tune the box; None where there are none or data are missing."""
        d = self.data
        if not self.ports or self.missing or not self.is_shut:
            return None
        assert d.free_air_hz and d.total_q and d.compliance_litres and self.chamber
        tuning = port_tuning(self.chamber.litres, [(p.diameter, p.data.length) for p in self.ports])
        return vented_at(d.free_air_hz, d.total_q, d.compliance_litres, self.litres, tuning)

    @property
    def travel(self) -> float:
        """Of its cone, one way; taken low where it is not told. [mm]"""
        return self.data.travel or TRAVEL_SHARE * self.data.cutout

    @property
    def least_port(self) -> float:
        """Diameter under which the placed ports, as one, huff. [mm]"""
        tuning = self.built.tuning if self.built else math.inf
        return port_least(self.data.cutout * math.sqrt(self.alike), self.travel, tuning)

    @property
    def port_width(self) -> float:
        """Diameter of the one port that has the area of all that were placed. [mm]"""
        return math.sqrt(math.fsum(p.diameter**2 for p in self.ports))

    def wanted(
        self, diameter: float | None = None, *, height: float | None = None
    ) -> Wanted | None:
        """The length that tunes best, of the placed ports or of others of this diameter, slots of this height.

        None for ports that differ, and where no length does.
        """
        d = self.data
        if self.built is None or len({p.part for p in self.ports}) != 1:
            return None
        assert d.free_air_hz and d.total_q and d.compliance_litres
        port = min(self.ports, key=lambda p: p.depth)
        other = port.data.model_copy(update={"height": height}) if height else None
        if other is not None:
            diameter = slot_diameter(other.width, other.height)
        return wanted_port(
            port,
            len(self.ports),
            diameter or port.diameter,
            driver=(d.free_air_hz, d.total_q, d.compliance_litres),
            alike=self.alike,
            cone=d.cutout,
            travel=self.travel,
            instead=other,
        )

    @property
    def flat_litres(self) -> float | None:
        """Closed volume that goes lowest without a hump; infinite where none does, None where data are missing."""
        if self.missing:
            return None
        assert self.data.total_q and self.data.compliance_litres
        return litres_for(FLAT_Q, self.data.total_q, self.data.compliance_litres)

    @property
    def port(self) -> Pipe | None:
        """The narrowest pipe that does not huff; None where all are too narrow or tune too low."""
        if self.vented is None or self.chamber is None:
            return None
        least = port_least(self.data.cutout, self.travel, self.vented.tuning)
        ys, zs = zip(*self.chamber.outline, strict=True)
        room = LONGEST * min(max(ys) - min(ys), max(zs) - min(zs))
        for diameter in PIPES:
            length = port_length(self.litres, self.vented.tuning, diameter)
            if diameter >= least and length > 0:
                return Pipe(diameter, length, least, length <= room)
        return None


@dataclass(frozen=True)
class Sound:
    """All loudspeakers and chambers."""

    chambers: tuple[Chamber, ...] = ()
    drivers: tuple[Driver, ...] = ()
    ports: tuple[PlacedPort, ...] = ()
    numbers: tuple[Reckoning, ...] = ()


def sound_of(cabinet: Cabinet, balance: Balance, inside: Enclosure) -> Sound:
    """Chambers behind the loudspeakers, with closed and vented boxes where the driver's data are known.

    Equal drivers share a chamber's air by halves. A small driver beside a large one is taken to have a closed back.

    Source:
        small-closed-box, small-vented-box, loudspeaker-ports.
    """
    speakers = [p for p in cabinet.placed if isinstance(p.part.data, Speaker)]
    if not speakers and not any(isinstance(p.part.data, Port) for p in cabinet.placed):
        return Sound()
    holes, _ = air_holes(cabinet, inside)
    chambers = chambers_of(cabinet, inside, holes, balance)
    places = {p.key: _chamber(p, chambers) for p in speakers}
    ports = ports_of(cabinet, chambers, inside)
    drivers = tuple(_driver(cabinet, p, places, ports) for p in speakers)
    return Sound(chambers, drivers, ports, tuple(n for d in _once(drivers) for n in _numbers(d)))


def _chamber(placed: Placed, chambers: Sequence[Chamber]) -> Chamber | None:
    data = placed.part.data
    assert isinstance(data, Speaker)
    # Half its depth behind the face it is mounted on, past panels of any thickness.
    point = placed.frame.point(0.0, 0.0, -max(data.depth * 0.6, 25.0))
    return next((chamber for chamber in chambers if chamber.holds(point)), None)


def _driver(
    cabinet: Cabinet,
    placed: Placed,
    places: Mapping[str, Chamber | None],
    ports: Sequence[PlacedPort],
) -> Driver:
    data, chamber = placed.part.data, places[placed.key]
    assert isinstance(data, Speaker)
    here = [
        cabinet.placed_by_key[key]
        for key, other in places.items()
        if chamber is not None and other is chamber
    ]
    alike = [p for p in here if p.part.key == placed.part.key]
    origin = placed.part.origin
    return Driver(
        key=placed.key,
        label=placed.label or placed.part.label,
        part=placed.part.key,
        data=data,
        chamber=chamber,
        litres=chamber.litres / len(alike) if chamber is not None else 0.0,
        certain=all(origin.get(name) == "measured" for name in NEEDED),
        grille=_grille(cabinet, placed),
        beside=tuple(p.label or p.part.label for p in here if p.part.key != placed.part.key),
        ports=tuple(p for p in ports if chamber is not None and p.chamber is chamber),
        alike=max(len(alike), 1),
    )


def _grille(cabinet: Cabinet, placed: Placed) -> Grille | None:
    number = cabinet.numbers.get(f"{placed.key}.grille_open")
    if number is None:
        return None
    terms = {term.label: term.value for term in number.terms}
    return Grille(terms["hole"], terms["pitch"], round(terms["holes"]), number.value)


def _once(drivers: Sequence[Driver]) -> list[Driver]:
    """One of each kind in each chamber."""
    seen: dict[tuple[str, int], Driver] = {}
    for driver in drivers:
        seen.setdefault((driver.part, id(driver.chamber)), driver)
    return list(seen.values())


def _numbers(driver: Driver) -> Iterator[Reckoning]:
    chamber, d = driver.chamber, driver.data
    if chamber is None or not driver.is_shut:
        return
    name = f"sound.{driver.key}"
    share = driver.litres / chamber.litres
    yield total(
        f"{name}.volume",
        f"{driver.label}: air behind it",
        [
            Term("between the panels", chamber.empty_litres, share),
            Term("cleats, frames and parts", chamber.taken_litres, -share),
        ],
        unit="L",
        rule="Exact solids; drivers of one kind in a chamber share it evenly.",
    )
    if driver.closed is None or driver.vented is None:
        return
    assert d.free_air_hz and d.total_q and d.compliance_litres
    volumes = [
        Term("Vas", d.compliance_litres, unit="L"),
        Term("volume", driver.litres, key=f"{name}.volume", unit="L"),
    ]
    stiffer = math.sqrt(1 + d.compliance_litres / driver.litres)
    yield derived(
        f"{name}.q",
        f"{driver.label}: total Q in the closed box",
        d.total_q * stiffer,
        "Qts × √(1 + Vas ÷ volume)",
        [Term("Qts", d.total_q, unit=""), *volumes],
        unit="",
        rule="0.707 goes lowest without a hump; past 1 the bass booms.",
        source="small-closed-box",
    )
    yield derived(
        f"{name}.resonance",
        f"{driver.label}: resonance in the closed box",
        d.free_air_hz * stiffer,
        "fs × √(1 + Vas ÷ volume)",
        [Term("fs", d.free_air_hz, unit="Hz"), *volumes],
        unit="Hz",
        source="small-closed-box",
    )
    yield derived(
        f"{name}.f3",
        f"{driver.label}: 3 dB down in the closed box",
        driver.closed.resonance * f3_ratio(driver.closed.q),
        "resonance × √(a + √(a² + 1)), a = 1 ÷ (2 × Q²) − 1",
        [
            Term("resonance", driver.closed.resonance, key=f"{name}.resonance", unit="Hz"),
            Term("Q", driver.closed.q, key=f"{name}.q", unit=""),
        ],
        unit="Hz",
        source="small-closed-box",
    )
    if driver.built is not None:
        yield from _built_numbers(driver, driver.built)
        return
    port = driver.port
    if port is not None and port.goes_in:
        yield derived(
            f"{name}.port_length",
            f"{driver.label}: length of a port of that diameter",
            port_length(driver.litres, driver.vented.tuning, port.diameter),
            "10 × (23562.5 × (diameter ÷ 10)² ÷ (tuning² × volume) − 0.732 × diameter ÷ 10)",
            [
                Term("diameter", port.diameter),
                Term("tuning", driver.vented.tuning, unit="Hz"),
                Term("volume", driver.litres, key=f"{name}.volume", unit="L"),
            ],
            rule=f"One end flush, one free: {PORT_ENDS:g} diameters are taken off.",
            source="loudspeaker-ports",
        )


def _built_numbers(driver: Driver, built: VentedBox) -> Iterator[Reckoning]:
    """Of the ports that were placed."""
    name, chamber, ports = f"sound.{driver.key}", driver.chamber, driver.ports
    assert chamber is not None
    terms = [Term("volume", chamber.litres, unit="L")]
    for number, port in enumerate(ports, start=1):
        mark = f" {number}" if len(ports) > 1 else ""
        terms += [Term(f"diameter{mark}", port.diameter), Term(f"length{mark}", port.data.length)]
    yield derived(
        f"{name}.tuning",
        f"{driver.label}: tuning by its port" + ("s" if len(ports) > 1 else ""),
        built.tuning,
        "√(23562.5 ÷ volume × sum of (diameter ÷ 10)² ÷ (length ÷ 10 + 0.732 × diameter ÷ 10))",
        terms,
        unit="Hz",
        rule=f"One end flush, one free: {PORT_ENDS:g} diameters more than the length swing. A slot counts as the round "
        "port of as much area.",
        source="loudspeaker-ports",
    )
    yield stated(
        f"{name}.vented_f3",
        f"{driver.label}: 3 dB down with its port",
        built.f3,
        unit="Hz",
        rule="Where the response of fourth order crosses −3 dB, from above; usual leaks.",
        source="small-vented-box",
    )
    wanted = driver.wanted()
    if wanted is not None:
        yield stated(
            f"{name}.port_length",
            f"{driver.label}: length of its port that tunes best",
            wanted.length,
            rule="Goes lowest with no hump; the air that the longer pipe takes is reckoned in.",
            source="loudspeaker-ports",
        )


__all__ = [
    "LONGEST",
    "NEEDED",
    "TRAVEL_SHARE",
    "Driver",
    "Grille",
    "Pipe",
    "Sound",
    "sound_of",
]
