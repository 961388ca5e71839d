"""Boards of cabinets under hands and loads."""

from __future__ import annotations

import math

import pytest
from tests.checks.bench import applied, box, cures, device, found, merged, subject_of

from casewright.behavior.bending import plate_bend
from casewright.behavior.board_data import board_data
from casewright.behavior.net_section import net_section
from casewright.behavior.stiffness import Member, Stiffness
from casewright.catalog.load import load_catalog
from casewright.checks.rules import stiff_board
from casewright.checks.rules.stiff_board import RIB_MODULUS, rib_height
from casewright.design.project import Project

CATALOG = load_catalog()
THIN = {"kind": "mdf", "species": "mdf", "nominal": 6, "measured": 6}
MDF = {"kind": "mdf", "species": "mdf", "nominal": 12, "measured": 12}
MDF18 = {"kind": "mdf", "species": "mdf", "nominal": 18, "measured": 18}


def stiffness(data) -> Stiffness:
    behavior = subject_of(data).behavior
    assert behavior is not None
    return behavior.stiffness


def member(data, key: str) -> Member:
    return next(m for m in stiffness(data).members if m.key == key)


def shelf(load=None, material="mdf", **more):
    """The box with a shelf inside, 100 up."""
    wish = {"material": material, "start": [200, 100], "end": [20, 100], **more}
    if load is not None:
        wish["load_kg"] = load
    return box(materials={"mdf": MDF, "mdf18": MDF18, "thin": THIN}, inner={"shelf": wish})


def test_a_deck_is_a_plate_between_sides_front_and_back():
    """By hand: 12 mm birch plywood, nobody chose its grain, so 7400 MPa both ways; 100 N on a hand's breadth."""
    deck = member(box(), "deck")
    assert deck.held == "four edges"
    assert (deck.span, deck.load, deck.kind) == (pytest.approx(576), 100, "hand")
    board = deck.board
    by_hand = plate_bend(576, deck.width, 12, board.stiff("none"), 100, (80, 80))
    assert deck.sag == pytest.approx(by_hand.sag)
    assert deck.sag_most == pytest.approx(deck.width / 300)


def test_a_shelf_is_a_strip_with_creep():
    """5·W·L³/(384·E·I) with E 2200 (EN 622-5), then 1 + 2.25 for MDF (EN 1995-1-1, table 3.2, from memory)."""
    data = shelf(8)
    found_ = member(data, "shelf")
    balance = subject_of(data).behavior.balance
    own = next(w.mass_kg for w in balance.items if w.key == "shelf")
    load = (8 + own) * 9.80665
    inertia = found_.width * 12**3 / 12
    assert 0.98 < found_.net.along < 1  # notches for cleats
    assert found_.held == "two ends"
    assert found_.first.sag == pytest.approx(
        5 * load * 576**3 / (384 * 2200 * inertia) / found_.net.along, rel=1e-6
    )
    assert found_.sag == pytest.approx(3.25 * found_.first.sag)
    assert found_.sag_most == pytest.approx(576 / 250)


def test_a_shelf_of_unknown_load_is_assumed_to_carry_ten():
    assert stiffness(shelf()).assumed == ("shelf",)
    assert member(shelf(), "shelf").load == pytest.approx(member(shelf(10), "shelf").load)
    assert stiffness(shelf(10)).assumed == ()


def test_plywood_bends_less_along_its_grain():
    along = merged(box(), {"panels": {"deck": {"grain": "across"}}})
    up = merged(box(), {"panels": {"deck": {"grain": "up"}}})
    decks = [member(along, "deck").sag, member(up, "deck").sag]
    assert decks[0] != pytest.approx(decks[1], rel=0.01)
    assert max(decks) < member(box(), "deck").sag  # nobody chose: the weaker way both ways


def test_holes_count():
    """A row of holes of half the deck's depth takes stiffness away; nothing cut out leaves all."""
    plain = subject_of(box()).cabinet.piece_by_key["deck"]
    assert net_section(plain).least == 1
    data = box(features=[{"shape": "hole", "on": "deck", "u": 288, "v": 150, "diameter": 100}])
    holed = subject_of(data).cabinet.piece_by_key["deck"]
    net = net_section(holed)
    assert net.least == pytest.approx(1 - 100 / holed.height, abs=0.01)
    # Area of the hole over that of the deck, whichever way it is looked at.
    lost = math.pi * 50**2 / (holed.width * holed.height)
    assert net.along == pytest.approx(1 - lost, abs=0.005)
    assert net.across == pytest.approx(1 - lost, abs=0.005)
    assert member(data, "deck").sag > member(box(), "deck").sag


def test_strength_by_the_code():
    """MDF 20 MPa (EN 622-5): short 0.80, long 0.40, safety 1.3, loads × 1.5 (EN 1995-1-1, from memory)."""
    project = Project.model_validate(shelf())
    board = board_data("mdf", project, CATALOG)
    assert board is not None
    assert board.allowed("short", 2200) == pytest.approx(20 * 0.80 / 1.3 / 1.5)
    assert board.allowed("long", 2200) == pytest.approx(20 * 0.40 / 1.3 / 1.5)
    assert board_data("batten", project, CATALOG) is None


def test_species_without_strength_never_breaks_here():
    data = box(materials={"ply": {"kind": "print", "species": "print-film"}})
    assert all(math.isinf(m.stress_most) for m in stiffness(data).members)


