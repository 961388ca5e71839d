"""Laying a player's buttons out for the hand: in the file, one step to undo, and nothing else moved."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment
from typer.testing import CliRunner

from casewright.basics.errors import InputError, InputErrors
from casewright.behavior.hands import STYLES
from casewright.faces.cli.app import app
from casewright.session import Session
from casewright.session.handing import _shortest, laid_out

DUEL = Path(__file__).resolve().parents[2] / "examples" / "library-duel.cabinet.yaml"


@pytest.fixture
def session(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    path = tmp_path / "duel.cabinet.yaml"
    path.write_bytes(DUEL.read_bytes())
    opened = Session.open(path)
    yield opened
    opened.close(discard=True)


def places(session: Session, player: int) -> dict[str, tuple[float, float]]:
    placed = session.worked.cabinet.placed
    return {p.key: (p.u, p.v) for p in placed if p.wish.player == player}


@pytest.mark.parametrize("style", ["two rows", "three rows"])
@pytest.mark.parametrize("player", [1, 2])
def test_buttons_come_to_their_places_and_stay_apart(session, style, player):
    before = places(session, player)
    session.edit(laid_out(session.worked, player, style), "hands")
    after = places(session, player)
    cluster = next(c for c in session.worked.behavior.playing.clusters if c.player == player)
    assert len(cluster.keys) == 5
    for a, b in itertools.combinations(cluster.keys, 2):
        assert math.dist(after[a], after[b]) >= 40.0 - 1e-6  # nuts of 39 and 1 between
    assert before.keys() == after.keys()
    assert all(after[key] == pytest.approx(before[key]) for key in before if "lever" in key)
    session.undo()
    assert places(session, player) == before


def test_too_many_buttons_too_narrow_a_pitch_and_nobody_there(session):
    with pytest.raises((InputError, InputErrors)) as told:
        laid_out(session.worked, 1, "arc")
    assert "1 to 4" in str(told.value)
    with pytest.raises((InputError, InputErrors)) as told:
        laid_out(session.worked, 1, "two rows", pitch=20.0)
    assert "40.0 mm" in str(told.value)
    with pytest.raises((InputError, InputErrors)) as told:
        laid_out(session.worked, 9, "two rows")
    assert "1 right" in str(told.value)


def test_the_command_writes_only_when_asked(session):
    text = session.path.read_text()
    runner = CliRunner()
    plain = runner.invoke(app, ["hands", str(session.path), "--style", "two rows"])
    assert plain.exit_code == 0 and "Nothing written" in plain.output
    assert session.path.read_text() == text
    saved = runner.invoke(app, ["hands", str(session.path), "--style", "arc", "--thumb", "--save"])
    assert saved.exit_code == 0, saved.output
    assert session.path.read_text() != text
    wrong = runner.invoke(app, ["hands", str(session.path), "--style", "circle"])
    assert wrong.exit_code == 2 and all(style in wrong.output for style in STYLES)


@pytest.mark.parametrize("count", [2, 5, 8, 10])
def test_places_are_shared_out_as_scipy_shares_them(count):
    """scipy's assignment of least cost; eight buttons and more once went to their places in a muddle."""
    ways = np.random.default_rng(count).uniform(0, 100, (count, count))
    rows, columns = linear_sum_assignment(ways)
    mine = _shortest(ways.tolist())
    assert sorted(mine) == list(range(count))
    assert sum(ways[i][j] for i, j in enumerate(mine)) == pytest.approx(ways[rows, columns].sum())
