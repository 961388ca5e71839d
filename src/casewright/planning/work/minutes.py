"""How long things take: the table of minutes, read once."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True)
class JobTime:
    """Minutes of one kind of job."""

    first: float
    each: float


@dataclass(frozen=True)
class Minutes:
    """The whole table. Source: common practice."""

    setting: Mapping[str, float]
    """Minutes to set each thing."""
    job: Mapping[str, JobTime]
    drying: Mapping[str, float]
    """Hours."""

    def of(self, job: str, count: float) -> float:
        """Minutes of a job that is done so many times.

        Raises:
            KeyError: There is no such job in the table: a bug of ours.
        """
        time = self.job[job]
        return time.first + time.each * count


@cache
def minutes_table() -> Minutes:
    """The table shipped with the package."""
    text = files(__package__).joinpath("minutes.toml").read_text(encoding="utf-8")
    data = tomllib.loads(text)
    return Minutes(
        setting={key: float(value) for key, value in data["setting"].items()},
        job={
            key: JobTime(float(entry["first"]), float(entry["each"]))
            for key, entry in data["job"].items()
        },
        drying={key: float(value) for key, value in data["drying"].items()},
    )


def settings_minutes(name: str, machine: str) -> float:
    """Minutes to set a thing of a machine: "bit" of the "drill"."""
    table = minutes_table().setting
    return table.get(name, 0.0) if name != "bit" else table[f"{machine}_bit"]


__all__ = ["JobTime", "Minutes", "minutes_table", "settings_minutes"]
