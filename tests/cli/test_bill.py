"""Suppliers and their bills at the command line: what is typed, shown, said and refused."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import PAIR, UNSEEN, Typed, done, read_json

GOODS = ("bill", "record", "Tollgate", "--invoice", "TG-1", "--stock", "WREN-52=2@65.00", "--stock", "case=10@3.50")


@pytest.fixture
def supplied(typed: Typed) -> Typed:
    """Give the function that runs a command in a shop with two suppliers and one job."""
    done(typed("supplier", "add", "--name", "Tollgate Frames", "--account", "P-118"))
    done(typed("supplier", "add", "--name", "Brightwater Lab"))
    done(typed("sale", "record", "--customer", "1", *PAIR))
    return typed


def test_a_supplier_is_asked_for(typed: Typed) -> None:
    """Whoever sits at a terminal may type the command alone."""
    result = done(typed("supplier", "add", answers="Tollgate Frames\nP-118\n\n\n"))
    assert "Supplier 1 was added." in result.stderr
    assert read_json(typed("supplier", "show", "tollgate", "--json"))["account"] == "P-118"


def test_a_supplier_is_changed_by_what_is_named(supplied: Typed) -> None:
    """The rest stays; nothing named is a slip."""
    done(supplied("supplier", "change", "Tollgate", "--phone", "555-0188"))
    card = read_json(supplied("supplier", "show", "1", "--json"))
    assert (card["account"], card["phone"]) == ("P-118", "555-0188")
    assert supplied("supplier", "change", "1").exit_code == 2


def test_a_bill_is_recorded_shown_and_paid(supplied: Typed) -> None:
    """Each step says the next one; the landed costs come to the total."""
    result = done(supplied(*GOODS, "--freight", "12", "--tax", "3.00", "--due", "2026-04-01"))
    assert "Bill 1 owes 180.00, due 2026-04-01. Next: 'shopledger bill pay 1 180.00 --method bank'." in result.stderr
    shown = done(supplied("bill", "show", "1")).stdout
    # 130.00 + 11.82 and 35.00 + 3.18
    for words in ("Tollgate Frames", "2 WREN-52", "141.82", "38.18", "sales tax"):
        assert words in shown
    done(supplied("bill", "pay", "1", "100", "--method", "bank", "--reference", "1187"))
    assert "Bill 1 is paid in full." in done(supplied("bill", "pay", "1", "80", "--method", "owner")).stderr
    assert "Bills: none." in done(supplied("bill", "list", "--open")).stdout


def test_the_method_of_a_payment_is_asked_for(supplied: Typed) -> None:
    """Away from a terminal the option is named."""
    done(supplied(*GOODS))
    assert "--method is missing" in supplied("bill", "pay", "1", "5").stderr
    assert "owes 160.00" in done(supplied("bill", "pay", "1", "5", answers="bank\n\n")).stderr


def test_a_dry_run_stores_nothing(supplied: Typed, everything: Callable[[], bytes]) -> None:
    """It shows what would land where, and what would be asked."""
    before = everything()
    result = done(supplied(*GOODS, "--freight", "15", "--paid", "cash", "--dry-run"))
    assert "141.82" in result.stdout
    assert "CASH-SHORT" in result.stdout
    assert "Nothing was stored: this was a dry run." in result.stderr
    assert everything() == before


def test_a_bill_in_cash_that_is_not_there_is_asked_about(supplied: Typed) -> None:
    """A yes at the terminal, or its code away from one."""
    assert "add --accept CASH-SHORT" in supplied(*GOODS, "--paid", "cash").stderr
    assert "Bill 1 is paid in full." in done(supplied(*GOODS, "--paid", "cash", answers="y\n")).stderr


def test_a_bill_may_be_written_in_a_file(supplied: Typed, tmp_path: Path) -> None:
    """The paper that it names is kept, and comes back byte for byte."""
    (tmp_path / "scan.pdf").write_bytes(b"%PDF-1.4 an invented scan")
    file = tmp_path / "bill.toml"
    file.write_text(
        'supplier = "Brightwater Lab"\nfile = "scan.pdf"\npaid = "card"\n[[job]]\njob = 1\namount = "42.50"\n',
        encoding="utf-8",
    )
    found = read_json(supplied("bill", "record", "--from", str(file), "--json"))
    assert (found["file"], found["balance"], found["lines"][0]["job"]) == ("scan.pdf", "0.00", 1)
    out = tmp_path / "out"
    written = read_json(supplied("bill", "file", "1", "--into", str(out), "--json"))
    assert written == {"bill": 1, "file": str(out / "bill-1-scan.pdf")}
    assert (out / "bill-1-scan.pdf").read_bytes() == b"%PDF-1.4 an invented scan"
    refused = supplied("bill", "record", "--from", str(file), "--note", "x")
    assert "--from is given with other options" in refused.stderr


def test_goods_are_sent_back(supplied: Typed) -> None:
    """The credit lowers what is owed, down to a balance in the shop's favour."""
    done(supplied(*GOODS, "--paid", "bank"))
    words = ("bill", "send-back", "1", "--item", "wren-52", "--quantity", "1", "--credit", "60", "--reason", "loose")
    result = done(supplied(*words))
    assert "1 WREN-52 left the shelf at 65.00." in result.stderr
    assert "Tollgate Frames owes the shop 60.00 on bill 1." in result.stderr
    assert "in the shop's favour  60.00" in done(supplied("bill", "show", "1")).stdout
    assert "-60.00" in done(supplied("bill", "list", "--open")).stdout
    assert "in credit" in done(supplied("bill", "list")).stdout


