"""What writes the pages of `docs/reference/` from the code itself; `docs/make_reference.py` runs it all."""
