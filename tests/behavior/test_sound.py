"""Loudspeakers in cabinets: air behind them, leaks, boxes, grilles."""

from __future__ import annotations

import math
from copy import deepcopy

import pytest
from manifold3d import Manifold
from tests.checks.bench import BOX, board, box, cures, found, merged, subject_of

from casewright.basics.findings import Severity
from casewright.behavior.acoustics import litres_for
from casewright.behavior.sound import Sound
from casewright.checks.rules import sound_box, sound_grille, sound_leak
from casewright.geometry.solids import body_solid, piece_solid

DRIVER = {
    "kind": "speaker",
    "measured": {
        "cutout": 116,
        "frame": 140,
        "depth": 60,
        "holes_square": 95,
        "mass_kg": 0.8,
        "free_air_hz": 55,
        "total_q": 0.4,
        "compliance_litres": 18,
    },
    "placed": [{"key": "woofer", "on": "deck", "u": 200, "v": 150}],
}
SMALL = {
    "kind": "speaker",
    "measured": {"cutout": 60, "frame": 74, "depth": 34, "holes_square": 48, "mass_kg": 0.2},
    "placed": [{"key": "voice", "on": "deck", "u": 450, "v": 150, "grille": "drilled"}],
}
VENT = {"kind": "vent", "measured": {}, "placed": [{"key": "air", "on": "back", "u": 280, "v": 90}]}


def sound(data) -> Sound:
    behavior = subject_of(data).behavior
    assert behavior is not None
    return behavior.sound


def with_driver(**measured):
    return box(parts={"driver": merged(DRIVER, {"measured": measured})})


def closed_case(litres: float, **measured):
    """A box made for a volume."""
    driver = merged(DRIVER, {"measured": measured, "placed": [{"key": "woofer", "on": "front"}]})
    case = deepcopy(BOX)
    case["shape"] = {
        "recipe": "box",
        "width": 260,
        "height": 400,
        "side": {"material": "ply"},
        "board": "ply",
        "net_litres": litres,
    }
    case["panels"], case["seams"] = {}, []
    case["parts"] = {"driver": driver}
    return case


def test_air_behind_a_driver_is_what_solids_leave():
    """The inside, 576 × 276 × 176, less every piece and body, cut as solids."""
    data = with_driver()
    cabinet = subject_of(data).cabinet
    air = Manifold.cube((576, 276, 176)).translate((12, 12, 12))
    for piece in cabinet.pieces:
        air -= piece_solid(piece)
    for body in cabinet.bodies:
        if body.kind == "solid":
            air -= body_solid(body)
    (driver,) = sound(data).drivers
    assert driver.litres == pytest.approx(air.volume() / 1e6, rel=0.005)


def test_drivers_of_one_kind_share_the_air():
    one = sound(with_driver()).drivers[0].litres
    two = merged(
        DRIVER, {"placed": [*DRIVER["placed"], {"key": "w2", "on": "deck", "u": 400, "v": 150}]}
    )
    both = sound(box(parts={"driver": two})).drivers
    assert len(both) == 2
    assert both[0].litres == both[1].litres == pytest.approx(one / 2, rel=0.05)


def test_a_board_from_wall_to_wall_makes_two_chambers():
    data = with_driver()
    whole = sound(data).chambers[0]
    data["inner"] = {
        "floor2": {"material": "ply", "start": [288, 60], "end": [12, 60], "cleats": False}
    }
    parts = sound(data).chambers
    assert len(parts) == 2
    board = 576 * 276 * 12 / 1e6
    assert sum(p.empty_litres for p in parts) == pytest.approx(whole.empty_litres - board, rel=0.01)
    (driver,) = sound(data).drivers
    assert driver.chamber == max(parts, key=lambda p: max(z for _, z in p.outline))


def test_closed_and_vented_follow_from_data_and_volume():
    (driver,) = sound(with_driver()).drivers
    assert driver.closed is not None and driver.vented is not None
    assert driver.closed.q == pytest.approx(0.4 * math.sqrt(1 + 18 / driver.litres))
    assert driver.vented.f3 < driver.closed.f3
    assert driver.flat_litres == pytest.approx(litres_for(math.sqrt(0.5), 0.4, 18))
    assert driver.certain
    port = driver.port
    assert port is None or port.diameter >= port.least


def test_missing_data_are_named_not_guessed():
    data = with_driver()
    del data["parts"]["driver"]["measured"]["total_q"]
    (driver,) = sound(data).drivers
    assert driver.missing == ("total_q",)
    assert (driver.closed, driver.vented, driver.flat_litres) == (None, None, None)
    (finding,) = found(sound_box, data)
    assert "Qts" in finding.missing and finding.severity.value == "note"


def test_nothing_sounds_without_a_loudspeaker():
    assert sound(box()) == Sound()


