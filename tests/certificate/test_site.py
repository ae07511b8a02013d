"""How a certificate writes moments, units and digests."""

from zoneinfo import ZoneInfo

import pytest

from qc.certificate.site import Site, day, grouped, minus, quantity, utc, utc_iso

SITE = Site(units="metric", zone=ZoneInfo("Europe/London"))
NBSP = "\N{NO-BREAK SPACE}"


def test_a_moment_is_given_by_the_clock_of_the_site() -> None:
    assert SITE.moment("2026-05-12T07:10:00.000000Z") == "12 May 2026 08:10"
    assert SITE.clock("2026-05-12T07:10:00.000000Z") == "UTC+01:00"
    assert SITE.clock("2026-01-12T07:10:00.000000Z") == "UTC+00:00"


def test_utc_is_given_beside_it() -> None:
    assert utc("2026-05-12T07:10:00.000000Z") == "12 May 2026 07:10 UTC"
    assert utc_iso("2026-05-12T08:10:05.123456+01:00") == "2026-05-12T07:10:05Z"


@pytest.mark.parametrize(
    ("moments", "said"),
    [
        (["2026-05-12T07:10:00Z"], "12 May 2026 08:10"),
        (["2026-05-12T14:30:00Z", "2026-05-12T07:10:00Z"], "12 May 2026 08:10 to 15:30"),
        (
            ["2026-05-12T07:10:00Z", "2026-05-13T14:30:00Z"],
            "12 May 2026 08:10 to 13 May 2026 15:30",
        ),
        # Two days in UTC, one night at the site.
        (["2026-05-12T23:10:00Z", "2026-05-13T00:30:00Z"], "13 May 2026 00:10 to 01:30"),
    ],
)
def test_a_span_names_its_day_once(moments: list[str], said: str) -> None:
    assert SITE.span(moments) == said


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("Complete at 2026-05-13T00:00:00+02:00.", "Complete at 12 May 2026 23:00."),
        ("mixed on 2026-05-12, good to 2027-01-31", "mixed on 12 May 2026, good to 31 Jan 2027"),
        ("at 24.3 degC and 3 delta_degC", f"at 24.3{NBSP}°C and 3{NBSP}°C"),
        ("20 um at 4 hour", f"20{NBSP}µm at 4{NBSP}h"),
        ("steel -3.5 °C", f"steel \N{MINUS SIGN}3.5{NBSP}°C"),
        ("readings 1-3, file 2026-05-x, A-311", "readings 1-3, file 2026-05-x, A-311"),
    ],
)
def test_a_sentence_of_the_engine_reads_as_a_person_writes(statement: str, said: str) -> None:
    assert SITE.said(statement) == said


def test_sizes_days_and_digests_have_one_form() -> None:
    assert quantity("168.3 mm") == f"168.3{NBSP}mm"
    assert quantity("six inch, schedule 40") == "six inch, schedule 40"
    assert day("2027-01-31") == "31 Jan 2027"
    assert day("not dated") == "not dated"
    assert grouped("0123456789abcdef01") == "0123 4567 89ab cdef 01"
    assert minus("-5, 3-4, x-2") == "\N{MINUS SIGN}5, 3-4, x-2"
