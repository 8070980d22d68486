"""What of the books comes seldom: sales tax returns, equipment, adjusting entries, payees and their W-9s, offers."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopledger.counter.station import Station
from shopledger.desk.books.adjusting import adjustments
from shopledger.desk.books.disposing import equipment_list
from shopledger.desk.books.payee_forms import w9_of
from shopledger.desk.context import Desk
from shopledger.desk.kept_forms import kept_forms
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from tests.counter.visitor import Visitor
from tests.desk.family import DISTANCE, ordered

W9 = {
    "payee": "Imke Sandlark",
    "name": "Imke Sandlark",
    "street": "4 Quarry Road",
    "city": "Barre",
    "state": "VT",
    "postcode": "05641",
    "kind": "individual",
    "tax_number": "123-45-4321",
}
EDGER = {
    "payee": "Tollgate Machines",
    "amount": "900",
    "category": "equipment",
    "description": "lens edger",
    "method": "bank",
    "reference": "t 9",
}


def code_asked(visitor: Visitor) -> str:
    """Give the code of the warning that the page asks about."""
    return visitor.text.split('name="accept" value="')[1].split('"')[0]


def test_a_return_is_shown_and_written(visitor: Visitor, desk: Desk, station: Station) -> None:
    """Line by line, for the state and the days that are asked for."""
    record_sale(desk, ordered(DISTANCE))
    assert "Nothing happened" in visitor.go("/money/sales-tax?period=2026-01").words or "OH" in visitor.words
    visitor.go("/money/sales-tax?period=2026-03")
    if "OH" in visitor.words:
        visitor.press("/money/sales-tax/2026-03/OH/workbook")
        assert [each.suffix for each in Path(station.papers).iterdir()] == [".xlsx"]
    assert visitor.go("/money/sales-tax?period=soon").code == 409


def test_equipment_that_was_bought_is_listed_and_gone(visitor: Visitor, desk: Desk) -> None:
    """Nothing is typed of what the list knows."""
    visitor.go("/money/expenses/new").send(EDGER)
    assert "lens edger" in visitor.go("/money/equipment").words
    visitor.go("/money/equipment/gone?piece=expense 1 line 1").send(
        {"how": "sold", "depreciation": "0", "proceeds": "250", "till": "bank"}, again=True
    )
    (row,) = equipment_list(desk)
    assert row.disposal is not None
    assert (row.disposal.proceeds, row.disposal.gain) == (25000, -65000)
    assert "sold on" in visitor.go("/money/equipment").words
    visitor.go("/money/void/disposal/1").send({"reason": "it was not sold"})
    assert equipment_list(desk)[0].disposal is None


def test_equipment_is_not_gone_twice(visitor: Visitor) -> None:
    """The second time it is said."""
    visitor.go("/money/expenses/new").send(EDGER)
    for code in (200, 422):
        visitor.go("/money/equipment/gone?piece=expense 1 line 1").send({"how": "scrapped", "depreciation": "0"})
        assert visitor.code == code


def test_an_adjusting_entry_is_recorded_and_reversed(visitor: Visitor, desk: Desk) -> None:
    """Debits and credits come to the same; what reverses it points at it."""
    entry = {"account_1": "wages", "debit_1": "100", "account_2": "accrued-expenses", "reason": "last week's wages"}
    visitor.go("/money/adjustments/new").send({**entry, "credit_2": "90"})
    assert visitor.code == 422
    assert "both must be the same" in visitor.words
    visitor.send({**entry, "credit_2": "100"}, again=True)
    assert [each.what.total for each in adjustments(desk)] == [10000]
    visitor.go("/money/adjustments/1/reverse").send(has="day")
    assert [each.what.reverses for each in adjustments(desk)] == [None, 1]
    assert "last week's wages" in visitor.words


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"account_1": "wages", "debit_1": "5", "credit_1": "5"}, "debit_1"),
        ({"account_1": "wages"}, "debit_1"),
        ({"debit_1": "5"}, "account_1"),
    ],
)
def test_a_line_that_is_not_clear_is_said_at_its_field(
    visitor: Visitor, desk: Desk, typed: dict[str, str], field: str
) -> None:
    """An amount stands on one side, of one account."""
    visitor.go("/money/adjustments/new").send({**typed, "reason": "a slip"})
    assert visitor.code == 422
    assert f'href="#f-{field}"' in visitor.text
    assert adjustments(desk) == ()


def test_more_lines_of_an_entry(visitor: Visitor) -> None:
    """As many as are needed; what was typed stays."""
    visitor.go("/money/adjustments/new").send({"account_1": "wages", "debit_1": "100", "more": "yes"})
    assert visitor.form(has="account_7").values["debit_1"] == ["100"]


def test_the_books_begin_with_what_was_there(visitor: Visitor, desk: Desk) -> None:
    """The owner's capital follows."""
    visitor.go("/money/adjustments/opening").send(
        {"account_1": "bank", "debit_1": "2500", "account_2": "loans", "credit_2": "900", "day": "2026-03-01"}
    )
    (opened,) = adjustments(desk)
    assert opened.what.opening
    assert opened.what.total == 250_000


