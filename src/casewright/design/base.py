"""The base of everything in a project file: frozen, and strict about unknown keys."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Self

from pydantic import (
    BaseModel,
    ConfigDict,
    ModelWrapValidatorHandler,
    ValidationInfo,
    model_validator,
)

from casewright.basics.remembering import remembered

ONCE = "once"
"""In the context of a reading, the section that is read as a whole: those in it that were read before, from equal data,
are not read again but are the same objects."""


class Section(BaseModel):
    """A part of the project file."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", populate_by_name=True, allow_inf_nan=False
    )

    @model_validator(mode="wrap")
    @classmethod
    def _read_once(
        cls, data: Any, handler: ModelWrapValidatorHandler[Self], info: ValidationInfo
    ) -> Self:
        """A section as read before, where the reading asks for it."""
        context = info.context
        whole = context.get(ONCE) if isinstance(context, Mapping) else None
        if whole is None or cls is whole or type(data) is not dict:
            return handler(data)
        return _read(cls, data, str((context or {}).get("unit")), handler=handler)  # type: ignore[return-value]


@remembered(8192, besides=("handler",))
def _read(
    sort: type[Section],
    data: dict[str, Any],
    unit: str,
    *,
    handler: ModelWrapValidatorHandler[Any],
) -> object:
    """One section from its data; lengths without a unit are in `unit`."""
    return handler(data)


__all__ = ["ONCE", "Section"]
