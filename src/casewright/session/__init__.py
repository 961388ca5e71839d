"""An open project for the faces: edits, undo, autosave, listeners. It knows nothing of any page."""

from casewright.session.changes import Changed, Changes
from casewright.session.disk import ChangedOnDiskError
from casewright.session.history import Gesture
from casewright.session.recent import Recent, RecentFiles
from casewright.session.registry import Sessions
from casewright.session.session import Session
from casewright.session.states import Preview, Restored, State
from casewright.workflow import REMOVE, Edits

__all__ = [
    "REMOVE",
    "Changed",
    "ChangedOnDiskError",
    "Changes",
    "Edits",
    "Gesture",
    "Preview",
    "Recent",
    "RecentFiles",
    "Restored",
    "Session",
    "Sessions",
    "State",
]