def test_a_w9_is_kept_and_its_number_never_shown(visitor: Visitor, desk: Desk) -> None:
    """Neither on the card nor where the form comes back, nor among what is kept while somebody types."""
    visitor.go("/money/payees/w9").send({**W9, "postcode": "x"})
    assert visitor.code == 422
    assert "4321" not in visitor.text
    assert kept_forms(desk) == ()
    visitor.send(W9)
    assert 'value="PAYEE-UNKNOWN"' in visitor.text
    visitor.send({**W9, "accept": code_asked(visitor)})
    assert w9_of(desk, "Imke Sandlark").ending == "4321"
    card = visitor.go("/money/payees/w9/of?payee=Imke Sandlark")
    assert "4321" in card.words
    assert "123-45" not in card.text


def test_a_w9_is_handed_out_with_a_yes(visitor: Visitor, desk: Desk, station: Station) -> None:
    """The file holds the whole number: it is asked first."""
    visitor.go("/money/payees/w9").send(W9)
    visitor.send({**W9, "accept": code_asked(visitor)})
    visitor.go("/money/payees/w9/hand-out?payee=Imke Sandlark").send(has="once")
    assert visitor.code == 422
    assert not Path(station.papers).exists() or not list(Path(station.papers).iterdir())
    visitor.send({"accept": "WHOLE-NUMBER"})
    (written,) = Path(station.papers).iterdir()
    assert "123-45-4321" in written.read_text()
    assert w9_of(desk, "Imke Sandlark").payee == "Imke Sandlark"


def test_a_w9_that_is_needed_still_is_not_erased(visitor: Visitor, desk: Desk) -> None:
    """Tax records are kept for years."""
    visitor.go("/money/payees/w9").send(W9)
    visitor.send({**W9, "accept": code_asked(visitor)})
    visitor.go("/money/payees/w9/erase?payee=Imke Sandlark").send({"reason": "asked for"})
    assert visitor.code == 422
    assert w9_of(desk, "Imke Sandlark").ending == "4321"


def test_the_limit_of_a_year_is_set(visitor: Visitor) -> None:
    """It stands on the year's list."""
    visitor.go("/money/payees/limit/2026").send({"amount": "2100"})
    assert "$2,100.00" in visitor.words
    assert visitor.go("/money/payees?year=26").code == 409


def test_a_w9_that_nobody_sent_is_said(visitor: Visitor, desk: Desk) -> None:
    """Of a payee without one."""
    assert visitor.go("/money/payees/w9/of?payee=Nobody").code == 409
    with pytest.raises(RefusedError):
        w9_of(desk, "Nobody")
