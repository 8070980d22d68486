"""Payees and equipment from the command line: a number typed unseen, lists to read and as JSON."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import ADDRESS, PAIR, Typed, done, read_json, type_in

NUMBER = "912-70-6789"
HELP = (
    *("spend", "record", "Imke Sandlark", "2500", "--category", "contract-labour", "--method", "bank"),
    *("--description", "bench help", "--reference", "12"),
)
W9 = ("payee", "w9", "Imke Sandlark", "--name", "Imke T. Sandlark", *ADDRESS, "--kind", "individual")
EDGER = (
    *("spend", "record", "Thistledown Optical", "2500", "--category", "equipment", "--method", "bank"),
    *("--description", "edger", "--reference", "13"),
)


@pytest.fixture
def paid(typed: Typed) -> Typed:
    """Pay for help at the bench, and for an edger."""
    done(typed(*HELP))
    done(typed(*EDGER))
    return typed


@pytest.fixture
def number(tmp_path: Path) -> Path:
    """Give a file with a tax number."""
    file = tmp_path / "number.txt"
    file.write_text(f"{NUMBER}\n", encoding="ascii")
    return file


def test_a_number_comes_from_a_file_or_is_piped_in(paid: Typed, number: Path, ledger: Path) -> None:
    """It is shown by its last four digits, and nothing prints it whole."""
    kept = paid(*W9, "--number-from", str(number), "--received", "2026-01-12", "--json")
    assert read_json(kept) == {
        "number": 1,
        "payee": "Imke Sandlark",
        "name": "Imke T. Sandlark",
        "address": {
            "street": "18 Tansy Lane",
            "city": "Millbrae",
            "state": "OH",
            "postcode": "43002",
            "second_line": "",
        },
        "kind": "individual",
        "received_on": "2026-01-12",
        "backup_withholding": False,
        "number_ends_in": "6789",
    }
    shown = done(paid("payee", "show", "imke sandlark"))
    listed = paid("payee", "list", "2026", "--json")
    assert read_json(listed)["payees"] == [
        {
            "payee": "Imke Sandlark",
            "form": "1099-NEC",
            "paid": "2500.00",
            "limit": "2000.00",
            "standing": "to report",
            "w9": read_json(kept),
            "w9_missing": False,
        }
    ]
    assert read_json(listed)["limit_source"].startswith("Public Law 119-21")
    piped = type_in(*W9, "--number-from", "-", answers="12-3456780\n", ledger=ledger)
    assert "ends in 6780" in done(piped).output
    for said in (kept, shown, listed, done(paid("payee", "list", "2026")), done(paid("audit", "show"))):
        assert "70-6789" not in said.output


def test_a_number_is_asked_for_unseen(paid: Typed, ledger: Path) -> None:
    """What is typed is not echoed, a slip is not repeated, and away from a terminal the option is named."""
    asked = done(type_in(*W9, answers=f"912706789\n{NUMBER}\n", ledger=ledger))
    assert "ends in 6789" in asked.output
    assert "912706789" not in asked.output
    assert NUMBER not in asked.output
    assert "--number-from is missing" in paid(*W9).stderr


def test_what_is_missing_is_said_with_what_to_type(paid: Typed) -> None:
    """A payee above the limit without a W-9, where the limit is from, and that the tax preparer decides."""
    listed = paid("payee", "list", "2026")
    assert "missing" in done(listed).stdout
    assert "Keep it with 'shopledger payee w9'" in listed.stderr
    assert "tax preparer" in listed.stderr
    done(paid("payee", "limit", "2026", "2600"))
    raised = read_json(paid("payee", "list", "2026", "--json"))
    assert (raised["limit"], raised["limit_source"]) == ("2600.00", "set by the owner")
    assert raised["payees"][0]["standing"] == "below the limit"


def test_a_whole_number_goes_out_after_a_yes(paid: Typed, number: Path, tmp_path: Path) -> None:
    """It asks first, and the audit keeps it."""
    done(paid(*W9, "--number-from", str(number)))
    refused = paid("payee", "hand-out", "Imke Sandlark", "--into", str(tmp_path / "out"))
    assert "--accept WHOLE-NUMBER" in refused.stderr
    out = paid(
        "payee", "hand-out", "Imke Sandlark", "--into", str(tmp_path / "out"), "--accept", "WHOLE-NUMBER", "--json"
    )
    assert NUMBER in Path(read_json(out)["file"]).read_text(encoding="utf-8")
    assert "handed out a W-9" in {note["deed"] for note in read_json(paid("audit", "show", "--json"))["notes"]}
    early = paid("payee", "erase-w9", "Imke Sandlark", "--reason", "over", "--accept", "ERASED-FOR-GOOD")
    assert "2034-04-15" in early.stderr


def test_equipment_is_listed_and_disposed_of(paid: Typed) -> None:
    """A dry run stores nothing; the loss is said, and whose Form 4797 is."""
    sold = ("equipment", "dispose", "expense 2", "--how", "sold", "--depreciation", "0", "--proceeds", "400")
    plan = read_json(paid(*sold, "--dry-run", "--json"))
    assert (plan["number"], plan["cost"], plan["gain"]) == (None, "2500.00", "-2100.00")
    assert read_json(paid("equipment", "list", "--json"))["there"] == "2500.00"
    did = done(paid(*sold, "--note", "to a colleague", "--json"))
    assert read_json(did) == {
        "number": 1,
        "day": "2026-03-02",
        "document": "expense 2",
        "position": 1,
        "cost": "2500.00",
        "depreciation": "0.00",
        "how": "sold",
        "proceeds": "400.00",
        "till": "bank",
        "reference": "",
        "note": "to a colleague",
        "gain": "-2100.00",
    }
    assert "a loss of 2,100.00" in did.stderr
    assert "Form 4797" in did.stderr
    (row,) = read_json(paid("equipment", "list", "--json"))["equipment"]
    assert (row["cost"], row["there"], row["disposal"]["gain"]) == ("2500.00", "0.00", "-2100.00")
    assert "sold 2026-03-02" in done(paid("equipment", "list")).stdout
    assert "expense 2" in paid(*sold).stderr
    done(paid("void", "disposal", "1", "--reason", "another one"))
    assert read_json(paid("equipment", "list", "--json"))["there"] == "2500.00"


def test_a_refund_as_credit_names_its_deposit(typed: Typed) -> None:
    """And says with what it is used; an allowance without an order line is refused with a way on."""
    done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "186.50", "--method", "cash"))
    given = typed("refund", "give", "1", "--line", "1=20", "--method", "credit", "--reason", "a scratch", "--json")
    assert (read_json(given)["method"], read_json(given)["credit"]) == ("credit", 1)
    assert "waits as credit, deposit 1. Use it with 'shopledger payment take ORDER --deposit 1'" in given.stderr
    (deposit,) = read_json(typed("deposit", "list", "--json"))["deposits"]
    assert (deposit["method"], deposit["left"]) == ("credit", "20.00")
    refused = typed("deposit", "take", "1", "20", "--method", "credit")
    assert "refund give ORDER --line NUMBER=AMOUNT --method credit" in refused.stderr
    assert typed("payment", "take", "1", "--amount", "5", "--method", "credit").exit_code == 2
