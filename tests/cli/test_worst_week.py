"""The shop's worst week, typed line by line on both databases: every paper, month and year tell the same of it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook
from pypdf import PdfReader

from shopledger.cli.context import Surroundings
from shopledger.cli.main import shop
from shopledger.desk.context import open_desk
from shopledger.ledger.books.period import Month
from shopledger.money.amount import write_amount
from shopledger.store.places import ledger_url
from tests.cli.worst_week import (
    CARDS,
    CHILD,
    CORIN,
    CURRENT,
    CUSTOMERS,
    FOR_NOBODY,
    GOODS,
    KEPT,
    NEW_NAME,
    ODALYS,
    WEEK,
    Deed,
)
from tests.desk.books import assert_sheets_meet_accounts, everything
from tests.ledgers import LONG_ON_SERVER

pytestmark = pytest.mark.slow

LAST = 9
PAPERS = ("--into", "{out}")


@dataclass
class Shop:
    """A ledger and a folder for papers, with somebody who types."""

    address: str
    folder: Path

    def type(self, day: int, *words: str) -> Result:
        """Run one line on a day of March."""
        put = {"out": str(self.folder / "out"), "catalogue": str(self.folder / "catalogue.toml")}
        typed = [word.format(**put) for word in words]
        around = Surroundings(now=datetime.combine(date(2026, 3, day), time(10, 30), UTC), terminal=False)
        return CliRunner().invoke(shop, ["--ledger", self.address, *typed], obj=around, prog_name="shopledger")

    def said(self, *words: str) -> Any:  # noqa: ANN401 - whatever JSON holds
        """Give what a line prints as JSON after the week."""
        result = self.type(LAST, *words, "--json")
        assert result.exit_code == 0, f"{words}: {result.output}"
        return json.loads(result.stdout)

    def stored(self) -> object:
        """Give all that is stored."""
        desk = open_desk(self.address, "tester", datetime.now(UTC), date(2026, 3, LAST))
        with closing(desk.ledger):
            return everything(desk)

    def papers(self) -> dict[str, str]:
        """Give the text of every paper printed so far, by its file's name."""
        return {file.name: text_of(file) for file in sorted((self.folder / "out").glob("*.pdf"))}


def text_of(file: Path) -> str:
    """Read a paper back, words with one space between."""
    return " ".join(" ".join(page.extract_text() for page in PdfReader(file).pages).split())


def live(shop_: Shop, deed: Deed) -> None:
    """Type a line; one that must be refused says why in a line and stores nothing."""
    before = shop_.stored() if deed.refused else None
    result = shop_.type(deed.day, *deed.words)
    if not deed.refused:
        assert result.exit_code == 0, f"{deed}: {result.output}"
        return
    assert result.exit_code not in {0, 1}, f"{deed}: {result.output}"
    assert deed.refused in " ".join(result.stderr.split()), f"{deed}: {result.stderr}"
    assert shop_.stored() == before, str(deed)


@pytest.fixture(params=LONG_ON_SERVER)
def week(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Shop]:
    """Live through the week, on each database in turn."""
    file = ledger_url(str(tmp_path / "shop" / "ledger.db"))
    vacant_address = file if request.param == "sqlite" else str(request.getfixturevalue("vacant_server"))
    (tmp_path / "catalogue.toml").write_text(GOODS, encoding="utf-8")
    lived = Shop(vacant_address, tmp_path)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SHOPLEDGER_OPERATOR", "Ilse")
        for deed in WEEK:
            live(lived, deed)
        yield lived


def test_the_worst_week_is_told_alike_by_every_paper_and_sheet(week: Shop) -> None:
    """Orders, receipts, statements, worksheets, years, month, year and the processor's days agree to the cent."""
    for number, kept in KEPT.items():
        order = week.said("sale", "show", str(number))
        assert cents(order["paid"]) - cents(order["refunded"]) == kept, number
        assert order["balance"] == "0.00", number
        for paper in ("confirmation", "slip"):
            done(week.type(LAST, "paper", paper, str(number), *PAPERS))
    _receipts(week)
    _years(week)
    _papers(week.papers())
    _books(week)


