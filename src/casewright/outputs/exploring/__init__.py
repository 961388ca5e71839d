"""Exploration: a page with plot and table, and tables for other programs."""

from casewright.outputs.exploring.page import aims_words, explored_page
from casewright.outputs.exploring.tables import rows_csv, rows_data, rows_json

__all__ = ["aims_words", "explored_page", "rows_csv", "rows_data", "rows_json"]
