"""The bench view: one step at a time on a phone, for dusty hands."""

__all__: list[str] = []
