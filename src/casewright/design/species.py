"""What materials are made of: names that the catalog must know, of the material's own kind."""

from __future__ import annotations

from collections.abc import Iterable

from casewright.basics.errors import InputError
from casewright.basics.units import quoted
from casewright.catalog.load import Catalog
from casewright.catalog.reading import unknown_name


def species_errors(named: Iterable[tuple[str, str, str]], catalog: Catalog) -> list[InputError]:
    """Species that the catalog has not, or has of another kind.

    Without this a misspelled one would be weighed and bent as the first species of its kind.

    Args:
        named: A material's key, its kind, the species it names.
        catalog: With the maker's own species.
    """
    errors = []
    for key, kind, species in named:
        field = f"materials.{key}.species"
        known = catalog.species.get(species)
        if known is None:
            same = [name for name, one in catalog.species.items() if one.kind == kind]
            names = same or list(catalog.species)
            errors.append(unknown_name(field, species, names, "a species of the catalog"))
        elif known.kind != kind:
            same = [name for name, one in catalog.species.items() if one.kind == kind]
            such = f", such as {', '.join(same[:3])}" if same else ""
            want = f"a species of {kind}{such}, or kind: {known.kind}"
            got = f"{quoted(species)}, which is {known.kind}"
            errors.append(InputError(field, got=got, want=want, example=same[0] if same else ""))
    return errors


__all__ = ["species_errors"]
