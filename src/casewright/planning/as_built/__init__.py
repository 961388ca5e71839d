"""As built: what exists of a cabinet, what it asks of the plan, and the plan that follows it."""

from casewright.planning.as_built.answers import Answer, Verdict
from casewright.planning.as_built.made import MadePiece, drawn_of, feature_made, made_piece
from casewright.planning.as_built.records import record_errors, record_findings
from casewright.planning.as_built.ways import Replan, Way, keep, made_pieces, replan

__all__ = [
    "Answer",
    "MadePiece",
    "Replan",
    "Verdict",
    "Way",
    "drawn_of",
    "feature_made",
    "keep",
    "made_piece",
    "made_pieces",
    "record_errors",
    "record_findings",
    "replan",
]
