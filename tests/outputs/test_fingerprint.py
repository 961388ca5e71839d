"""The short mark of a project's state."""

import hashlib
import json
import re
from pathlib import Path

from casewright.outputs.fingerprint import fingerprint
from casewright.workflow import open_text

DUEL = Path(__file__).parents[2] / "examples" / "library-duel.cabinet.yaml"


def mark(text):
    return fingerprint(open_text(text).project)


def test_it_is_short_and_readable():
    assert re.fullmatch(r"[0-9A-F]{4}-[0-9A-F]{4}", mark(DUEL.read_text(encoding="utf-8")))


def test_comments_and_layout_do_not_count_but_any_value_does():
    text = DUEL.read_text(encoding="utf-8")
    same = mark(text)
    assert mark("# another word\n" + text) == same
    assert mark(text.replace("measured: 11.8", "measured: 11.80")) == same
    for old, new in (
        ("measured: 11.8", "measured: 11.7"),
        ("name: Reading-corner duel", "name: Reading-corner duet"),
        ("u: 70.0, v: 125", "u: 70.0, v: 125.1"),
    ):
        assert old in text
        assert mark(text.replace(old, new)) != same


def test_it_is_the_start_of_the_sha_256_of_the_project_s_json():
    """FIPS 180-4 by the standard library, over JSON with sorted keys."""
    project = open_text(DUEL.read_text(encoding="utf-8")).project
    text = json.dumps(
        project.model_dump(mode="json", by_alias=True), sort_keys=True, separators=(",", ":")
    )
    assert (
        fingerprint(project).replace("-", "").lower()
        == hashlib.sha256(text.encode()).hexdigest()[:8]
    )
