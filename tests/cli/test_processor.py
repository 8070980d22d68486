"""The card processor at the command line: reports taken in, payouts recorded, rows compared, what it owes."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Typed, done, read_json
from tests.processor_reports import COLUMNS, WORKED


@pytest.fixture
def known(typed: Typed, tmp_path: Path) -> Path:
    """Take the worked payout's payments as deposits, give one back, and keep the columns; gives the report."""
    text = (
        WORKED.replace("2026-03-05", "2026-03-02")
        .replace("2026-03-03", "2026-03-02")
        .replace("2026-03-04", "2026-03-02")
    )
    file = tmp_path / "march.csv"
    file.write_text(text, encoding="ascii")
    for amount in ("129.95", "249.50", "49.99"):
        done(typed("deposit", "take", "1", amount, "--method", "card"))
    done(typed("deposit", "give-back", "3"))
    done(typed("processor", "columns", "Cardwell", str(file), *COLUMNS))
    return file


def test_from_the_report_to_the_payout(typed: Typed, known: Path) -> None:
    """A look, the import, the payout with its fee, and the comparison: 366.09 (worked by hand, an invented tariff)."""
    looked = done(typed("processor", "import", str(known), "--dry-run"))
    assert "P-1" in looked.stdout
    assert "Nothing was stored" in looked.stderr
    assert "was taken in" in done(typed("processor", "import", str(known))).stderr
    assert "is there already: nothing was changed." in done(typed("processor", "import", str(known))).stderr
    refused = typed("processor", "record")
    assert (refused.exit_code, "or add --yes for all" in refused.stderr) == (2, True)
    looked = done(typed("processor", "record", "P-1", "--dry-run"))
    assert ("366.09" in looked.stdout, "379.45" in looked.stdout, "13.36" in looked.stdout) == (True, True, True)
    assert "The payout was recorded." in done(typed("processor", "record", "--yes")).stderr
    again = typed("processor", "record", "P-1")
    assert (again.exit_code, "it is recorded already: money 1" in again.stderr) == (30, True)
    assert "money 1" in done(typed("processor", "payouts")).stdout
    assert "The reports agree with the books, row by row." in done(typed("processor", "compare", "2026-03")).stderr
    assert "Owed by the processor" in done(typed("money", "cards", "2026-03")).stdout


def test_what_the_processor_says_as_json(typed: Typed, known: Path) -> None:
    """Each command's form."""
    kept = read_json(typed("processor", "columns", "Cardwell", str(known), *COLUMNS, "--dry-run", "--json"))
    assert (kept["processor"], kept["count"], kept["read"][0]) == (
        "Cardwell",
        5,
        {
            "payout": "P-1",
            "payout_day": "2026-03-02",
            "day": "2026-03-02",
            "type": "charge",
            "gross": "129.95",
            "fee": "4.07",
            "net": "125.88",
            "id": "t1",
        },
    )
    taken = read_json(typed("processor", "import", str(known), "--json"))
    assert {**taken, "sha256": ""} == {
        "file": "march.csv",
        "sha256": "",
        "processor": "Cardwell",
        "new": 5,
        "known": 0,
        "payouts": ["P-1"],
        "not_paid_out": 0,
        "sum": "0.00",
        "report": 1,
    }
    (payout,) = read_json(typed("processor", "record", "P-1", "--json"))["payouts"]
    (move,) = payout.pop("moves")
    assert (move["kind"], move["amount"], move["fee"], move["reference"]) == ("payout", "379.45", "13.36", "P-1")
    assert payout == {
        "payout": "P-1",
        "processor": "Cardwell",
        "day": "2026-03-02",
        "arrives_on": None,
        "amount": "366.09",
        "charges": "429.44",
        "refunds": "-49.99",
        "disputes": "0.00",
        "adjustments": "0.00",
        "reserve": "0.00",
        "carried_balance": "0.00",
        "fees": "13.36",
        "rows": 5,
        "recorded": False,
        "recorded_by": [],
        "found": [],
        "findings": [],
    }
    (listed,) = read_json(typed("processor", "payouts", "--json"))["payouts"]
    assert (listed["recorded"], listed["recorded_by"], listed["moves"]) == (True, [1], [])
    compared = read_json(typed("processor", "compare", "2026-03", "--json"))
    assert compared == {
        "first": "2026-03-01",
        "last": "2026-03-31",
        "agrees": True,
        "matched": 4,
        "alike": 0,
        "rows_left": [],
        "books_left": [],
        "awaited": [],
        "fees_apart": [],
    }
    assert read_json(typed("money", "cards", "2026-03", "--json"))["owed"] == {
        "on": "2026-03-02",
        "books": "0.00",
        "reserve": "0.00",
        "reported": "0.00",
        "reported_reserve": "0.00",
        "difference": "0.00",
    }


def test_what_does_not_agree_is_listed(typed: Typed, known: Path) -> None:
    """A payment without a row, a row without a payment."""
    known.write_text(
        known.read_text("ascii").replace("249.50,7.54,241.96", "249.51,7.54,241.97").replace("-366.09", "-366.10")
    )
    done(typed("processor", "import", str(known)))
    found = done(typed("processor", "compare", "2026-03"))
    assert "2 things differ between the reports and the books." in found.stderr
    assert ("249.51" in found.stdout, "deposit 2" in found.stdout) == (True, True)


@pytest.mark.usefixtures("known")
def test_the_processors_own_moves(typed: Typed) -> None:
    """A fee of its own, a reserve held and released, a payout below zero; the reserve stands apart."""
    done(typed("money", "fee", "20.00"))
    done(typed("money", "reserve", "120.00"))
    done(typed("money", "release", "20.00"))
    asked = typed("money", "payout", "-49.99", "--fee", "0.30")
    assert "[PAYOUT-BELOW-ZERO]" in asked.stderr
    done(typed("money", "payout", "-49.99", "--fee", "0.30", "--accept", "PAYOUT-BELOW-ZERO"))
    lies = {each["account"]: each["amount"] for each in read_json(typed("money", "show", "--json"))["accounts"]}
    assert (lies["card clearing"], lies["card reserve"], lies["bank"]) == ("309.44", "100.00", "-50.29")
