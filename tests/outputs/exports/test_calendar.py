"""The calendar of painting, read back by a general library (icalendar)."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import icalendar
import pytest
from tests.checks.bench import box, subject_of

from casewright.basics.errors import InputError
from casewright.outputs.exports.calendar import FOLD, write_calendar
from casewright.workflow import day_named

NAME = "Quiz; box, „Zoë“ \\ with a name that is longer than one line of the file may be, Ω"


@pytest.fixture(scope="module")
def painting():
    return subject_of(box()).behavior.painting


def written(painting, start="2028-02-27", name=NAME):
    return write_calendar(painting, start=start, name=name, fingerprint="AB12-CD34")


def test_a_general_library_reads_every_event(painting):
    events = icalendar.Calendar.from_ical(written(painting)).walk("VEVENT")
    assert [str(e["SUMMARY"]) for e in events] == [
        f"{NAME}: {sitting.label}" for sitting in painting.sittings
    ]
    for event, sitting in zip(events[:-1], painting.sittings, strict=False):
        begin = event["DTSTART"].dt
        assert begin == datetime(2028, 2, 27) + timedelta(hours=sitting.start_h)
        assert begin.tzinfo is None  # the shop's own hours
        assert event["DTEND"].dt - begin == timedelta(hours=1)
    last = events[-1]
    assert isinstance(last["DTSTART"].dt, date) and not isinstance(last["DTSTART"].dt, datetime)
    assert last["DTEND"].dt - last["DTSTART"].dt == timedelta(days=7)
    assert len({str(e["UID"]) for e in events}) == len(events)


def test_days_run_over_the_leap_day(painting):
    """2028 is a leap year: the third day from February 27 is February 29."""
    events = icalendar.Calendar.from_ical(written(painting)).walk("VEVENT")
    assert date(2028, 2, 29) in {e["DTSTART"].dt.date() for e in events[:-1]}


def test_lines_are_folded_as_the_standard_asks(painting):
    """RFC 5545, 3.1: lines end in CR LF and hold no more than 75 octets; no letter is torn apart."""
    data = written(painting)
    lines = data.split(b"\r\n")
    assert lines[-1] == b"" and b"\n" not in data.replace(b"\r\n", b"")
    assert max(len(line) for line in lines) <= FOLD
    for line in lines:
        line.decode("utf-8")
    assert any(line.startswith(b" ") for line in lines)


def test_the_same_input_gives_the_same_bytes(painting):
    assert written(painting) == written(painting)
    assert written(painting) != written(painting, start="2028-02-28")


@pytest.mark.parametrize(
    "text", ["", "5 March", "2027-02-30", "27-3-5", "1999-12-31", "3000-01-01"]
)
def test_days_that_are_none_are_refused(text):
    with pytest.raises(InputError) as caught:
        day_named(text)
    assert caught.value.field == "--start"
