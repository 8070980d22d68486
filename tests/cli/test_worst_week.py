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
from pypdf import PdfReader

from shopledger.cli.context import Surroundings
from shopledger.cli.main import shop
from shopledger.desk.context import open_desk
from tests.cli.worst_week import GOODS, KEPT, WEEK, Deed
from tests.desk.books import everything

pytestmark = pytest.mark.slow

LAST = 9
CURRENT = {2: 2, 5: 1, 6: 4, 7: 5, 8: 6}
"""The receipts that nothing replaced, each with its order."""


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


@pytest.fixture
def week(vacant_address: str, tmp_path: Path) -> Iterator[Shop]:
    """Live through the week."""
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
        assert cents(order["balance"]) == 0, number


def cents(amount: str) -> int:
    """Read an amount as the program writes it."""
    return round(float(amount.replace(",", "")) * 100)
