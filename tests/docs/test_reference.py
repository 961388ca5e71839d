"""The pages of docs/reference/ say what the code is, and leave nothing out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from making.commands_page import all_commands
from making.formulas_page import calculations, formulas
from making.pages import PAGES
from making.parts_page import sources_of
from making.project_page import all_keys
from making.rules_page import all_rules
from making.views_page import topic_files
from pydantic import BaseModel, Field, TypeAdapter
from ruamel.yaml import YAML

from casewright.basics.annotations import annotated
from casewright.basics.sources import load_sources
from casewright.catalog.kinds import KINDS
from casewright.catalog.load import load_catalog
from casewright.checks import RULES
from casewright.faces.cli.app import app
from casewright.faces.web.page import STEPS
from casewright.planning.exploring import ENTRY_KEYS, FIGURES, PLAN_KEYS
from casewright.session.exploring.job import wishes_in
from casewright.session.exploring.trying import Base
from casewright.workflow import schema_of_projects

ROOT = Path(__file__).resolve().parents[2]
REFERENCE = ROOT / "docs" / "reference"


@pytest.fixture(scope="module")
def pages() -> dict[str, str]:
    """Every page as it stands in the folder."""
    return {path.name: path.read_text(encoding="utf-8") for path in REFERENCE.glob("*.md")}


@pytest.mark.parametrize("name", PAGES)
def test_page_is_up_to_date(name, pages):
    """If not: python3 dev.py docs"""
    assert pages[name] == PAGES[name]()


def test_no_page_is_left_that_nothing_makes(pages):
    assert pages.keys() == PAGES.keys()


def test_the_index_leads_to_every_page():
    index = (ROOT / "docs/README.md").read_text(encoding="utf-8")
    folder = ROOT / "docs"
    found = [
        path.relative_to(folder).as_posix()
        for part in ("reference", "how-to")
        for path in (folder / part).glob("*.md")
    ]
    assert found
    assert [path for path in found if f"({path})" not in index] == []


# ---- nothing is left out: what there is comes from elsewhere than the page's maker -----------------------------


def test_each_command_has_its_entry(pages):
    """Names as typer registered them, not as the page found them."""

    def names(group, before=""):
        for command in group.registered_commands:
            yield before + (command.name or command.callback.__name__)
        for inner in group.registered_groups:
            yield from names(inner.typer_instance, f"{inner.name} ")

    known = set(names(app))
    assert len(known) > 25
    assert set(re.findall(r"^## casewright (.+)$", pages["commands.md"], re.M)) == known


def test_each_option_of_a_command_has_its_row(pages):
    sections = dict(
        re.findall(r"^## casewright (.+)\n((?:(?!^## ).*\n?)*)", pages["commands.md"], re.M)
    )
    for name, command in all_commands():
        for parameter in command.params:
            if parameter.name != "help" and parameter.param_type_name == "option":
                assert f"`{parameter.opts[0]}`" in sections[name], (name, parameter.name)
                assert parameter.help, (name, parameter.name)


def test_each_rule_has_its_row(pages):
    """Ids as the source text has them, wherever it is."""
    texts = [path.read_text(encoding="utf-8") for path in (ROOT / "src").rglob("*.py")]
    ids = {found for text in texts for found in re.findall(r'\bRule\(\s*(?:id=)?"([^"]+)"', text)}
    ids |= {module.RULE.id for module in RULES} | {rule.id for rule in all_rules()}
    assert len(ids) > 60
    assert [id for id in sorted(ids) if f"| `{id}` |" not in pages["rules.md"]] == []


def test_each_kind_and_type_of_part_has_its_entry(pages):
    text, catalog = pages["parts.md"], load_catalog()
    assert re.findall(r"^## (.+)$", text, re.M) == list(KINDS)
    assert [key for key in catalog.types if f"| `{key}` |" not in text] == []
    assert [one.key for one in catalog.types.values() if not sources_of(one)] == []
    goods = [*catalog.species, *catalog.battens, *catalog.screws]
    assert [key for key in goods if f"Written as `{key}`." not in pages["stock.md"]] == []


def test_each_view_has_its_entry(pages):
    text = pages["views.md"]
    assert [key for key, _, _ in STEPS if f"`?view={key}`" not in text] == []
    files = [path.stem for path in (ROOT / "src/casewright/faces/web/views").glob("*.py")]
    assert all(view.__module__.split(".")[-1] in files for _, _, view in STEPS)
    assert len(topic_files()) > 10


def test_each_key_of_a_plan_of_variants_is_read_as_its_example_has_it(pages):
    """Read by what reads plan files; `label` alone stands in two places."""
    text = pages["explore-file.md"]
    base = Base.of(
        (ROOT / "examples/library-duel.cabinet.yaml").read_text(encoding="utf-8"), file="duel"
    )
    whole = "\n".join(key.example for key in PLAN_KEYS)
    wishes = wishes_in(whole, base, file="plan")
    assert len(wishes.variations) == 1 and wishes.shown and wishes.aims
    assert (wishes.sample, wishes.seed) == (2000, 7)
    for keys in ENTRY_KEYS.values():
        entry = ", ".join(key.example for key in keys if key.name != "at")
        at = "at: shape.width, " if "at" in {key.name for key in keys} else ""
        (one,) = wishes_in(f"vary: [{{{at}{entry}}}]", base, file="plan").variations
        assert f"label: {one.label}" in text and len(one.choices) > 1
    names = {key.name for keys in (PLAN_KEYS, *ENTRY_KEYS.values()) for key in keys}
    assert [name for name in names if f"| `{name}` |" not in text] == []
    assert [one.key for one in FIGURES if f"| `{one.key}` |" not in text] == []


def test_each_source_has_its_entry(pages):
    assert re.findall(r"^## (.+)$", pages["sources.md"], re.M) == list(load_sources())


def test_formulas_are_found():
    """Two that stand in the code are among them, so the reading of the code works."""
    assert any(one.name == "lever_window" for one in calculations())
    assert any("arctan" in one.formula for one in formulas())


# ---- every key means something, and its example can be read ----------------------------------------------------

KEYS = all_keys()


def test_each_key_says_what_it_means():
    """Where the key is: in its model."""
    assert len(KEYS) > 300
    assert [
        f"{title}: {model.__name__}.{f.name}" for title, model, f, _ in KEYS if not f.meaning
    ] == []
    assert [f"{kind}.{name}" for kind, model in KINDS.items() for name in unsaid(model)] == []


def test_the_schema_says_what_each_key_means(pages):
    """Editors show it; the page of the project file says the same, as a sentence."""
    schema = schema_of_projects()
    named = schema["$defs"]

    def words_of(told):
        """Its own, else those of what it refers to: what is the same stands there once."""
        return told.get("description") or named[told["$ref"].rpartition("/")[2]]["description"]

    said = {
        f"{name}.{key}": words_of(told)
        for name, part in (("Project", schema), *named.items())
        for key, told in part.get("properties", {}).items()
    }
    assert len(said) > 300 and [key for key, words in said.items() if not words] == []
    for _, model, field, _ in KEYS:
        words = field.meaning
        assert said[f"{model.__name__}.{field.name}"] == words
        assert words.strip()[1:].rstrip(".") in pages["project-file.md"]


def unsaid(model: type[BaseModel]) -> list[str]:
    """Fields of a kind of part that say nothing; which kind it is need not be said."""
    return [n for n, one in model.model_fields.items() if n != "kind" and not one.description]


def test_each_example_can_be_read():
    """By the field's own type, in the unit of the example's file; what pydantic refuses fails here."""
    read = YAML(typ="safe").load
    wrong = []
    for title, model, field, example in KEYS:
        if example == "below":
            continue
        info = next(i for n, i in model.model_fields.items() if field.name in (n, i.alias))
        (value,) = read(example).values()
        try:
            TypeAdapter(annotated(info)).validate_python(value, context={"unit": "mm"})
        except ValueError as error:
            wrong.append(f"{title}: {example}: {error}")
    assert wrong == []


def test_a_key_without_a_meaning_would_be_found():
    class Odd(BaseModel):
        quirk: int
        known: int = Field(description="Known.")

    assert unsaid(Odd) == ["quirk"]