def _receipts(week: Shop) -> None:
    """Hold the receipts, with their statements and worksheets, to what the shop keeps of each order."""
    sums = dict.fromkeys(KEPT, 0)
    for number, order in CURRENT.items():
        receipt = week.said("receipt", "show", str(number))
        content = receipt["content"]
        stands = {line["reimbursement"]: 0 for line in content["lines"]}
        for line in content["lines"]:
            stands[line["reimbursement"]] += line["charge"] - line["given_back"]
        kept = cents(receipt["paid"]) - cents(receipt["refunded"])
        assert (receipt["order"], receipt["replaced_by"], receipt["overtaken"]) == (order, None, False)
        sums[order] += kept
        for paper in ("statement", "worksheet"):
            result = week.type(LAST, "paper", paper, str(number), *PAPERS)
            assert (result.exit_code == 0) is (number not in FOR_NOBODY), result.output
        if number in FOR_NOBODY:
            continue
        statement = text_of(week.folder / "out" / f"statement-{number:05}.pdf")
        for amount in (*stands.values(), kept):
            assert write_amount(amount) in statement, (number, amount)
    assert sums == KEPT
    for number, because in {1: "a check came back and was paid anew", 3: "frame exchanged", 4: "given back"}.items():
        old = week.said("receipt", "show", str(number))
        assert (old["replaced_because"], old["overtaken"]) == (because, False)


def _years(week: Shop) -> None:
    """Hold each customer's year to the customer's orders."""
    for customer, orders in CUSTOMERS.items():
        done(week.type(LAST, "paper", "year", str(customer), "2026", *PAPERS))
        year = text_of(week.folder / "out" / f"year-{customer:05}-2026.pdf")
        paid = write_amount(sum(KEPT[order] for order in orders))
        assert f"Paid in all {paid}" in year, customer


def _papers(papers: dict[str, str]) -> None:
    """Hold each paper to what a reader must find on it, and to what must not stand there."""
    assert "FULLY REFUNDED" in papers["receipt-00007.pdf"]
    assert "0.00 was kept" in papers["receipt-00007.pdf"]
    assert "PAID IN FULL" not in papers["receipt-00007.pdf"]
    assert "Takes the place of receipt 3: frame exchanged" in papers["receipt-00006.pdf"]
    assert papers["receipt-00006.pdf"].count("changed since receipt 3") == 2
    assert "Thistledown Lark, bone" in papers["receipt-00006.pdf"]
    assert "300.00 of 312.00 paid by bank transfer" in papers["receipt-00005.pdf"]
    assert "1187" not in papers["receipt-00005.pdf"], "a check that came back pays nothing"
    assert "more than one person" not in papers["receipt-00005.pdf"]
    assert "Charge for a check payment sent back" in papers["receipt-00009.pdf"]
    assert "NOT PAID IN FULL" in papers["receipt-00010.pdf"]
    assert CORIN in papers["receipt-00010.pdf"] or NEW_NAME in papers["receipt-00010.pdf"]
    assert "-3.00 -1.25 x 090" in papers["receipt-00011.pdf"]
    assert CHILD in papers["receipt-00003.pdf"]
    assert ODALYS not in papers["receipt-00003.pdf"].split("CUSTOMER")[0], "the wrong wearer never had a receipt"
    assert "7 Sorrel Court" in " ".join(papers[name] for name in papers if name.startswith(("packing", "slip")))
    for name, text in papers.items():
        assert "None" not in text, name


def _books(week: Shop) -> None:
    """Prove the books; month, year and the processor's days agree with what was typed."""
    proof = week.type(LAST, "verify")
    assert proof.exit_code == 0, proof.output
    cards = week.said("money", "cards", "2026")
    assert {each["day"]: cents(each["gross"]) for each in cards["days"]} == CARDS
    assert cents(cards["gross"]) == sum(CARDS.values())
    month = week.said("month", "show", "2026-03")
    assert cents(month["money_kept"]) == sum(KEPT.values())
    for account in ("receivable", "customer prepayments"):
        assert month["accounts"].get(account, "0.00") == "0.00"
    assert month["accounts"]["sales never paid"] == "86.50"
    for words in (("month", "export", "2026-03", *PAPERS), ("year", "export", "2026", *PAPERS)):
        done(week.type(LAST, *words))
    desk = open_desk(week.address, "tester", datetime.now(UTC), date(2026, 3, LAST))
    with closing(desk.ledger):
        assert_sheets_meet_accounts(desk, Month(2026, 3).days)
    (book,) = (file for file in (week.folder / "out").glob("*2026*.xlsx") if "2026-03" not in file.name)
    rows = load_workbook(book)["Card days"].iter_rows(values_only=True)
    gross = {row[0].date().isoformat(): round(float(str(row[2])) * 100) for row in rows if isinstance(row[0], datetime)}
    assert gross == CARDS


def done(result: Result) -> Result:
    """Give the result of a line that must succeed."""
    assert result.exit_code == 0, result.output
    return result


def cents(amount: str) -> int:
    """Read an amount as the program writes it."""
    return int(amount.replace(",", "").replace(".", ""))
