"""What is typed behind an option is read as everywhere in the program, and refused with an example."""

from __future__ import annotations

from datetime import date
from typing import Any

import click
import pytest

from shopledger.cli import params
from shopledger.cli.offers import MATCHES
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import ExpenseCategory
from shopledger.ledger.catalogue import Design, TaxCategory
from shopledger.ledger.offers import LineKind, Matches
from shopledger.optics.prism import Base, Prism
from tests.cli.conftest import type_in

READ = [
    (params.AMOUNT, "129.95", 12_995),
    (params.AMOUNT, "$1,299.95", 129_995),
    (params.RATE, "8.875", 88_750),
    (params.POWER, "-2.50", -2.5),
    (params.POWER, "plano", 0.0),
    (params.ADD, "2.00", 2.0),
    (params.AXIS, "090", 90),
    (params.PRISM, "2 BU", Prism(2.0, Base.UP)),
    (params.MM, "31,5", 31.5),
    (params.MM, ".5", 0.5),
    (params.NUMBER, "-3", -3.0),
    (params.DAY, "2026-03-02", date(2026, 3, 2)),
    (params.DAY, " 03/02/2026 ", date(2026, 3, 2)),
    (params.BIRTH_DAY, "3/2/31", date(1931, 3, 2)),
    (params.COMING_DAY, "Mar 2 2031", date(2031, 3, 2)),
    (params.MONTH, "2026-03", Month(2026, 3)),
    (params.EIN, "123456789", "12-3456789"),
    (params.NPI, "1234567893", "1234567893"),
    (params.STATE, "oh", "OH"),
    (params.ZIP, "05601", "05601"),
    (params.Word(Design), "Single-Vision", Design.SINGLE_VISION),
    (params.Word(TaxCategory), "prescription eyewear", TaxCategory.PRESCRIPTION_EYEWEAR),
    (params.Word(TaxCategory), "non-prescription", TaxCategory.NON_PRESCRIPTION),
    (params.Word(ExpenseCategory), "Postage", ExpenseCategory.POSTAGE),
    (MATCHES, "lenses:single-vision", Matches(LineKind.LENSES, Design.SINGLE_VISION)),
]

REFUSED = [
    (params.AMOUNT, "129.955", "129.95"),
    (params.AMOUNT, ".95", "0.95"),
    (params.PAIR_PRICE, ".95 each", "0.95 each"),
    (params.RATE, "0.08", "8 %"),
    (params.POWER, "2.50", "sign is missing"),
    (params.POWER, "-250", "-2.50"),
    (params.AXIS, "0", "180"),
    (params.AXIS, "190", "1 to 180"),
    (params.PRISM, "2", "2.00 BU"),
    (params.MM, "1e3", "31.5"),
    (params.MM, "nan", "31.5"),
    (params.DAY, "14/3/2026", "2026-03-14"),
    (params.DAY, "02.03.2026", "2026-03-02"),
    (params.DAY, "13/32/2026", "calendar"),
    (params.DAY, "2026-02-29", "calendar"),
    (params.DAY, "20260302", "2026-03-02"),
    (params.MONTH, "03/2026", "2026-03"),
    (params.EIN, "123-45-6789", "never kept or printed"),
    (params.NPI, "1234567890", "check digit"),
    (params.Word(Design), "progresive", "Did you mean progressive?"),
    (params.Word(ExpenseCategory), "rent", "rent-of-premises (Schedule C line 20b) or rent-of-equipment"),
    (params.Word(Design), "zzz", "single-vision, bifocal, trifocal, progressive or occupational"),
]


def named(part: object) -> str:
    """Give a case's part as words that are the same in every process."""
    return part.name if isinstance(part, click.ParamType) else str(part)


@pytest.mark.parametrize(("kind", "text", "value"), READ, ids=named)
def test_what_is_typed_is_read(kind: click.ParamType[Any, str], text: str, value: object) -> None:
    """Each kind of value has its readers, in the rest of the program too."""
    assert kind.convert(text, None, None) == value


@pytest.mark.parametrize(("kind", "text", "value"), READ, ids=named)
def test_what_is_a_value_already_stays(kind: click.ParamType[Any, str], text: str, value: object) -> None:  # noqa: ARG001 - the same cases
    """A default need not be text."""
    if not isinstance(value, str):
        ready: Any = value
        assert kind.convert(ready, None, None) is value


@pytest.mark.parametrize(("kind", "text", "said"), REFUSED, ids=named)
def test_what_cannot_be_is_refused_with_what_to_type(kind: click.ParamType[Any, str], text: str, said: str) -> None:
    """A refusal is a usage error that quotes what was typed or shows how to type it."""
    with pytest.raises(click.BadParameter) as refusal:
        kind.convert(text, None, None)
    assert said in refusal.value.message


def test_many_words_are_left_to_the_help() -> None:
    """A list of words that fits no line is not squeezed into it."""
    option = click.Option(["--kind"], type=params.Word(Design))
    ctx = click.Context(click.Command("one"))
    assert option.make_metavar(ctx) == "[single-vision|bifocal|trifocal|progressive|occupational]"
    assert params.LONGEST_METAVAR < 70


def test_a_day_is_seen_from_the_day_that_is_today_in_the_run() -> None:
    """`--today` moves what `yesterday` means, in options and before the command alike."""
    eyes = ("--right", "-2.50 DS", "--left", "-2.50 DS")
    days = ("--written", "yesterday", "--expires", "27 Feb 2026")
    assert "2026-02-28" in type_in("--today", "1 Mar 2026", "prescription", "check", *eyes, *days).stdout
    assert "2026-02-28" in type_in("--today", "yesterday", "prescription", "check", *eyes, *days).stdout
