"""Exploring a project: thousands of variants tried by several processes, their rows kept as they are done."""

from casewright.session.exploring.job import Job, Wishes, job_of, job_with, plan_beside
from casewright.session.exploring.keeping import KeptRows
from casewright.session.exploring.running import Explored, Run, explore
from casewright.session.exploring.trying import Base, try_variant, worked_variant

__all__ = [
    "Base",
    "Explored",
    "Job",
    "KeptRows",
    "Run",
    "Wishes",
    "explore",
    "job_of",
    "job_with",
    "plan_beside",
    "try_variant",
    "worked_variant",
]
