"""What a YAML parser's complaint means, in the words of somebody who edits the file by hand."""

from __future__ import annotations

import re

from ruamel.yaml.error import MarkedYAMLError

from casewright.basics.units import quoted

_QUOTES = "single quotes around text that holds the signs : # \" ' [ { @ ` % & * ! | >"
_EXAMPLE = "label: 'Side: left'"

# Pattern of the parser's problem, what to do about it, an example. The first that fits counts.
_MEANINGS: tuple[tuple[str, str, str], ...] = (
    ("mapping values are not allowed", f"one key in a line, or {_QUOTES}", _EXAMPLE),
    ("sequence entries are not allowed", "the list's dashes on lines of their own", "- 18 mm"),
    (r"but found '\?'", "all entries of a list to start with a dash", "- 18 mm"),
    ("could not find expected ':'", "a colon and a space after the key", "width: 470 mm"),
    (
        "unexpected end of stream|unexpected document separator",
        "the quote that closes the text opened in line <line>",
        _EXAMPLE,
    ),
    (
        "unknown escape|escape sequence",
        'single quotes, which leave the sign \\ alone, or no quotes (3/4" needs none)',
        '3/4"',
    ),
    ("',' or ']'", "a comma, or ] to close the list opened in line <line>", "[10, 20]"),
    (
        "',' or '}'",
        "a comma, or } to close the group opened in line <line>",
        "{width: 10, height: 20}",
    ),
    (
        "but found '<block mapping start>'|but found '<block sequence start>'",
        "as many spaces at the start of the line as its neighbors have",
        "",
    ),
    ("but found '<scalar>'", f"nothing after the closing quote, or {_QUOTES}", _EXAMPLE),
    ("cannot start any token|alphabetic or numeric", _QUOTES, _EXAMPLE),
    ("chomping or indentation", f"the text on the next lines, or {_QUOTES}", _EXAMPLE),
    ("expected the node content", "a value here", "18 mm"),
)


def in_plain_words(error: MarkedYAMLError, rest: str, opening: int) -> tuple[str, str, str]:
    """Return what was found, what is expected, and an example.

    Args:
        error: The parser's complaint.
        rest: The text from the place of the complaint on.
        opening: Line in which what the parser was reading began; 0 if unknown.
    """
    if rest.startswith("\t"):
        return "a tab", "spaces to indent the line", ""
    line = re.split(r"[\r\n]", rest, maxsplit=1)[0].rstrip()
    got = quoted(line[:40]) if line else "the end of the line" if rest else "the end of the file"
    problem = error.problem or ""
    for pattern, want, example in _MEANINGS:
        if re.search(pattern, problem):
            return got, want.replace("<line>", str(opening)), example
    return got, f"text in YAML, such as a key, a colon, a space and a value; or {_QUOTES}", _EXAMPLE


__all__ = ["in_plain_words"]