def test_parts_on_the_base_weigh_on_it():
    light = stiffness(box(parts={"a": device("a", 300, mass_kg=0.1)}))
    heavy = stiffness(box(parts={"a": device("a", 300, mass_kg=20)}))
    sag = [next(m.sag for m in s.members if m.key == "base") for s in (light, heavy)]
    assert sag[1] > 5 * sag[0]


def test_nobody_leans_where_nothing_is_asked():
    assert not [m for m in stiffness(box(limits={"lean_n": 0})).members if m.kind == "hand"]


def test_numbers_are_the_figures():
    found_ = stiffness(shelf(8))
    numbers = {n.key: n for n in found_.numbers}
    board = member(shelf(8), "shelf")
    number = numbers["stiffness.shelf.sag"]
    assert number.value == pytest.approx(board.sag)
    terms = {t.label: t.value for t in number.terms}
    by_formula = (
        (5 / 32)
        * terms["load"]
        * terms["span"] ** 3
        / (
            terms["modulus"]
            * terms["width"]
            * terms["thickness"] ** 3
            * terms["share that holes leave"]
        )
        * terms["creep"]
    )
    assert number.value == pytest.approx(by_formula)
    assert numbers["stiffness.shelf.stress"].value == pytest.approx(board.first.stress)


# ---- the rule ----


def test_a_good_box_has_no_finding():
    assert found(stiff_board, box()) == []


def test_a_shelf_that_hangs_is_cured_by_a_thicker_board():
    data = shelf(3)
    finding = found(stiff_board, data)[0]
    assert finding.severity.value == "caution"
    assert finding.place.names == ("shelf",)
    cures(stiff_board, data)


def test_the_thickness_and_the_rib_it_names_pass():
    weak = member(shelf(3), "shelf")
    assert weak.use > 1
    stronger = weak.of(weak.board, weak.thickness_needed)
    assert stronger.use == pytest.approx(1)
    high = rib_height(weak, 20)
    rib = RIB_MODULUS * 20 * high**3 / 12
    board = weak.modulus * weak.width * weak.thickness**3 / 12 * weak.net.along
    assert weak.sag * board / (board + rib) == pytest.approx(weak.sag_most)


def test_the_limit_itself_passes():
    load = member(shelf(3), "shelf").load / member(shelf(3), "shelf").use
    own = member(shelf(3), "shelf").load / 9.80665 - 3
    most = load / 9.80665 - own
    assert found(stiff_board, shelf(most - 0.001)) == []
    assert found(stiff_board, shelf(most + 0.001))


def test_a_shelf_that_would_break_is_a_stop():
    (finding,) = found(stiff_board, shelf(120, "thin"))
    assert finding.severity.value == "stop"


def test_a_deck_too_thin_for_a_hand_is_cured():
    data = merged(shelf(1), {"panels": {"deck": {"material": "thin"}}, "limits": {"lean_n": 400}})
    finding = next(f for f in found(stiff_board, data) if f.place.names == ("deck",))
    remedy = next(r for r in finding.remedies if r.field)
    assert remedy.field == "panels.deck.material"
    assert not [f for f in found(stiff_board, applied(data, remedy)) if f.place.names == ("deck",)]


@pytest.mark.parametrize(
    ("species", "least", "most"),
    [
        (
            "mdf",
            20,
            20,
        ),  # EN 622-5, MDF over 12 to 19 mm, least bending strength, from a maker's data sheet
        ("hardboard", 31.0, 56.5),  # Wood handbook FPL-GTR-190, table 12-1, modulus of rupture, MPa
        ("plywood-softwood", 33.0, 42.6),  # the same table
        ("plywood-hardwood", 33.0, 42.6),  # the same table
        ("particleboard", 11, 11),  # EN 312, type P2, 12 to 19 mm, a maker's data sheet
        ("oak-white", 104, 104.8),  # Wood handbook, table 12-1, clear wood
        ("maple-red", 92, 92.4),
        ("pine", 66, 66.9),
        ("acrylic-clear", 117, 117),  # extruded sheet, data page, flexural strength
    ],
)
def test_strengths_of_boards(species, least, most):
    strength = CATALOG.species[species].strength_mpa
    assert strength is not None
    assert least <= strength <= most


def test_clear_wood_counts_half_and_is_soft_across():
    """Boards have knots; across the grain solid wood is about fifteen times as soft (Wood handbook, from memory)."""
    project = Project.model_validate(
        box(materials={"pine": {"kind": "solid wood", "species": "pine", "nominal": 18}})
    )
    pine = board_data("pine", project, CATALOG)
    assert pine is not None
    assert pine.strength == pytest.approx(66 / 2)
    assert pine.modulus("v", "u") == pytest.approx(10070 / 15)
    assert pine.allowed("short", pine.across) == pytest.approx(
        pine.allowed("short", pine.along) / 15
    )


def test_a_board_cut_through_is_far_too_weak():
    cut = {"shape": "rectangle", "on": "deck", "u": 288, "v": 150, "width": 600, "height": 600}
    deck = subject_of(box(features=[cut])).cabinet.piece_by_key["deck"]
    assert net_section(deck).least == pytest.approx(0.05)
    assert [f.severity.value for f in found(stiff_board, box(features=[cut]))]