def test_an_unpaid_bill_is_overdue_after_its_day(supplied: Typed) -> None:
    """On the day itself it is not yet."""
    done(supplied(*GOODS, "--day", "2026-02-01", "--due", "2026-03-01"))
    done(supplied("bill", "record", "2", "--job", "1=40", "--day", "2026-02-01", "--due", "2026-03-02"))
    found = read_json(supplied("bill", "list", "--json"))
    assert [(each["number"], each["overdue"]) for each in found["bills"]] == [(2, False), (1, True)]
    assert found["owed"] == "205.00"
    assert len(read_json(supplied("bill", "list", "--supplier", "lab", "--json"))["bills"]) == 1


def test_goods_received_are_a_bill_of_one_line(supplied: Typed) -> None:
    """Of a supplier who may be named, and paid at once if that is said."""
    result = done(supplied("stock", "receive", "WREN-52", "--quantity", "1", "--unit-cost", "60"))
    assert "Bill 1 was recorded. Next: 'shopledger bill pay 1 60.00 --method bank'." in result.stderr
    words = ("stock", "receive", "CASE", "--kind", "accessory", "--quantity", "2", "--unit-cost", "4")
    done(supplied(*words, "--supplier", "Tollgate", "--invoice", "TG-9", "--paid", "card"))
    bills = read_json(supplied("bill", "list", "--json"))["bills"]
    assert [(each["supplier"]["name"], each["balance"]) for each in bills] == [
        ("Tollgate Frames", "0.00"),
        ("not named", "60.00"),
    ]


def test_margins_say_what_they_lack(supplied: Typed) -> None:
    """A job that left without a bill for its lenses is marked."""
    assert "not shipped yet" in done(supplied("job", "margin", "1")).stdout
    done(supplied("sale", "ship", "1", "--carrier", "Post", *UNSEEN))
    assert "no lens bill yet" in done(supplied("job", "margin", "1")).stdout
    done(supplied("bill", "record", "Brightwater", "--job", "1=42.50"))
    # 180.00 with lenses included, less 61.00 and 42.50: 76.50, which is 42.5 %.
    assert "42.5 %" in done(supplied("job", "margin", "1")).stdout
    assert "76.50" in done(supplied("sale", "margin", "1")).stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--stock", "WREN-52=2"), "it is a code, how many, and what one cost, as in PELLOW-52=12@61.00"),
        (("--stock", "WREN-52=x@5"), "stock is 'x'; it is a whole number"),
        (("--stock", "WREN-52=1@5.123"), "an amount has at most two decimals"),
        (("--stock", "WREN-52=1@-5"), "unit cost is -5.00; it may not be negative"),
        (("--stock", "WREN-52=0@5"), "quantity of WREN-52 is 0; it must lie from 1"),
        (("--stock", "WREN=1@5"), "Did you mean WREN-52"),
        (("--job", "1"), "it is a job's number and an amount, as in 118=42.50"),
        (("--job", "7=5"), "there is no job 7"),
        (("--job", "1=0"), "amount of job 1 is 0.00; it must be more than 0"),
        (("--expense", "suplies=5"), "Did you mean supplies"),
        (("--freight", "5"), "the bill has no goods and no job to carry it"),
        (("--job", "1=5", "--due", "2026-03-01"), "due day is 2026-03-01; the bill is of 2026-03-02"),
        (("--job", "1=5", "--reference", "7"), "reference is '7'; it belongs to a payment"),
        ((), "bill is empty"),
    ],
)
def test_what_cannot_be_billed_is_refused_in_one_sentence(
    supplied: Typed, everything: Callable[[], bytes], words: tuple[str, ...], said: str
) -> None:
    """Nothing is stored, and no traceback is shown."""
    before = everything()
    result = supplied("bill", "record", "1", *words)
    assert result.exit_code != 0
    assert said in result.stderr
    assert "Traceback" not in result.output
    assert everything() == before


def test_the_supplier_and_the_bill_must_be_known(supplied: Typed) -> None:
    """The sentence says which is not, and a second bill of one number is refused by the first."""
    assert "no supplier called 'Nobody'" in supplied("bill", "record", "Nobody", "--job", "1=5").stderr
    assert "SUPPLIER is missing" in supplied("bill", "record", "--job", "1=5").stderr
    assert "there is no bill 3" in supplied("bill", "show", "3").stderr
    done(supplied(*GOODS))
    assert "bill 1 of Tollgate Frames has it already" in supplied(*GOODS).stderr
    assert (
        "payment is 200.00; only 165.00 is still owed" in supplied("bill", "pay", "1", "200", "--method", "bank").stderr
    )
    assert "payment is -5.00; it must be more than 0" in supplied("bill", "pay", "1", "-5", "--method", "bank").stderr
