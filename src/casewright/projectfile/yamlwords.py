"""What a YAML parser's complaint means, in the words of somebody who edits the file by hand."""

from __future__ import annotations

import re

from yaml.error import MarkedYAMLError

from casewright.basics.units import quoted

_QUOTES = "single quotes around text that holds the signs : # \" ' [ { @ ` % & * ! | >"
_EXAMPLE = "label: 'Side: left'"

# Pattern of the parser's problem, what to do about it, an example. The first that fits counts.
_MEANINGS: tuple[tuple[str, str, str], ...] = (
    ("mapping values are not allowed", f"one key in a line, or {_QUOTES}", _EXAMPLE),
    ("sequence entries are not allowed", "the list's dashes on lines of their own", "- 18 mm"),
    ("expected '-' indicator", "all entries of a list to start with a dash", "- 18 mm"),
    ("could not find expected ':'", "a colon and a space after the key", "width: 470 mm"),
    (
        "unexpected end of stream|unexpected document indicator",
        "the quote that closes the text opened in line <line>",
        _EXAMPLE,
    ),
    ("character escape code", "an escape of a sign that there is, at most \\U0010FFFF", ""),
    (
        "escape character|hexdecimal number",
        'single quotes, which leave the sign \\ alone, or no quotes (3/4" needs none)',
        '3/4"',
    ),
    ("',' or ']'", "a comma, or ] to close the list opened in line <line>", "[10, 20]"),
    (
        "',' or '}'",
        "a comma, or } to close the group opened in line <line>",
        "{width: 10, height: 20}",
    ),
    ("cannot start any token|alphabetic or numeric", _QUOTES, _EXAMPLE),
    (
        "comment or line break|indentation indicator",
        f"the text on the next lines, or {_QUOTES}",
        _EXAMPLE,
    ),
    ("expected node content", "a value here", "18 mm"),
)


def in_plain_words(
    error: MarkedYAMLError, text: str, at: int, opening: int
) -> tuple[str, str, str]:
    """Return what was found, what is expected, and an example.

    Args:
        error: The parser's complaint.
        text: All of the text.
        at: Position in it where the parser stopped.
        opening: Line in which what the parser was reading began; 0 if unknown.
    """
    rest = text[at : at + 80]
    if rest.startswith("\t"):
        return "a tab", "spaces to indent the line", ""
    line = re.split(r"[\r\n]", rest, maxsplit=1)[0].rstrip()
    got = quoted(line[:40]) if line else "the end of the line" if rest else "the end of the file"
    problem = error.problem or ""
    if "maximum nesting" in problem:
        return "far too many groups within one another", "groups at most 40 deep", ""
    if "<document start>" in problem:
        return "a second document", "no line of three dashes or dots here", ""
    if "expected key" in problem:
        if re.split(r"[\r\n]", text[:at])[-1].strip():
            return got, f"nothing after the closing quote, or {_QUOTES}", _EXAMPLE
        if line.startswith("- "):
            return got, "a key, as its neighbors are; a list's dashes go under their own key", ""
        return got, "as many spaces at the start of the line as its neighbors have", ""
    for pattern, want, example in _MEANINGS:
        if re.search(pattern, problem):
            return got, want.replace("<line>", str(opening)), example
    return got, f"text in YAML, such as a key, a colon, a space and a value; or {_QUOTES}", _EXAMPLE


__all__ = ["in_plain_words"]
