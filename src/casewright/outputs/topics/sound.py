"""Sheet: what box and grille make of the loudspeakers."""

from __future__ import annotations

import math

import numpy as np

from casewright.basics.findings import mm
from casewright.basics.wording import capital, counted, listed
from casewright.behavior.acoustics import Floats, closed_response, vented_response
from casewright.behavior.ports import PlacedPort
from casewright.behavior.sound import Driver, Sound
from casewright.behavior.whole import Behavior
from casewright.geometry.model import Cabinet
from casewright.outputs.drawings.marks import Drawing, Line, Mark, Polyline, Region, Text
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet

LETTERS = 2.8
"""Height of the lettering. [mm on paper]"""

WIDTH, HEIGHT = 128.0, 62.0
"""Of the diagram. [mm on paper]"""

LOW_HZ, HIGH_HZ = 20.0, 1000.0
LOW_DB, HIGH_DB = -24.0, 6.0

_LINES_HZ = (20, 30, 40, 50, 60, 80, 100, 200, 300, 500, 1000)
_LINES_DB = (-24, -18, -12, -6, 0, 6)


def sheet(cabinet: Cabinet, behavior: Behavior) -> TopicSheet | None:
    """Boxes, ports and grilles; nothing where there is no loudspeaker."""
    sound = behavior.sound
    if not sound.drivers:
        return None
    known = [d for d in _each(sound) if d.closed is not None]
    tables = [_places(sound)]
    if known:
        tables.append(_boxes(known))
    return TopicSheet(
        key="sound",
        title="Sound",
        question="How will it sound?",
        answer=_answer(sound, known),
        pictures=tuple(
            Picture(
                _response(driver),
                f"{driver.label}: level against the high notes, closed and with a port",
            )
            for driver in known[:2]
        ),
        tables=tuple(tables),
        numbers=tuple(number.key for number in sound.numbers),
        notes=tuple(_notes(sound)),
    )


def _each(sound: Sound) -> list[Driver]:
    """One of each kind in each chamber."""
    seen: dict[tuple[str, int], Driver] = {}
    for driver in sound.drivers:
        seen.setdefault((driver.part, id(driver.chamber)), driver)
    return list(seen.values())


def _answer(sound: Sound, known: list[Driver]) -> str:
    if known and known[0].built is not None:
        driver, built = known[0], known[0].built
        hump = "with no hump" if built.hump < 0.1 else f"with a hump of {built.hump:.1f} dB"
        return (
            f"{capital(driver.label)} in {driver.litres:.1f} L with a port that tunes to {built.tuning:.0f} Hz is 3 dB "
            f"down at {built.f3:.0f} Hz, {hump}."
        )
    if known and known[0].closed is not None:
        driver = known[0]
        box = known[0].closed
        return (
            f"{capital(driver.label)} in {driver.litres:.1f} L, closed, is 3 dB down at {box.f3:.0f} Hz, with a total "
            f"Q of {box.q:.2f}; {_character(box.q)}."
        )
    if any(not d.is_shut for d in sound.drivers):
        return "Voices and short sounds are clear; low notes are weak, as the air behind the cone is not shut off."
    return "It depends on data of the loudspeaker that nobody has given yet."


def _character(q: float) -> str:
    if q < 0.6:
        return "dry, it could do with less volume"
    if q <= 0.8:
        return "as flat as can be"
    return "a little full" if q <= 1.0 else "boomy, it wants more volume"


def _places(sound: Sound) -> Rows:
    rows = []
    for driver in sound.drivers:
        grille = driver.grille
        rows.append(
            (
                driver.label,
                mm(driver.data.cutout),
                _grille_words(driver),
                f"{100 * grille.open_share:.0f} %" if grille else "",
                f"{driver.litres:.1f}" if driver.is_shut else "open",
            )
        )
    heads = ("loudspeaker", "cut-out", "grille", "open share", "air behind, L")
    return Rows("Loudspeakers", heads, tuple(rows), (1, 3, 4))


def _grille_words(driver: Driver) -> str:
    grille = driver.grille
    if grille is None:
        return "none"
    return f"{counted(grille.count, 'hole')} {mm(grille.hole)}, {mm(grille.web)} of wood between"


def _boxes(known: list[Driver]) -> Rows:
    rows = []
    for driver in known:
        closed, vented, port = driver.closed, driver.vented, driver.port
        assert closed is not None and vented is not None
        built = driver.built
        if built is not None:
            rows.append(
                (
                    f"{driver.label}, as planned: tuned to {built.tuning:.0f} Hz",
                    f"{built.f3:.0f}",
                    f"{built.hump:.1f}",
                    listed(_port_words(p) for p in driver.ports),
                )
            )
        rows.append((f"{driver.label}, closed", f"{closed.f3:.0f}", f"{closed.hump:.1f}", ""))
        if built is not None:
            wanted = driver.wanted()
            rows.append(
                (
                    f"{driver.label}, port tuned best, to {vented.tuning:.0f} Hz",
                    f"{vented.f3:.0f}",
                    f"{vented.hump:.1f}",
                    f"the same, {mm(wanted.length)} long" if wanted else "",
                )
            )
            continue
        pipe = f"{mm(port.diameter)} wide inside, {mm(port.length)} long" if port else "none suits"
        if port and not port.goes_in:
            pipe += ": too long to go in straight"
        rows.append(
            (
                f"{driver.label}, port tuned to {vented.tuning:.0f} Hz",
                f"{vented.f3:.0f}",
                f"{vented.hump:.1f}",
                pipe,
            )
        )
        flat = driver.flat_litres
        if flat is not None and math.isfinite(flat):
            rows.append((f"flattest closed box: {flat:.1f} L", "", "0.0", ""))
    return Rows("Boxes for it", ("box", "3 dB down, Hz", "hump, dB", "port"), tuple(rows), (1, 2))


