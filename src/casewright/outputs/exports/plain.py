"""What every part of the results is made of."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Data(BaseModel):
    """A part of the results."""

    model_config = ConfigDict(frozen=True, ser_json_inf_nan="constants")


__all__ = ["Data"]
