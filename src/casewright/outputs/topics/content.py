"""Sheet: how large the display shows what it is bought for, beside every other that could be bought."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from casewright.basics.customary import price_area
from casewright.basics.findings import at_least, mm
from casewright.basics.units import MM_PER_INCH
from casewright.behavior.content import Candidate, Screen, Showing, content_key
from casewright.behavior.whole import Behavior
from casewright.design.looking import Content
from casewright.geometry.model import Cabinet
from casewright.geometry.picture import ContentFit
from casewright.outputs.drawings.marks import Drawing, Line, Mark, Region, Text, rectangle
from casewright.outputs.drawings.placing import Box
from casewright.outputs.topics.sheet import Picture, Rows, TopicSheet

LETTERS = 3.2
"""Height of the lettering. [mm on paper]"""

ROOM = (148.0, 80.0)
"""Paper that the picture takes at most. [mm]"""

_GAP = 8.0


def sheet(cabinet: Cabinet, behavior: Behavior) -> TopicSheet | None:
    """What each content takes of each display; nothing where there is none."""
    showing = behavior.content
    if not showing.screens:
        return None
    return TopicSheet(
        key="content",
        title="Content",
        question="How large does the display show what it is for?",
        answer=" ".join(_answer(showing, screen) for screen in showing.screens),
        pictures=tuple(
            Picture(
                _picture(showing.contents, screen),
                f"{screen.label}: what is shown, and the bars that stay dark",
            )
            for screen in showing.screens
        ),
        tables=tuple(_tables(cabinet, showing)),
        numbers=tuple(dict.fromkeys(_deciding(showing))),
        notes=tuple(_notes(showing)),
    )


def _answer(showing: Showing, screen: Screen) -> str:
    parts = [
        f"{content.aspect} fills {fit.share:.0%}, {_diagonal(fit)} of picture"
        for content, fit in zip(showing.contents, screen.own.shown, strict=True)
    ]
    return f"On {screen.label}: {'; '.join(parts)}."


def _diagonal(fit: ContentFit) -> str:
    """Displays are sold by inches everywhere."""
    return f"{fit.diagonal / MM_PER_INCH:.1f}\u202fin"


def _name(content: Content) -> str:
    return f"{content.label} {content.aspect}".strip()


def _picture(contents: Sequence[Content], screen: Screen) -> Drawing:
    """The lit area once for each content, bars hatched."""
    lit = screen.own.face.lit
    count = len(contents)
    scale = min(
        (ROOM[0] - (count - 1) * _GAP) / count / lit.width,
        (ROOM[1] - 4 * LETTERS) / lit.height,
    )
    letters = LETTERS / scale
    step = max(lit.width + _GAP / scale, min(ROOM[0] / count, 45.0) / scale)
    marks: list[Mark] = []
    for index, (content, fit) in enumerate(zip(contents, screen.own.shown, strict=True)):
        x = index * step
        whole = Box(x - lit.width / 2, -lit.height / 2, x + lit.width / 2, lit.height / 2)
        shown = Box(x - fit.width / 2, -fit.height / 2, x + fit.width / 2, fit.height / 2)
        marks += [
            Region(rectangle(whole), material="waste"),
            Region(rectangle(shown), material="lit"),
        ]
        marks.append(rectangle(shown, pen="thin"))
        marks.append(Line((shown.left, shown.bottom), (shown.right, shown.top), "accent-hidden"))
        marks.append(rectangle(whole))
        below = whole.bottom - 1.6 * letters
        marks += [
            Text((x, below), content.aspect, LETTERS, "middle", weight="bold"),
            Text(
                (x, below - 1.5 * letters), f"{fit.share:.0%}, {_diagonal(fit)}", LETTERS, "middle"
            ),
        ]
    return Drawing(f"Contents on {screen.label}", tuple(marks), scale=scale)


def _tables(cabinet: Cabinet, showing: Showing) -> Iterator[Rows]:
    for screen in showing.screens:
        yield Rows(
            f"On {screen.label}",
            ("content", "picture", "fills", "as a display of", "dark bars"),
            tuple(
                (
                    _name(content),
                    f"{mm(fit.width)} × {mm(fit.height)}",
                    f"{fit.share:.0%}",
                    _diagonal(fit),
                    _bars(fit),
                )
                for content, fit in zip(showing.contents, screen.own.shown, strict=True)
            ),
            (1, 2, 3, 4),
        )
        yield _comparison(cabinet, showing, screen)


def _bars(fit: ContentFit) -> str:
    if fit.side_bar > 0.05:
        return f"{mm(fit.side_bar)} at each side"
    if fit.level_bar > 0.05:
        return f"{mm(fit.level_bar)} above and below"
    return "none"


def _comparison(cabinet: Cabinet, showing: Showing, screen: Screen) -> Rows:
    """Every display that could be bought, the project's own first; price by area where one is known."""
    everything = (screen.own, *screen.candidates)
    unit = cabinet.project.unit
    priced = any(one.price_by_area(unit) for one in screen.candidates)
    money = (f"{cabinet.project.currency} per {price_area(unit)[0]}",) if priced else ()
    rows = []
    for one in everything:
        # All are displays, so the catalog's labels go without the word.
        label = "this one" if one is screen.own else one.label.removeprefix("Display ")
        price = one.price_by_area(unit)
        rows.append(
            (
                label,
                _fits(one),
                *(f"{fit.share:.0%}\u00a0\u00a0{_diagonal(fit)}" for fit in one.shown),
                *((f"{price:.1f}" if price is not None else "–",) if priced else ()),
            )
        )
    heads = (
        "display",
        "fits, or the panel",
        *(content.aspect for content in showing.contents),
        *money,
    )
    figures = tuple(range(2, len(heads)))
    way = (
        "standing upright"
        if screen.own.face.lit.height > screen.own.face.lit.width
        else "lying level"
    )
    return Rows(
        f"Before buying: your own and every display of the catalog in its place, {way}"
        if len(cabinet.parts.keys() & {one.key for one in screen.candidates})
        else f"Before buying: every display of the catalog in its place, {way}",
        heads,
        tuple(rows),
        figures,
    )


def _fits(one: Candidate) -> str:
    across, up = one.short
    wants = [
        f"{at_least(short)} {way}"
        for short, way in ((across, "wider"), (up, "longer"))
        if short > 0
    ]
    return ", ".join(wants) or "fits"


def _deciding(showing: Showing) -> Iterator[str]:
    for screen in showing.screens:
        start = f"content.{screen.key}"
        for content in showing.contents:
            key = f"{start}.{content_key(content)}"
            yield from (f"{key}.share", f"{key}.diagonal", f"{key}.bar")
        if screen.own.price > 0:
            yield f"{start}.price_by_area"
        yield from (f"{start}.room_width", f"{start}.room_height")


def _notes(showing: Showing) -> Iterator[str]:
    if not showing.stated:
        yield "Shapes of the content are the usual ones: name your own under contents, such as aspect 4:3."
    unpriced = [one for screen in showing.screens for one in screen.candidates if one.price <= 0]
    if unpriced:
        yield (
            "Displays without a price are not compared by it. Write those that you may buy as parts with their price "
            "and quantity 0: they stand here beside the others, and are not bought."
        )
    yield (
        "Catalog sizes are usual ones of the trade: measure the display in hand before you cut. Content is shown as "
        "large as it goes, its shape kept; price by area is by the mean of all contents."
    )


__all__ = ["sheet"]
