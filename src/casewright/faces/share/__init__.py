"""One file that holds a whole cabinet: picture in space, drawings, steps, and the project itself."""

from casewright.faces.share.page import share_page
from casewright.faces.share.unpacking import project_in

__all__ = ["project_in", "share_page"]
