"""One file that holds a whole cabinet: picture in space, drawings, steps, and the project itself."""

from casewright.faces.share.page import share_page
from casewright.faces.share.unpacking import ENDINGS, plain_name, project_in, project_packed

__all__ = ["ENDINGS", "plain_name", "project_in", "project_packed", "share_page"]
