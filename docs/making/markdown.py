"""Pieces of a page in Markdown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

MADE = "Made from the code by `python3 dev.py docs`; do not edit."


def head(title: str, *paragraphs: str) -> list[str]:
    """Title, what the page is for, and that it is made."""
    lines = [f"# {title}", ""]
    for paragraph in (*paragraphs, MADE):
        lines += [paragraph, ""]
    return lines


def table(titles: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """A table, and an empty line after it."""
    lines = [_row(titles), "|" + " --- |" * len(titles)]
    lines += [_row([cell(text) for text in row]) for row in rows]
    return [*lines, ""]


def cell(text: str) -> str:
    """Text that stays inside its cell."""
    return text.replace("|", "\\|").replace("\n", " ").strip()


def code(text: str) -> str:
    """Text as code; nothing for no text."""
    return f"`{text}`" if text else ""


def sentence(text: str) -> str:
    """Text that begins with a capital and ends in a full stop."""
    text = text.strip()
    if not text:
        return ""
    return text[:1].upper() + text[1:] + ("" if text[-1] in ".!?" else ".")


def page(lines: Iterable[str]) -> str:
    """The lines as a file, without empty lines that follow each other."""
    kept: list[str] = []
    for line in lines:
        if line or (kept and kept[-1]):
            kept.append(line)
    return "\n".join(kept).rstrip("\n") + "\n"


def _row(cells: Sequence[str]) -> str:
    return "| " + " | ".join(cells) + " |"


__all__ = ["MADE", "cell", "code", "head", "page", "sentence", "table"]
