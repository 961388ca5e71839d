"""`python -m casewright` is the `casewright` command."""

from __future__ import annotations

from casewright.faces.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
