"""The month as plain CSV: the same rows, guarded text, untouched numbers."""

from __future__ import annotations

import csv
import hashlib
import io
from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.exports.plain import write_plain
from shopledger.exports.refusals import NotSavedError
from shopledger.ledger.books.customer_rows import SalesRow, TaxRow
from shopledger.ledger.books.posted_rows import StockRow
from tests.exports.sample_month import NASTY, SALES, STOCK, month_report


def rows_of(file: Path) -> list[dict[str, str]]:
    """Read a file as a program would."""
    with file.open(encoding="utf-8-sig", newline="") as opened:
        return list(csv.DictReader(opened))


def test_each_sheet_is_a_file_with_all_its_rows(tmp_path: Path) -> None:
    """One file for each, named for what they hold and the month; and a list of them."""
    *files, _ = write_plain(month_report(), tmp_path)
    assert [file.name for file in files] == [
        f"{name}-2026-03.csv"
        for name in ("sales-lines", "payments", "refunds", "money-back", "tax-by-state", "deposits", "stock-movements",
                     "stock-value", "cost-of-goods", "expenses", "bills", "money-moves", "journal", "trial-balance",
                     "open-items")
    ]  # fmt: skip
    assert [len(rows_of(file)) for file in files] == [10, 4, 3, 4, 5, 3, 4, 3, 5, 6, 7, 3, 65, 27, 6]


def test_the_list_names_each_file_with_its_hash_and_the_state_of_the_books(tmp_path: Path) -> None:
    """Whoever gets the files can tell that they are whole, and from which state of the ledger they are."""
    *files, listed = write_plain(month_report(), tmp_path)
    text = listed.read_text(encoding="utf-8")
    assert listed.name == "month-2026-03.txt"
    assert "ledger head 14 entries, 9f3c2a" in text
    assert "The month is open" in text
    for file in files:
        assert f"{hashlib.sha256(file.read_bytes()).hexdigest()}  {file.name}  {len(rows_of(file))} rows" in text


def test_values_are_written_so_that_any_program_reads_them(tmp_path: Path) -> None:
    """Days as ISO, money with two decimals, rates as a share, nothing in place of nothing."""
    tax_rows = [TaxRow("OH", "accessory", 72_500, 100_000, 7_250, 20_000, 1_450)]
    files = {
        file.name.removesuffix("-2026-03.csv"): file for file in write_plain(month_report({TaxRow: tax_rows}), tmp_path)
    }
    sales, refunds, back, tax, stock = (
        files[name] for name in ("sales-lines", "refunds", "money-back", "tax-by-state", "stock-value")
    )
    cancelled, first = (rows_of(sales)[place] for place in (0, 3))
    assert (first["Date"], first["Order"], first["Count"], first["Net"]) == ("2026-03-12", "11", "1", "180.00")
    assert cancelled["Net"] == "-180.00"
    assert (rows_of(refunds)[0]["Given back"], rows_of(refunds)[1]["Goods"]) == ("21.40", "1")
    assert [row["Cause"] for row in rows_of(back)] == ["cancellation", "cancellation", "refund", "refund"]
    assert rows_of(tax)[0] == {
        "State": "OH", "Tax category": "accessory", "Rate": "0.072500", "Imposed on": "buyer", "Exempt reason": "",
        "Sales": "1000.00", "Refunds": "200.00", "Cancellations": "0.00", "Net sales": "800.00", "Exempt": "0.00",
        "Taxable base": "800.00", "Tax charged": "72.50",
        "Tax given back": "14.50", "Tax": "58.00",
    }  # fmt: skip
    assert rows_of(stock)[1]["Adjusted"] == "-1"


@pytest.mark.parametrize("text", NASTY)
def test_text_that_could_run_is_guarded(text: str, tmp_path: Path) -> None:
    """A leading apostrophe keeps a formula from running; other text is as it was."""
    row = rows_of(write_plain(month_report({SalesRow: [replace(SALES[0], customer=text)]}), tmp_path)[0])[0]
    guarded = row["Customer"].startswith("'")
    assert guarded is (text.strip()[0] in "=+-@\N{FULLWIDTH EQUALS SIGN}")
    assert "\x07" not in row["Customer"]


def test_numbers_below_zero_are_never_guarded(tmp_path: Path) -> None:
    """A refund or a missing piece stays a number."""
    loss = replace(STOCK[0], adjusted=-2, adjusted_value=-18_230)
    row = rows_of(write_plain(month_report({StockRow: [loss]}), tmp_path)[7])[0]
    assert (row["Adjusted"], row["Adjusted value"]) == ("-2", "-182.30")


def test_quotes_commas_and_breaks_stay_in_their_cell(tmp_path: Path) -> None:
    """A name with a comma or a quote does not move the columns, and lines end as the format asks."""
    file = write_plain(month_report({SalesRow: [replace(SALES[0], customer='A "B", C\nD')]}), tmp_path)[0]
    content = file.read_bytes()
    assert content.startswith(b"\xef\xbb\xbfDate,Order")
    assert content.count(b"\r\n") == content.count(b"\n") == 2
    assert rows_of(file)[0]["Customer"] == 'A "B", C D'


def test_a_full_disk_is_said_in_one_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When there is no room, nothing is left behind and the owner reads why."""

    def full(*_: object, **__: object) -> io.TextIOBase:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "open", full)
    with pytest.raises(NotSavedError, match="the disk is full"):
        write_plain(month_report(), tmp_path)
    assert list(tmp_path.iterdir()) == []
