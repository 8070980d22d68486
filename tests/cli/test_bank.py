"""The bank at the command line: statements taken in, lines matched and recorded, the month brought together."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Typed, done, read_json
from tests.statements import ofx, transaction

RENT = transaction("20260301", "-850.00", "r1", "ALDER ROW", kind="DEBIT")
FEE = transaction("20260302", "-12.00", "f1", "SERVICE FEE", kind="SRVCHG")
SPENT = (
    *("spend", "record", "Alder Row Estates", "850", "--category", "rent-of-premises", "--method", "bank"),
    *("--description", "rent", "--reference", "17", "--day", "2026-03-01"),
)


@pytest.fixture
def statement(typed: Typed, tmp_path: Path) -> Path:
    """Keep an account and spend its rent; gives a statement of it with a fee that the books do not know."""
    done(typed("bank", "account", "Checking", "--ending", "5678"))
    done(typed("money", "open", "1000", "--till", "bank", "--day", "2026-02-28"))
    done(typed(*SPENT))
    text = ofx(RENT, FEE, first="20260301", last="20260302", balance="138.00", balance_day="20260302")
    file = tmp_path / "march.ofx"
    file.write_text(text, encoding="ascii")
    return file


def test_from_the_file_to_the_month(typed: Typed, statement: Path) -> None:
    """A dry run, the import, the match, an entry of the fee, and both balances are the same."""
    looked = done(typed("bank", "import", str(statement), "--dry-run"))
    assert "new lines      2" in looked.stdout
    assert "Nothing was stored" in looked.stderr
    assert "was taken in" in done(typed("bank", "import", str(statement))).stderr
    assert "is there already: nothing was changed." in done(typed("bank", "import", str(statement))).stderr
    assert "1 matched, 1 left for you to pick." in done(typed("bank", "match")).stderr
    open_lines = done(typed("bank", "lines", "--open")).stdout
    assert ("SERVICE FEE" in open_lines, "ALDER ROW" in open_lines) == (True, False)
    assert "1 line of the bank's is not in the books" in done(typed("bank", "reconcile", "2026-03")).stderr
    done(typed("bank", "record", "2", "fee"))
    assert (
        "The bank agrees with the books at 138.00, to the cent." in done(typed("bank", "reconcile", "2026-03")).stderr
    )
    assert "expense 1" in done(typed("bank", "unmatch", "1")).stdout
    done(typed("bank", "match", "1", "expense", "1"))


def test_what_the_bank_says_as_json(typed: Typed, statement: Path) -> None:
    """Each command's form."""
    taken = read_json(typed("bank", "import", str(statement), "--json"))
    (account,) = taken["accounts"]
    assert (taken["file"], taken["form"], taken["findings"]) == ("march.ofx", "ofx", [])
    assert account == {
        "account": "Checking",
        "first": "2026-03-01",
        "last": "2026-03-02",
        "new": 2,
        "known": 0,
        "changed": 0,
        "again": 0,
        "missing": 0,
        "sum": "-862.00",
        "balance": "138.00",
        "balance_on": "2026-03-02",
        "statement": 1,
        "notes": [],
    }
    rent = {"line": 1, "day": "2026-03-01", "amount": "-850.00", "text": "ALDER ROW", "check_number": ""}
    fee = {"line": 2, "day": "2026-03-02", "amount": "-12.00", "text": "SERVICE FEE", "check_number": ""}
    assert read_json(typed("bank", "match", "--json")) == {
        "matched": [{**rent, "document": "expense 1", "by": "amount and day"}],
        "left": [{**fee, "could_be": []}],
    }
    assert read_json(typed("bank", "lines", "--json"))["lines"] == [
        {**rent, "account": "Checking", "documents": ["expense 1"], "other_line": None, "overtaken_by": None},
        {**fee, "account": "Checking", "documents": [], "other_line": None, "overtaken_by": None},
    ]
    took_back = {**rent, "documents": ["expense 1"], "other_line": None, "from": "2026-03-01", "taken_back": True}
    assert read_json(typed("bank", "unmatch", "1", "--json")) == took_back
    assert read_json(typed("bank", "match", "1", "expense-1", "--json")) == {**took_back, "taken_back": False}
    recorded = read_json(typed("bank", "record", "2", "fee", "--json"))
    assert (recorded["line"], recorded["money"], recorded["expense"]["amount"]) == (fee, None, "12.00")
    assert read_json(typed("bank", "accounts", "--json")) == {
        "accounts": [{"number": 1, "name": "Checking", "ending": "5678", "balance": "138.00", "on": "2026-03-02"}]
    }
    month = read_json(typed("bank", "reconcile", "2026-03", "--json"))
    assert (month["statement"], month["books"], month["difference"], month["agrees"]) == (
        "138.00",
        "138.00",
        "0.00",
        True,
    )
    assert (month["proof_of_cash"]["holds"], len(month["proof_of_cash"]["rows"])) == (True, 4)
    typed_in = read_json(typed("bank", "balance", "Checking", "138", "--day", "2026-03-02", "--json"))
    assert (typed_in["form"], typed_in["balance"], typed_in["balance_day"]) == ("typed", "138.00", "2026-03-02")


