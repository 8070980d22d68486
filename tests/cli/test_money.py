"""Spending, money that moves, deposits and taking back at the terminal: shown, asked, stored or left alone."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import PAIR, Typed, done, read_json

RENT = (
    *("spend", "record", "Alder Row Estates", "850", "--category", "rent-of-premises"),
    *("--method", "bank", "--description", "rent for March"),
)


@pytest.fixture
def scan(tmp_path: Path) -> Path:
    """Give the scan of a receipt."""
    file = tmp_path / "rent.pdf"
    file.write_bytes(b"%PDF rent")
    return file


def test_an_expense_goes_in_and_comes_out_with_its_receipt(typed: Typed, scan: Path, tmp_path: Path) -> None:
    """Recorded, shown with its line of Schedule C, listed with its sum, and the very file written back."""
    recorded = done(typed(*RENT, "--receipt", str(scan)))
    assert "Expense 1 was recorded." in recorded.stderr
    shown = done(typed("spend", "show", "1")).stdout
    for words in ("Alder Row Estates", "850.00", "rent for March", "Schedule C line 20b", "rent.pdf"):
        assert words in shown
    listed = done(typed("spend", "list", "--month", "2026-03")).stdout
    assert "in all" in listed
    written = done(typed("spend", "receipt", "1", "--into", str(tmp_path / "out"))).stdout.strip()
    assert Path(written).read_bytes() == scan.read_bytes()


def test_a_dry_run_shows_what_would_be_stored(typed: Typed, everything: Callable[[], bytes], scan: Path) -> None:
    """Of an expense, money, a deposit handed back and a taking back; nothing changes."""
    done(typed(*RENT))
    done(typed("deposit", "take", "1", "50", "--method", "check"))
    before = everything()
    for words, said in (
        ((*RENT, "--receipt", str(scan)), "EXPENSE-TWICE"),
        (("money", "contribute", "10", "--till", "cash"), "put in by the owner"),
        (("money", "bank", "10"), "CASH-SHORT"),
        (("deposit", "give-back", "1"), "Given back"),
        (("deposit", "give-back", "1", "--method", "cash"), "CASH-SHORT"),
        (("void", "expense", "1", "--reason", "was private"), "rent of premises"),
    ):
        result = done(typed(*words, "--dry-run"))
        assert said in result.stdout
        assert "Nothing was stored" in result.stderr
    assert everything() == before


def test_a_warning_is_asked_about_at_a_terminal(typed: Typed, everything: Callable[[], bytes]) -> None:
    """A no stores nothing, a yes records it; away from a terminal --accept says it."""
    done(typed(*RENT))
    before = everything()
    refused = typed(*RENT, "--reference", "M-17", answers="n\n")
    assert refused.exit_code == 1
    assert "EXPENSE-TWICE" in refused.stderr
    assert everything() == before
    done(typed(*RENT, "--reference", "M-17", answers="y\n"))
    done(typed(*RENT, "--accept", "EXPENSE-TWICE"))
    assert len(read_json(typed("spend", "list", "--json"))["expenses"]) == 3


def test_what_an_expense_lacks_is_asked_for(typed: Typed) -> None:
    """Category, purpose, source and reference, each read as it is typed; a slip is asked again."""
    answers = "rent-of-premisses\nrent-of-premises\nrent for March\nbank\n\n"
    result = done(typed("spend", "record", "Alder Row Estates", "850", answers=answers))
    assert "Did you mean rent-of-premises" in result.stderr
    assert read_json(typed("spend", "show", "1", "--json"))["category"] == "rent of premises"


def test_an_expense_without_proof_is_told_of(typed: Typed) -> None:
    """It is stored all the same; one with a reference needs no word."""
    assert "NO-PROOF" in done(typed(*RENT)).stdout
    assert "NO-PROOF" not in done(typed(*RENT, "--reference", "M-17", "--accept", "EXPENSE-TWICE")).stdout


def test_the_categories_need_no_ledger_and_carry_a_caution(typed: Typed) -> None:
    """Which line is right is not the program's to say."""
    result = done(typed("--ledger", "nowhere.db", "spend", "categories"))
    assert "20b" in result.stdout
    assert "tax preparer" in result.stderr


