"""What goes wrong is said in one line that helps, ends with the code of its kind, and leaves nothing behind."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import ADDRESS, LEFT, PAIR, RIGHT, Typed, done

WHOSE = ("--customer", "1", "--wearer", "Odalys", "--prescriber", "Castellane", "--written", "2026-03-01")
FRAME = ("--maker", "M", "--model", "N", "--colour", "red", "--eye-size", "50", "--bridge", "18", "--temple", "140")
SPENT = ("--category", "--method", "bank", "--description", "gas")
"""The options of an expense; its category goes after the first."""

BAD = {
    "unknown customer": (("customer", "show", "Odalis Fernholow"), 40, ("Odalis Fernholow", "Odalys Fernhollow")),
    "unknown wearer": (
        ("prescription", "add", *WHOSE[:3], "Wram", *WHOSE[4:], "--right", RIGHT, "--left", LEFT),
        40,
        ("Wram",),
    ),
    "unknown frame": (
        ("sale", "record", "--customer", "1", *PAIR[:2], "--frame", "WREM-52", *PAIR[4:]),
        40,
        ("WREM-52", "WREN-52"),
    ),
    "unknown lens": (("lens", "show", "SV-15"), 40, ("SV-15", "SV-150")),
    "axis 0": (("prescription", "check", "--right", "-2.50 -1.25 x 0", "--left", LEFT), 2, ("axis 0", "180")),
    "axis 190": (
        ("optics", "transpose", "--sphere", "-2.50", "--cylinder", "-1.25", "--axis", "190"),
        2,
        ("190", "1 to 180"),
    ),
    "cylinder without axis": (
        ("prescription", "check", "--right", "-2.50 -1.25", "--left", LEFT),
        2,
        ("without an axis", "x 090"),
    ),
    "cylinder option without axis": (
        ("prescription", "check", "--right-sphere", "-2.50", "--right-cylinder", "-1.25", "--left", LEFT),
        20,
        ("axis", "1 to 180"),
    ),
    "power off the eighth": (
        ("prescription", "add", *WHOSE, "--right", "-2.31 DS", "--left", "-2.25 DS"),
        20,
        ("-2.31", "0.25", "OFF-EIGHTH"),
    ),
    "power off the quarter": (
        ("prescription", "add", *WHOSE, "--right", "-2.37 DS", "--left", "-2.25 DS"),
        20,
        ("-2.37", "0.25", "--accept OFF-QUARTER"),
    ),
    "PD in centimetres": (
        ("sale", "record", "--customer", "1", *PAIR[:6], "--pd", "6.3"),
        20,
        ("6.3", "40 to 80", "63"),
    ),
    "negative price": (("frame", "add", "X", *FRAME, "--price", "-5", "--cost", "1"), 30, ("-5.00", "negative")),
    "price with three decimals": (
        ("frame", "add", "X", *FRAME, "--price", "129.955", "--cost", "1"),
        2,
        ("129.955", "two decimals", "129.95"),
    ),
    "day in the future": (
        ("sale", "record", "--customer", "1", *PAIR, "--day", "2026-03-03"),
        30,
        ("2026-03-03", "2026-03-02"),
    ),
    "ambiguous day": (("wearer", "add", "--born", "14/3/15"), 2, ("14/3/15", "2015-03-14", "no month")),
    "no such day": (("wearer", "add", "--born", "2015-02-30"), 2, ("2015-02-30", "calendar")),
    "order paid over": (
        ("sale", "record", "--customer", "1", *PAIR, "--pay", "900", "--method", "cash"),
        30,
        ("900.00", "186.50"),
    ),
    "EIN like a social security number": (("shop", "change", "--ein", "123-45-6789"), 2, ("12-3456789", "never")),
    "whole card number": (
        (
            "sale",
            "record",
            "--customer",
            "1",
            *PAIR,
            "--pay",
            "5",
            "--method",
            "card",
            "--reference",
            "4242424242424242",
        ),
        30,
        ("card", "last four"),
    ),
    "more than on hand": (
        ("sale", "record", "--customer", "1", "--accessory", "CASE=11"),
        30,
        ("11", "10 on hand", "stock receive"),
    ),
    "more given away than there is": (
        ("stock", "give", "CASE", "--kind", "accessory", "--quantity", "11"),
        30,
        ("CASE: 11 asked for, 10 on hand",),
    ),
    "written off without a reason": (("stock", "write-off", "WREN-52"), 2, ("--reason",)),
    "written off before it came": (
        ("stock", "write-off", "WREN-52", "--reason", "lost", "--day", "2026-03-01"),
        30,
        ("0 could have left", "stock history WREN-52"),
    ),
    "a count below zero": (("stock", "count", "WREN-52", "--counted", "-1"), 30, ("-1", "may not be negative")),
    "a value of a day to come": (("stock", "value", "--on", "2026-03-03"), 30, ("2026-03-03", "after today")),
    "history of goods that are none": (("stock", "history", "WREM-52"), 40, ("WREM-52", "Did you mean WREN-52")),
    "word that is none": (("tax", "set", "OH", "accesory", "7"), 2, ("accesory", "accessory")),
    "state that is none": (
        ("customer", "add", "--name", "A", *ADDRESS[:4], "--state", "Ohio", "--zip", "43002"),
        2,
        ("Ohio", "OH"),
    ),
    "order that is none": (("sale", "show", "99"), 40, ("99",)),
    "receipt that is none": (("receipt", "show", "7"), 40, ("7",)),
    "month that is none": (("month", "show", "2026-13"), 2, ("2026-13", "2026-03")),
    "command that is none": (("custmer", "find"), 2, ("custmer", "customer", "--help")),
    "command in a group that is none": (("sale", "recrd"), 2, ("recrd", "record")),
    "spending category that is none": (
        ("spend", "record", "Alder Row", "5", *SPENT[:1], "rent-of-premisses", *SPENT[1:]),
        2,
        ("rent-of-premisses", "rent-of-premises", "utilities"),
    ),
    "spending nothing": (
        ("spend", "record", "Alder Row", "0", *SPENT[:1], "utilities", *SPENT[1:]),
        30,
        ("0.00", "more than 0"),
    ),
    "spending less than nothing": (
        ("spend", "record", "Alder Row", "-5", *SPENT[:1], "utilities", *SPENT[1:]),
        30,
        ("-5.00", "more than 0", "void expense"),
    ),
    "spending a part of a cent": (
        ("spend", "record", "Alder Row", "5.005", *SPENT[:1], "utilities", *SPENT[1:]),
        2,
        ("5.005", "two decimals"),
    ),
    "spending on a day to come": (
        ("spend", "record", "Alder Row", "5", *SPENT[:1], "utilities", *SPENT[1:], "--day", "2026-03-03"),
        30,
        ("2026-03-03", "2026-03-02"),
    ),
    "spending with a receipt that is none": (
        ("spend", "record", "Alder Row", "5", *SPENT[:1], "utilities", *SPENT[1:], "--receipt", "nowhere.pdf"),
        40,
        ("nowhere.pdf", "no such file"),
    ),
    "spending with a whole card number": (
        ("spend", "record", "A", "5", *SPENT[:1], "utilities", *SPENT[1:], "--reference", "4242424242424242"),
        30,
        ("card", "last four"),
    ),
    "spending cash that is not there": (
        ("spend", "record", "A", "5", *SPENT[:1], "utilities", "--method", "cash", "--description", "gas"),
        20,
        ("nothing lies", "--accept CASH-SHORT"),
    ),
    "payout of more than the processor holds": (
        ("money", "payout", "10"),
        20,
        ("10.00", "holds nothing", "--accept PAYOUT-ABOVE-CLEARING"),
    ),
    "fee above the payout": (
        ("money", "payout", "10", "--fee", "11"),
        20,
        ("1.00 from the bank", "--accept PAYOUT-BELOW-ZERO"),
    ),
    "more kept than the tax": (("money", "pay-tax", "OH", "10", "--kept", "11"), 30, ("11.00", "10.00")),
    "money below nothing": (("money", "bank", "-10"), 30, ("-10.00", "more than 0")),
    "till that is none": (("money", "contribute", "10", "--till", "purse"), 2, ("purse", "cash or bank")),
    "till that is missing": (("money", "contribute", "10"), 2, ("--till",)),
    "deposit of nobody": (("deposit", "take", "Odalis Fernholow", "5", "--method", "cash"), 40, ("Odalys Fernhollow",)),
    "deposit of nothing": (("deposit", "take", "1", "0", "--method", "cash"), 30, ("0.00", "more than 0")),
    "deposit that is none": (("deposit", "give-back", "4"), 40, ("no deposit 4",)),
    "deposit with a method": (
        ("payment", "take", "1", "--deposit", "1", "--method", "cash"),
        2,
        ("--deposit says how it was paid", "--method"),
    ),
    "taking back what cannot be": (("void", "order", "3", "--reason", "x"), 30, ("order 3", "sale cancel")),
    "taking back what is none": (("void", "expense", "3", "--reason", "x"), 40, ("no expense 3",)),
    "taking back without a reason": (("void", "expense", "3"), 2, ("--reason", "terminal")),
    "option that is none": (("sale", "record", "--custmer", "1"), 2, ("--custmer", "--customer")),
    "missing option": (("customer", "add", *ADDRESS), 2, ("--name", "terminal")),
    "missing option of a payment": (("payment", "take", "1"), 2, ("--amount",)),
    "file that is none": (("catalogue", "load", "nowhere.toml"), 2, ("nowhere.toml", "not exist")),
}


@pytest.mark.parametrize(("words", "code", "said"), BAD.values(), ids=BAD)
def test_bad_input_is_one_line_with_its_code_and_stores_nothing(
    typed: Typed, everything: Callable[[], bytes], words: tuple[str, ...], code: int, said: tuple[str, ...]
) -> None:
    """A refusal says what was given, what is allowed and what to do, on stderr alone."""
    before = everything()
    result = typed(*words)
    assert result.exit_code == code, result.output
    assert result.stdout == ""
    assert result.stderr.startswith("Error: ")
    assert result.stderr.count("\n") == 1
    assert [part for part in said if part not in result.stderr] == []
    assert everything() == before


def test_an_order_file_with_an_unknown_key_names_it_and_the_nearest(typed: Typed, tmp_path: Path) -> None:
    """A slip in a file is pointed to by line."""
    file = tmp_path / "order.toml"
    file.write_text('custommer = "1"\n[[accessory]]\ncode = "CASE"\n', encoding="utf-8")
    result = typed("sale", "record", "--from", str(file))
    assert result.exit_code == 70
    assert "custommer" in result.stderr
    assert "customer" in result.stderr.replace("custommer", "")
    assert result.stderr.count("\n") == 1


def test_a_trace_file_cut_short_is_refused_and_not_kept(
    typed: Typed, everything: Callable[[], bytes], tmp_path: Path
) -> None:
    """Half a shape is no shape."""
    file = tmp_path / "short.txt"
    file.write_text("TRCFMT=1;400;E;R;F\r\nR=2400;2400;2400\r\n", encoding="ascii")
    before = everything()
    result = typed("trace", "add", "WREN-52", str(file))
    assert result.exit_code == 70
    assert "400" in result.stderr
    assert result.stderr.count("\n") == 1
    assert everything() == before


def test_a_receipt_for_an_unpaid_order_names_the_two_ways_on(typed: Typed, tmp_path: Path) -> None:
    """Money first, or a paper that says what is owed."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    result = typed("receipt", "issue", "1", "--wearer", "Odalys", "--into", str(tmp_path / "papers"))
    assert result.exit_code == 50
    assert "186.50" in result.stderr
    assert "payment take" in result.stderr
    assert "--not-paid-in-full" in result.stderr


def test_a_ledger_that_is_missing_says_how_one_is_made(typed: Typed, tmp_path: Path) -> None:
    """The very first command of a new owner is answered with the right one."""
    result = typed("--ledger", str(tmp_path / "none.db"), "customer", "find")
    assert result.exit_code == 40
    assert "shopledger setup" in result.stderr


def test_a_fault_of_the_program_keeps_its_traceback(typed: Typed, monkeypatch: pytest.MonkeyPatch) -> None:
    """Only what the user can mend is made smooth."""

    def broken(*_: object) -> None:
        message = "a bug"
        raise KeyError(message)

    monkeypatch.setattr("shopledger.desk.known_people.find_customers", broken)
    result = typed("customer", "find")
    assert isinstance(result.exception, KeyError)