def _port_words(port: PlacedPort) -> str:
    d = port.data
    mouth = (
        f"{mm(d.width)} wide inside"
        if d.shape == "round"
        else f"{mm(d.width)} × {mm(d.height)} inside"
    )
    free = f", {mm(port.free)} free behind it" if math.isfinite(port.free) and port.free > 0 else ""
    return f"{mouth}, {mm(d.length)} long{free}"


def _notes(sound: Sound) -> list[str]:
    notes = []
    for driver in _each(sound):
        if driver.missing and driver.is_shut:
            notes.append(
                f"{capital(driver.label)}: look up or measure its resonance in free air (fs), total Q (Qts) and "
                "equivalent volume (Vas); then its box can be worked out."
            )
        elif not driver.missing and not driver.certain:
            notes.append(
                f"{capital(driver.label)}: its data are assumed. Makers' values differ from piece to piece by a tenth; "
                "measure fs and Qts once it has played for some hours."
            )
        if driver.beside and not driver.missing:
            notes.append(
                f"{capital(listed(driver.beside))} in the same chamber: it needs a closed back or a cup of its own."
            )
    for chamber in sound.chambers:
        if not chamber.is_shut and any(d.chamber is chamber for d in sound.drivers):
            notes.append(f"Air gets out of that chamber by {listed(chamber.leaks)}.")
    if any(d.built is not None for d in sound.drivers):
        notes.append(
            "A box with a port must be tight but for the port: seal seams, terminals and the loudspeaker's rim. Saw "
            "the port a tenth longer, listen or measure, and shorten it until it suits; then glue it in. Below its "
            "tuning the cone has no air to work on: turn deep bass down."
        )
    elif any(d.closed is not None for d in sound.drivers):
        notes.append(
            "A closed box must be tight: seal seams, terminals and the loudspeaker's rim. A port is drawn for "
            "comparison; it is not cut unless you place a part of kind port. Room and walls change the lowest notes "
            "further."
        )
    return notes


def _response(driver: Driver) -> Drawing:
    """Level over frequency: closed as a full line, with a port dashed."""
    d, closed, vented = driver.data, driver.closed, driver.vented
    assert closed is not None and vented is not None
    assert d.free_air_hz and d.total_q and d.compliance_litres
    marks: list[Mark] = []
    for hz in _LINES_HZ:
        x = _x(hz)
        marks.append(Line((x, 0.0), (x, HEIGHT), "thin" if hz in (20, 100, 1000) else "hatch"))
        if hz not in (30, 60, 80):
            marks.append(Text((x, -1.6 * LETTERS), f"{hz}", LETTERS, "middle"))
    for level in _LINES_DB:
        y = _y(level)
        marks.append(Line((0.0, y), (WIDTH, y), "thin" if level in (0, -24) else "hatch"))
        marks.append(
            Text(
                (-1.5, y),
                f"{level:+d}".replace("-", "−") if level else "0",
                LETTERS,
                "end",
                "middle",
            )
        )
    marks.append(Text((WIDTH, -3.2 * LETTERS), "Hz", LETTERS, "end"))
    marks.append(Text((-1.5, HEIGHT + 0.8 * LETTERS), "dB", LETTERS, "end"))
    frequency = np.geomspace(LOW_HZ, HIGH_HZ, 160)
    built = driver.built
    ported = built or vented
    with_port = vented_response(
        frequency, d.free_air_hz, d.total_q, d.compliance_litres, driver.litres, ported.tuning
    )
    # What is built is the full line, the other way of building it is dashed.
    port_pen, closed_pen = ("accent", "accent-hidden") if built else ("accent-hidden", "accent")
    marks.append(_curve(frequency, with_port, port_pen))
    marks.append(_curve(frequency, closed_response(frequency, closed), closed_pen))
    low, high = _y(-18.6), _y(-13.0)
    ground = ((_x(115), low), (WIDTH - 2.0, low), (WIDTH - 2.0, high), (_x(115), high))
    marks.append(Region(Polyline(ground), material="paper"))
    for row, (pen, words) in enumerate(
        (
            (closed_pen, f"closed, {driver.litres:.1f} L: −3 dB at {closed.f3:.0f} Hz"),
            (port_pen, f"port at {ported.tuning:.0f} Hz: −3 dB at {ported.f3:.0f} Hz"),
        )
    ):
        y = _y(-15) - row * 2.0 * LETTERS
        x = _x(125)
        start, end = (x, y + LETTERS / 2), (x + 9, y + LETTERS / 2)
        marks.append(Line(start, end, "accent" if pen == "accent" else "accent-hidden"))
        marks.append(Text((x + 11, y), words, LETTERS))
    return Drawing("Response", tuple(marks), scale=1.0)


def _curve(frequency: Floats, levels: Floats, pen: str) -> Polyline:
    points = [
        (_x(float(f)), _y(float(level)))
        for f, level in zip(frequency, levels, strict=True)
        if LOW_DB <= level <= HIGH_DB
    ]
    return Polyline(
        tuple(points), closed=False, pen="accent" if pen == "accent" else "accent-hidden"
    )


def _x(hz: float) -> float:
    return WIDTH * math.log(hz / LOW_HZ) / math.log(HIGH_HZ / LOW_HZ)


def _y(level: float) -> float:
    return HEIGHT * (level - LOW_DB) / (HIGH_DB - LOW_DB)


__all__ = ["sheet"]
