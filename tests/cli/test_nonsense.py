"""Slips of the finger that would spoil the books: each is refused in one line with what to do, and stores nothing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import LEFT, PAIR, RIGHT, SHOP_OPTIONS, Typed, done, read_json, trace_text, type_in
from tests.forging import unwatched

pytestmark = pytest.mark.slow

BILL = ("bill", "record", "Tollgate Frames")
SOLD = ("sale", "record", "--customer", "1", *PAIR)
HUGE = "9" * 30
FRAME = (
    "--maker",
    "Thistledown",
    "--model",
    "Wren",
    "--colour",
    "rust",
    "--eye-size",
    "52",
    "--bridge",
    "18",
    "--temple",
    "140",
    "--price",
    "1",
    "--cost",
    "1",
)
READ = ("--right", "-2.50 -1.25 x 090", "--left", "-2.25 -1.00 x 085", "--pd", "63", "--height", "19", "--aligned")

SLIPS = {
    "bar code as a count": (("stock", "count", "CASE", "--counted", "012345678905"), 2, "that is a bar code"),
    "bar code as a count of goods billed": ((*BILL, "--stock", "CASE=4006381333931@1.10"), 2, "that is a bar code"),
    "bar code as a quantity": (
        ("stock", "receive", "CASE", "--quantity", "96385074", "--unit-cost", "1"),
        2,
        "bar code",
    ),
    "more than a shelf holds": (("stock", "count", "CASE", "--counted", "100001"), 30, "from 0 to 100,000"),
    "more than a line brings": ((*BILL, "--stock", "CASE=100001@0.10"), 2, "from 0 to 100,000"),
    "a cost of goods": ((*BILL, "--stock", "CASE=1@25000.01"), 2, "at most 25,000.00"),
    "a line above all": ((*BILL, "--stock", "CASE=1000@2500"), 2, "at most 1,000,000.00"),
    "lenses for one job": ((*BILL, "--job", "1=99999"), 2, "at most 10,000.00"),
    "an expense on a bill": ((*BILL, "--expense", "supplies=1000000.01"), 2, "at most 1,000,000.00"),
    "freight": ((*BILL, "--stock", "CASE=1@5", "--freight", "9999999"), 30, "at most 1,000,000.00"),
    "money taken out": (("money", "take-out", "99999999", "--till", "bank"), 30, "at most 1,000,000.00"),
    "money put in": (("money", "contribute", "1000000.01", "--till", "cash"), 30, "at most 1,000,000.00"),
    "a deposit": (("deposit", "take", "1", "2000000", "--method", "cash"), 30, "at most 1,000,000.00"),
    "spending": (
        ("spend", "record", "A", "2000000", "--category", "supplies", "--method", "bank", "--description", "b"),
        30,
        "at most 1,000,000.00",
    ),
    "a price": (("accessory", "change", "CASE", "--price", "100000.01"), 30, "at most 100,000.00"),
    "a charge for shipping": (("shop", "change", "--shipping-charge", "100000.01"), 30, "at most 100,000.00"),
    "a charge below nothing": (("shop", "change", "--shipping-charge=-5"), 30, "may not be negative"),
    "an offer below nothing": (
        ("offer", "add", "O", "--name", "x", "--kind", "included", "--price=-5", "--reduces", "lenses"),
        30,
        "may not be negative",
    ),
    "an allowance below nothing": (("shop", "change", "--blank-allowance", "-1"), 30, "from 0 to 10 mm"),
    "an allowance beyond a blank": (("shop", "change", "--blank-allowance", "99"), 30, "from 0 to 10 mm"),
    "a name that nobody sees": (("prescriber", "add", "--name", "\u200c"), 30, "prescriber name is empty"),
    "a day ten years ago": ((*SOLD, "--day", "2016-03-02"), 20, "--accept DAY-LONG-AGO"),
    "a day before the books": (
        (*SOLD, "--day", "2016-03-02", "--accept", "DAY-LONG-AGO"),
        30,
        "no day before 2019-03-02",
    ),
    "the year 1": ((*SOLD, "--day", "0001-01-01"), 2, "from 1890 to 2199"),
    "the year 9999": ((*BILL, "--stock", "CASE=1@5", "--due", "9999-12-31"), 2, "from 1890 to 2199"),
    "the year 1 of a wearer": (("wearer", "change", "Wren", "--customer", "1", "--born", "0001-01-01"), 2, "1890"),
    "an EIN of zeros": (("shop", "change", "--ein", "000000000"), 2, "no EIN begins with 00"),
    "an EIN that ends in zeros": (("shop", "change", "--ein", "12-0000000"), 2, "not all 0"),
    "an EIN of no campus": (("shop", "change", "--ein", "89-1234567"), 2, "no EIN begins with 89"),
    "a second self": (
        ("wearer", "add", "--customer", "1", "--name", "Odalys Two", "--relationship", "self"),
        30,
        "is the customer already",
    ),
    "a yes to nothing": ((*SOLD, "--accept", "YES"), 30, "--accept YES answers nothing"),
    "a yes to nothing in a dry run": (("money", "bank", "1", "--dry-run", "--accept", "X"), 30, "Asked was CASH-SHORT"),
    "a yes to nothing in a dry run of a sale": ((*SOLD, "--dry-run", "--accept", "X"), 30, "answers nothing"),
    "a yes to another warning": (("money", "bank", "50", "--accept", "CASH-SHRT"), 30, "Asked was CASH-SHORT"),
    "a yes to a day that is near": ((*SOLD, "--day", "2026-03-01", "--accept", "DAY-LONG-AGO"), 30, "answers nothing"),
    "a yes to a count that is in order": (("stock", "count", "CASE", "--counted", "9", "--accept", "X"), 30, "nothing"),
    "a yes where only a day is asked": (("payment", "take", "1", "--amount", "5", "--accept", "X"), 30, "nothing"),
    "an order's number": (("sale", "show", HUGE), 2, "at most 999,999,999"),
    "a job's number on a bill": ((*BILL, "--job", f"{HUGE}=5"), 2, "at most 999,999,999"),
    "a count": (("stock", "count", "CASE", "--counted", HUGE), 2, "at most 999,999,999"),
    "an amount": (("money", "bank", HUGE), 2, "at most 999,999,999.99"),
    "an amount of a million digits": (("money", "bank", "9" * 1_000_000), 2, "amount"),
    "a number of a million digits": (("sale", "show", "9" * 1_000_000), 2, "at most 999,999,999"),
    "a number with a mark within": (("sale", "show", "1_000"), 2, "it is a whole number"),
    "a number of another script": (("sale", "show", "\u0661"), 2, "it is a whole number"),
    "a count of accessories": ((*SOLD, "--accessory", f"CASE={HUGE}"), 2, "at most 999,999,999"),
    "a PD": (("optics", "decentration", "--pd", HUGE), 2, "Error"),
    "an axis": (("optics", "transpose", f"-1.00 -1.00 x {HUGE}"), 2, "Error"),
    "a trace's number": (("trace", "show", "WREN-52", "--number", HUGE), 2, "at most 999,999,999"),
}


@pytest.mark.parametrize(("words", "code", "said"), SLIPS.values(), ids=SLIPS)
def test_a_slip_is_refused_and_stores_nothing(
    typed: Typed, everything: Callable[[], bytes], words: tuple[str, ...], code: int, said: str
) -> None:
    """Whatever is beyond a shop of one person ends in a sentence, never in the books and never in a traceback."""
    done(typed("supplier", "add", "--name", "Tollgate Frames"))
    before = everything()
    result = typed(*words)
    assert (result.exit_code, said in result.stderr) == (code, True), result.output[:2000]
    assert everything() == before


def test_a_credit_is_at_most_what_the_goods_cost(typed: Typed, everything: Callable[[], bytes]) -> None:
    """With their share of the freight, to the cent."""
    done(typed("supplier", "add", "--name", "Tollgate Frames"))
    done(typed(*BILL, "--stock", "CASE=3@1.10", "--freight", "0.50"))
    before = everything()
    back = ("bill", "send-back", "1", "--item", "CASE", "--quantity", "2", "--reason", "scratched", "--credit")
    for credit in ("99999", "2.55"):
        result = typed(*back, credit)
        assert (result.exit_code, "2 CASE cost 2.54 on bill 1" in result.stderr) == (30, True), result.output
    assert everything() == before
    done(typed(*back, "2.54"))


def test_a_day_long_ago_is_kept_after_a_yes(typed: Typed) -> None:
    """As a word of the command, or as an answer at a terminal; a no ends it before anything is stored."""
    spent = ("spend", "record", "City Light", "5", "--category", "utilities", "--method", "bank", "--description", "b")
    day = ("--day", "2024-11-05")
    assert typed(*spent, *day).exit_code == 20
    assert typed(*spent, *day, answers="n\n").exit_code == 1
    assert read_json(typed("spend", "list", "--json"))["expenses"] == []
    done(typed(*spent, *day, "--accept", "DAY-LONG-AGO"))
    asked = done(typed(*spent, "--day", "2024-11-06", answers="y\n"))
    assert "2024-11-06 lies 481 days before today, 2026-03-02. [DAY-LONG-AGO]" in asked.stderr


def test_a_day_in_a_file_needs_its_yes_too(typed: Typed, tmp_path: Path) -> None:
    """An order file of another year is no way round the question."""
    file = tmp_path / "order.toml"
    file.write_text('customer = "1"\nday = 2023-05-05\n[[accessory]]\ncode = "CASE"\n', encoding="utf-8")
    assert typed("sale", "record", "--from", str(file)).exit_code == 20
    done(typed("sale", "record", "--from", str(file), "--accept", "DAY-LONG-AGO"))


def test_a_payment_was_taken_long_ago_after_a_yes(typed: Typed) -> None:
    """Commands that had no warning before ask for this one in the same way."""
    done(typed(*SOLD, "--day", "2024-11-05", "--accept", "DAY-LONG-AGO"))
    paid = ("payment", "take", "1", "--amount", "5", "--method", "cash", "--day", "2024-11-06")
    assert typed(*paid).exit_code == 20
    done(typed(*paid, "--accept", "DAY-LONG-AGO"))


def test_a_shop_is_not_set_up_with_an_impossible_ein(tmp_path: Path) -> None:
    """The number goes on every receipt, so it is looked at before there is a ledger."""
    options = [option if option != "12-3456789" else "000000000" for option in SHOP_OPTIONS]
    result = type_in("setup", *options, ledger=tmp_path / "new.db")
    assert (result.exit_code, "no EIN begins with 00" in result.stderr) == (2, True)
    assert list(tmp_path.iterdir()) == []


def test_what_was_let_in_before_is_read(typed: Typed, ledger: Path) -> None:
    """A ledger of an earlier version holds what is refused today, and each list and card of it goes on being shown."""
    import sqlite3

    done(
        typed("offer", "add", "SECOND", "--name", "x", "--kind", "included", "--reduces", "lenses", "--from-pair", "2")
    )
    with sqlite3.connect(ledger) as connection:
        for changed in (
            "shop SET ein = '00-0000000', name = 'Lark' || char(8238) || 'spur'",
            "shop_settings SET blank_allowance = 9900, shipping_charge = 99999999999",
            "offer SET from_pair = 5000",
            "accessory SET name = '4111 1111 1111 1111', price = 99999999999",
            "customer SET name = '123-45-6789', folded = '123-45-6789'",
        ):
            unwatched(connection).execute(f"UPDATE {changed}")
    for words in (("shop", "show"), ("offer", "list"), ("accessory", "list"), ("customer", "show", "1")):
        done(typed(*words))
    assert typed("shop", "change", "--phone", "555-0101").exit_code == 30
    done(
        typed(
            "shop",
            "change",
            "--ein",
            "12-3456789",
            "--name",
            "Lark",
            "--blank-allowance",
            "2",
            "--shipping-charge",
            "5",
        )
    )


def test_every_command_with_a_yes_refuses_a_word_that_nobody_asked(typed: Typed, tmp_path: Path) -> None:
    """No deed with warnings of its own lets a misspelt word pass, whether it warns or not."""
    trace = tmp_path / "wren.txt"
    trace.write_text(trace_text(), encoding="ascii")
    done(typed("trace", "add", "WREN-52", str(trace)))
    done(typed("frame", "add", "WREN-53", *FRAME))
    done(typed("supplier", "add", "--name", "Tollgate Frames"))
    done(typed(*BILL, "--stock", "CASE=5@4"))
    done(typed(*SOLD))
    done(typed("deposit", "take", "1", "30", "--method", "cash"))
    done(typed("job", "inspect", "1", *READ))
    eyes = ("--right", RIGHT, "--left", LEFT)
    whose = ("--customer", "1", "--wearer", "Odalys", "--prescriber", "Castellane", "--written", "2026-02-21")
    told = []
    for words in (
        ("void", "bill", "1", "--reason", "x"),
        ("stock", "count", "CASE", "--counted", "15"),
        ("stock", "receive", "CASE", "--quantity", "1", "--unit-cost", "4"),
        ("stock", "write-off", "CASE", "--reason", "broken"),
        ("prescription", "add", *whose, *eyes),
        ("trace", "add", "WREN-52", str(trace)),
        ("trace", "adopt", "WREN-52", "WREN-53"),
        ("sale", "ship", "1", "--carrier", "Post"),
        ("sale", "record", "--customer", "1", *PAIR),
        ("bill", "pay", "1", "20", "--method", "bank"),
        (*BILL, "--stock", "CASE=1@4"),
        ("deposit", "give-back", "1", "5", "--method", "cash"),
        ("spend", "record", "A", "5", "--category", "supplies", "--method", "bank", "--description", "b"),
        ("money", "contribute", "5", "--till", "bank"),
        ("month", "close", "2026-01"),
        ("job", "inspect", "1", *READ),
        ("payment", "take", "1", "--amount", "5", "--method", "cash"),
    ):
        result = typed(*words, "--accept", "MISSPELT")
        if result.exit_code != 30 or "--accept MISSPELT answers nothing" not in result.stderr:
            told.append((words, result.exit_code, result.output[-300:]))
    assert told == []
