"""Orders for a sign that has no room: carried out as they are written, each ends its finding and brings no stop.

No outside figure is needed but the lean: the rules themselves are asked again, on the project with the values in it.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from tests.checks.bench import applied, subject_of
from tests.checks.test_moves_cure import is_among

from casewright.basics.findings import Severity
from casewright.checks import run_checks


def signed(
    size: tuple[float, float, float], opening: tuple[float, float], **more: Any
) -> dict[str, Any]:
    """A box (width, height, depth) with a sign on its front. [mm]"""
    width, height, depth = size
    boards = more.pop("boards", {})
    sizes = {"opening_width": opening[0], "opening_height": opening[1], **more.pop("sizes", {})}
    return {
        "name": "Sign",
        "writing": {"unit": more.pop("unit", "mm"), "denominator": more.pop("denominator", 32)},
        "materials": {"ply": {"kind": "plywood", "nominal": 12, "measured": 11.8}},
        "shape": {
            "recipe": "box",
            "width": width,
            "height": height,
            "depth": depth,
            "front_tilt_deg": more.pop("tilt", 0),
            "side": {"material": "ply"},
            "board": "ply",
        },
        "boards": boards,
        "parts": {
            "sign": {
                "kind": "sign",
                "measured": sizes,
                "placed": [{"key": "sign", "on": "front", **more}],
            },
        },
    }


def bar(z: float) -> dict[str, Any]:
    """A board that lies across below a sign's light board, or in its lower end. [mm]"""
    place = {"material": "ply", "plane": "level", "at": [11.8, 60, z], "size": [476.4, 60]}
    return {"bar": place}


@pytest.mark.parametrize(
    "data",
    [
        signed((500, 200, 300), (300, 100), v=70, boards=bar(14)),
        signed((500, 200, 300), (300, 100), v=85, boards=bar(20)),
        signed((500, 200, 220), (300, 60), v=40, tilt=12),
        signed((500, 200, 220), (300, 60), dv=-70, tilt=12),
        signed((500, 150, 220), (300, 110), tilt=20),
        signed((480, 180, 200), (440, 120), unit="in", denominator=16),
        signed((650, 86, 200), (500, 60), unit="in", u=310, v=50),
        signed((451, 203, 200), (420, 170), unit="in", denominator=64, sizes={"overlap": 6}),
        signed((567, 240, 236), (207, 214), unit="in", u=240, turn=90),
        signed((378, 178, 200), (150, 70), du=150, dv=40),
    ],
)
def test_every_order_for_a_sign_cures_as_it_is_written(data):
    before = list(run_checks(subject_of(data, collide=True)))
    told = [f for f in before if "sign" in f.place.names and any(r.field for r in f.remedies)]
    assert told
    for finding in told:
        for remedy in finding.remedies:
            if remedy.field:
                after = run_checks(subject_of(applied(data, remedy), collide=True))
                assert (finding.rule, finding.place.names) not in {
                    (f.rule, f.place.names) for f in after
                }, remedy
                stops = [f for f in after if f.severity is Severity.STOP]
                assert [f.message for f in stops if not is_among(f, before)] == []


@pytest.mark.parametrize(("tilt", "off"), [(0, 0.0), (12, 11.8 * math.tan(math.radians(12)))])
def test_a_frame_ends_where_the_base_comes_nearer_behind_a_leaning_front(tilt, off):
    """The front leans back: 11.8 behind it, at the frame's rear, the base stands 11.8 × tan 12° = 2.5 farther up.

    The sign is as high as the front, so that its frame is trimmed to what is clear.
    """
    data = signed((500, 150, 300), (300, 95), tilt=tilt, sizes={"frame_thickness": 12})
    cabinet = subject_of(data).cabinet
    ring, front, base = (cabinet.piece_by_key[k] for k in ("sign.frame", "front", "base"))
    rear = ring.frame.point(0.0, ring.extent[1], -ring.thickness)
    assert rear[2] == pytest.approx(base.thickness, abs=0.02)
    foot = min(v for _, v in front.back)
    assert ring.extent[1] - foot == pytest.approx(off, abs=0.05)
