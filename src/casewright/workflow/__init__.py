"""The whole walk: project file → design → geometry → behavior → checks → planning → outputs.

The only package that knows every stage. Faces call it; tests call it; it holds no arithmetic of its own.
"""

from casewright.geometry.fastening import screw_sizes
from casewright.projectfile.editing import (
    REMOVE,
    Removal,
    Value,
    changed_document,
    proposed_document,
)
from casewright.projectfile.missing_groups import Edits, named, with_groups
from casewright.projectfile.saving import save_bytes, save_text
from casewright.projectfile.starting import CHOSEN, LEAST_LITRES, LITRES, MOST_LITRES, RECIPES
from casewright.projectfile.yamltext import (
    LARGEST_BYTES,
    KeyPath,
    LoadedDocument,
    load_text,
    read_text,
)
from casewright.workflow.papers import (
    bench_address_named,
    day_named,
    make_papers,
    paper_named,
    write_papers,
)
from casewright.workflow.reading import (
    Opened,
    describe_errors,
    located,
    open_document,
    open_project,
    open_text,
    read_catalogs,
)
from casewright.workflow.remedying import remedy_edits, written_length
from casewright.workflow.starting import (
    schema_of_projects,
    schema_of_results,
    starter_text,
    write_new,
)
from casewright.workflow.working_out import (
    Built,
    InSpace,
    Progress,
    Superseded,
    Worked,
    build_up,
    densities,
    explain,
    in_order,
    replan,
    work_out,
)

SUFFIX = ".cabinet.yaml"

__all__ = [
    "CHOSEN",
    "LARGEST_BYTES",
    "LEAST_LITRES",
    "LITRES",
    "MOST_LITRES",
    "RECIPES",
    "REMOVE",
    "SUFFIX",
    "Built",
    "Edits",
    "InSpace",
    "KeyPath",
    "LoadedDocument",
    "Opened",
    "Progress",
    "Removal",
    "Superseded",
    "Value",
    "Worked",
    "bench_address_named",
    "build_up",
    "changed_document",
    "day_named",
    "densities",
    "describe_errors",
    "explain",
    "in_order",
    "load_text",
    "located",
    "make_papers",
    "named",
    "open_document",
    "open_project",
    "open_text",
    "paper_named",
    "proposed_document",
    "read_catalogs",
    "read_text",
    "remedy_edits",
    "replan",
    "save_bytes",
    "save_text",
    "schema_of_projects",
    "schema_of_results",
    "screw_sizes",
    "starter_text",
    "with_groups",
    "work_out",
    "write_new",
    "write_papers",
    "written_length",
]