def test_numbers_say_why():
    found_ = sound(with_driver())
    numbers = {n.key: n for n in found_.numbers}
    driver = found_.drivers[0]
    assert driver.closed is not None
    assert numbers["sound.woofer.volume"].value == pytest.approx(driver.litres)
    assert numbers["sound.woofer.q"].value == pytest.approx(driver.closed.q)
    assert numbers["sound.woofer.f3"].value == pytest.approx(driver.closed.f3)


def test_an_inch_project_has_the_same_air():
    """Bare lengths of parts are inches there; the box's own stay as the model has them."""
    data = with_driver()
    metric = sound(data).drivers[0].litres
    for field in ("cutout", "frame", "depth", "holes_square"):
        value = data["parts"]["driver"]["measured"][field]
        data["parts"]["driver"]["measured"][field] = f"{value / 25.4:.6f}"
    data["batten"] = {
        "width": "20 mm",
        "height": "20 mm",
    }  # it takes room inside; 3/4 in is usual there
    assert sound({**data, "unit": "in"}).drivers[0].litres == pytest.approx(metric, rel=1e-3)


# ---- rules ----


def test_a_box_too_small_is_cured_by_the_volume_it_names():
    data = closed_case(8, total_q=0.55)
    finding = found(sound_box, data)[0]
    assert finding.severity.value == "note"
    cures(sound_box, data)
    assert found(sound_box, closed_case(4, total_q=0.8))[0].severity.value == "caution"


def test_the_limit_itself_passes():
    """Qts chosen so that Q is 1 in the air that there is."""
    litres = sound(closed_case(10)).drivers[0].litres
    q = 1 / math.sqrt(1 + 18 / litres)
    assert found(sound_box, closed_case(10, total_q=q)) == []
    assert found(sound_box, closed_case(10, total_q=q * 1.001))


def test_a_driver_for_open_cabinets_gets_no_volume():
    (finding,) = found(sound_box, closed_case(10, total_q=1.1))
    assert not any(r.field for r in finding.remedies)


def test_a_vent_behind_a_loudspeaker_is_told():
    assert found(sound_leak, with_driver()) == []
    data = with_driver()
    data["parts"]["vents"] = VENT
    (finding,) = found(sound_leak, data)
    assert finding.place.names == ("woofer",)
    (driver,) = sound(data).drivers
    assert not driver.is_shut and driver.closed is None
    assert f"{driver.flat_litres:.1f} L" in finding.remedies[0].text


def test_grilles_by_their_holes():
    data = box(parts={"small": SMALL})
    (driver,) = sound(data).drivers
    grille = driver.grille
    assert grille is not None
    cone = math.pi * 60**2 / 4
    assert grille.open_share == pytest.approx(grille.count * math.pi * grille.hole**2 / 4 / cone)
    # 60° staggered holes: share of the plane = π ÷ (2·√3) × (hole ÷ pitch)², exact geometry.
    assert math.pi / (2 * math.sqrt(3)) * (grille.hole / grille.pitch) ** 2 == pytest.approx(0.40)
    assert grille.web == pytest.approx(grille.pitch - grille.hole)
    assert found(sound_grille, data) == []


def test_a_grille_with_few_holes_is_cured():
    """With the one bit of 8 mm there are few whole holes in a small cone."""
    tiny = merged(SMALL, {"measured": {"cutout": 24, "frame": 40, "holes_square": 28}})
    data = box(
        parts={"small": tiny},
        shop={"bits": [{"kind": "brad", "sizes": [8]}]},
    )
    shares = [d.grille.open_share for d in sound(data).drivers if d.grille]
    findings = found(sound_grille, data)
    assert bool(findings) == (shares[0] < sound_grille.LEAST)
    if findings:
        cures(sound_grille, data)


@pytest.mark.parametrize(
    ("face", "grille", "hole", "severities"),
    [
        ("back", "drilled", None, []),
        ("back", "open", None, []),
        ("back", "none", None, [Severity.CAUTION]),
        ("back", "none", (450, 150), []),
        ("back", "none", (450, 250), [Severity.CAUTION]),  # cut, but beside the cone of 60
        ("show", "open", None, []),
        ("show", "none", None, []),
        ("show", "drilled", None, [Severity.NOTE]),
    ],
)
def test_what_is_cut_before_a_cone(face, grille, hole, severities):
    """On the show face a basket needs its hole; behind a panel something has to be open."""
    placed = {**SMALL["placed"][0], "face": face, "grille": grille}
    cut = (
        [{"shape": "hole", "on": "deck", "u": hole[0], "v": hole[1], "diameter": 40}]
        if hole
        else []
    )
    data = box(parts={"small": {**SMALL, "placed": [placed]}}, features=cut)
    assert [f.severity for f in found(sound_grille, data)] == severities
    if severities:
        cures(sound_grille, data)
    holes = [f for f in board(data, "deck").features if f.key == "voice.cutout"]
    assert len(holes) == (face == "show" or grille == "open")
