"""The base of everything in a project file: frozen, and strict about unknown keys."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Section(BaseModel):
    """A part of the project file."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", populate_by_name=True, allow_inf_nan=False
    )


__all__ = ["Section"]