def test_a_csv_file_is_taken_in_once_its_columns_are_known(typed: Typed, statement: Path) -> None:
    """They are shown with what they become, and kept for the account."""
    file = statement.parent / "march.csv"
    file.write_text("3/1/2026,ALDER ROW,-850.00,150.00\n3/2/2026,FEE,-12.00,138.00\n", encoding="ascii")
    refused = typed("bank", "import", str(file), "--account", "Checking")
    assert (refused.exit_code, "'shopledger bank columns'" in refused.stderr) == (70, True)
    named = ("--day", "1", "--text", "2", "--amount", "3", "--balance", "4")
    looked = read_json(typed("bank", "columns", "Checking", str(file), *named, "--dry-run", "--json"))
    assert looked["rows"][0] == ["3/1/2026", "ALDER ROW", "-850.00", "150.00"]
    assert looked["lines"][1] == {"day": "2026-03-02", "amount": "-12.00", "text": "FEE", "check_number": ""}
    assert (looked["count"], looked["balance"]) == (2, "138.00")
    assert "The columns of Checking were kept." in done(typed("bank", "columns", "Checking", str(file), *named)).stderr
    taken = read_json(typed("bank", "import", str(file), "--account", "Checking", "--to", "2026-03-02", "--json"))
    assert (taken["form"], taken["accounts"][0]["new"]) == ("csv", 2)


def test_lines_that_the_bank_left_out_are_told(typed: Typed, statement: Path) -> None:
    """Its balances at both ends know of them."""
    done(typed("bank", "balance", "Checking", "1000", "--day", "2026-02-28"))
    statement.write_text(statement.read_text("ascii").replace("138.00", "137.00"), encoding="ascii")
    done(typed("bank", "import", str(statement)))
    assert "-1.00 is missing. Take in the whole month's statement." in typed("bank", "reconcile", "2026-03").stderr


def test_a_damaged_file_is_refused_in_one_line(typed: Typed, statement: Path) -> None:
    """It says what is wrong and what to do; so does one that is no statement."""
    statement.write_text(statement.read_text("ascii")[:-40], encoding="ascii")
    refused = typed("bank", "import", str(statement))
    assert (refused.exit_code, refused.stderr) == (
        70,
        "Error: march.ofx: it stops in the middle. Download it from the bank again.\n",
    )
    statement.write_text("<html><body>Please sign in</body></html>", encoding="ascii")
    refused = typed("bank", "import", str(statement))
    assert (refused.exit_code, "it is a page of the web and no statement" in refused.stderr) == (70, True)
    refused = typed("bank", "import", str(statement.parent / "none.ofx"))
    assert (refused.exit_code, "none.ofx: it cannot be read" in refused.stderr) == (70, True)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("match", "1"), 2, "type both, as in 14 expense 7"),
        (("match", "1", "expence", "1"), 30, "Did you mean 'expense 4'?"),
        (("match", "9", "expense", "1"), 40, "no bank line 9"),
        (("record", "1", "fee"), 40, "no bank line 1"),
        (("import", "x.ofx", "--account", "None"), 70, "x.ofx: it cannot be read"),
        (("reconcile", "2026-03"), 30, "nothing of the bank's was taken in yet"),
        (("account", "Checking", "--ending", "000012345678"), 30, "only the last four digits are kept"),
        (("balance", "Savings", "5"), 40, "no bank account called 'Savings'"),
    ],
)
def test_mistakes_are_told_in_the_owners_words(typed: Typed, words: tuple[str, ...], code: int, said: str) -> None:
    """Each with what to do."""
    result = typed("bank", *words)
    assert (result.exit_code, said in result.stderr) == (code, True), result.output