def test_an_order_is_paid_from_a_deposit(typed: Typed) -> None:
    """The deposit's command says how, and what is left of it is listed; a cancelled order puts it back."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    taken = done(typed("deposit", "take", "Odalys", "50", "--method", "card", "--reference", "4242"))
    assert "payment take ORDER --deposit 1" in taken.stderr
    paid = done(typed("payment", "take", "1", "--deposit", "1", "--amount", "30"))
    assert "Order 1 still owes 156.50." in paid.stderr
    assert "20.00" in done(typed("deposit", "list")).stdout
    assert "paid on order 1" in done(typed("deposit", "show", "1")).stdout
    cancelled = done(typed("sale", "cancel", "1", "--reason", "changed her mind"))
    assert "30.00 is in deposit 1 again." in cancelled.stderr
    assert "Pay back" not in cancelled.stderr
    back = done(typed("deposit", "give-back", "1"))
    assert "50.00 is given back by card." in back.stderr
    assert "none." in done(typed("deposit", "list")).stdout
    assert "4242" in done(typed("deposit", "show", "1")).stdout


def test_each_move_of_money_has_its_verb(typed: Typed) -> None:
    """Typed one after another, they leave what they should in each till."""
    for words in (
        ("open", "100", "--till", "cash"),
        ("open", "1000", "--till", "bank"),
        ("bank", "60"),
        ("withdraw", "10"),
        ("contribute", "25", "--till", "cash"),
        ("draw", "5", "--till", "cash"),
        ("other-income", "2.50", "--from", "interest"),
        ("payout", "40", "--fee", "1.20", "--accept", "PAYOUT-ABOVE-CLEARING"),
        ("pay-card", "7", "--accept", "CARD-ABOVE-OWED"),
        ("pay-tax", "oh", "3", "--kept", "0.05", "--accept", "TAX-ABOVE-OWED"),
    ):
        assert "was recorded." in done(typed("money", *words)).stderr
    accounts = {row["account"]: row["amount"] for row in read_json(typed("money", "show", "--json"))["accounts"]}
    # 100 - 60 + 10 + 25 - 5, and 1000 + 60 - 10 + 2.50 + 38.80 - 7 - 2.95
    assert (accounts["cash"], accounts["bank"]) == ("70.00", "1081.35")
    assert (accounts["card clearing"], accounts["credit card owed"]) == ("-40.00", "-7.00")
    assert accounts["sales tax payable"] == "-3.00"
    assert "70.00" in done(typed("money", "show", "--on", "2026-03-02")).stdout
    assert len(read_json(typed("money", "list", "--json"))["money"]) == 10


@pytest.mark.parametrize("words", [("expense", "1"), ("expense-1",), ("Expense 1",)])
def test_a_document_is_named_as_it_comes(typed: Typed, words: tuple[str, ...]) -> None:
    """With a space, a hyphen or quotes; the list shows it below zero afterwards."""
    done(typed(*RENT))
    taken = done(typed("void", *words, "--reason", "was private"))
    assert "Expense 1 was voided." in taken.stderr
    listed = done(typed("spend", "list")).stdout
    assert "-850.00" in listed
    assert "was private" in listed


@pytest.mark.parametrize(
    ("former", "now"),
    [
        (("fetch", "10"), "withdraw"),
        (("put-in", "25", "--till", "cash"), "contribute"),
        (("take-out", "5", "--till", "cash"), "draw"),
    ],
)
def test_what_a_command_was_called_before_goes_on_working(typed: Typed, former: tuple[str, ...], now: str) -> None:
    """It does the same, and stands in no help."""
    as_before = typed("money", *former, "--dry-run", "--json")
    assert read_json(as_before) == read_json(typed("money", now, *former[1:], "--dry-run", "--json"))
    listed = done(typed("money", "--help")).stdout
    assert now in listed
    assert f"  {former[0]} " not in listed
