"""Refunds, cancellations, replaced and handed-in receipts, diagnoses and spellings, as they are typed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import LEFT, PAIR, RIGHT, UNSEEN, Typed, done, read_json


@pytest.fixture
def sold(typed: Typed) -> Typed:
    """Give the ledger after a pair at 180.00 and two cases at 25.68 with tax were sold and paid by card."""
    words = ("sale", "record", "--customer", "1", *PAIR, "--accessory", "CASE=2", "--shipping", "0")
    done(typed(*words, "--pay", "205.68", "--method", "card", "--reference", "4242"))
    return typed


def give(*words: str) -> tuple[str, ...]:
    """Give the words of a refund by card for a scratch."""
    return ("refund", "give", "1", "--method", "card", "--reason", "scratched", *words)


def test_a_refund_is_given_line_by_line(sold: Typed, tmp_path: Path) -> None:
    """Part of the frame, and one case back with its share of the tax; the receipt that it touches is named."""
    done(sold("receipt", "issue", "1", "--wearer", "Odalys", "--into", str(tmp_path)))
    given = sold(*give("--line", "1=50.00", "--line", "3=12", "--returned", "3", "--reference", "4242", "--json"))
    assert read_json(given) == {
        "number": 1,
        "day": "2026-03-02",
        "method": "card",
        "reference": "4242",
        "reason": "scratched",
        "lines": [
            {"line": 1, "net": "50.00", "tax": "0.00", "returned": 0, "side": None},
            {"line": 3, "net": "12.00", "tax": "0.84", "returned": 1, "side": None},
        ],
        "amount": "62.84",
        "touched_receipts": [1],
        "credit": None,
    }
    assert "shopledger receipt replace 1" in given.stderr
    account = read_json(sold("sale", "show", "1", "--json"))
    assert (account["paid"], account["refunded"], account["balance"]) == ("205.68", "62.84", "0.00")
    assert [refund["amount"] for refund in account["refunds"]] == ["62.84"]
    shown = done(sold("sale", "show", "1")).stdout
    assert "62.84 card on 2026-03-02: scratched" in " ".join(shown.split())
    stock = read_json(sold("stock", "list", "--json"))["stock"]
    assert next(each["free"] for each in stock if each["code"] == "CASE") == 9


def test_goods_that_came_back_give_their_line_back_whole(sold: Typed) -> None:
    """Without --line the whole line is given back; without either, all that is left."""
    first = read_json(sold(*give("--returned", "3=2", "--json")))
    assert first["lines"] == [{"line": 3, "net": "24.00", "tax": "1.68", "returned": 2, "side": None}]
    rest = read_json(sold(*give("--json")))
    assert (rest["amount"], rest["lines"][0]["line"]) == ("180.00", 1)


def test_a_dry_run_of_a_refund_stores_nothing(sold: Typed, everything: Callable[[], bytes]) -> None:
    """It shows what would be given back."""
    before = everything()
    planned = done(sold(*give("--line", "1=50", "--dry-run")))
    assert "50.00" in planned.stdout
    assert everything() == before


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--line", "one"), 2, "it begins with the number of a line, as in 3 or 3=50.00"),
        (("--line", "1=much"), 2, "amount"),
        (("--returned", "1=x"), 2, "as in 3 or 3=2"),
        (("--returned", "1", "--returned", "1"), 2, "names a line twice"),
        (("--line", "1=180.01"), 30, "180.00 of its net charge is left"),
        (("--line", "9"), 30, "order 1 has lines 1 to 3"),
        (("--line", "2=0", "--returned", "2"), 30, "only frames and accessories"),
        (("--reference", "4242424242424242"), 30, "Never type a whole card number"),
    ],
)
def test_what_cannot_be_given_back_is_refused(
    sold: Typed, everything: Callable[[], bytes], words: tuple[str, ...], code: int, said: str
) -> None:
    """One sentence, the exit code of its kind, nothing stored."""
    before = everything()
    refused = sold(*give(*words))
    assert (refused.exit_code, refused.stdout) == (code, "")
    assert said in " ".join(refused.stderr.split())
    assert everything() == before


def test_a_refund_without_a_reason_asks_for_it(sold: Typed) -> None:
    """On a terminal; elsewhere the option is named."""
    assert "--reason" in sold("refund", "give", "1", "--method", "card").stderr
    asked = sold("refund", "give", "1", "--line", "1=5", "--json", answers="scratched\ncash\n")
    assert "scratched" in done(asked).stdout


def test_an_order_is_cancelled_and_shown_as_such(sold: Typed, tmp_path: Path, everything: Callable[[], bytes]) -> None:
    """It says what is to be paid back; everywhere it is listed as cancelled, and nothing more is done with it."""
    done(sold("receipt", "issue", "1", "--wearer", "Odalys", "--into", str(tmp_path)))
    cancelled = sold("sale", "cancel", "1", "--reason", "ordered twice", "--json")
    account = read_json(cancelled)
    assert account["cancelled"] == {"day": "2026-03-02", "reason": "ordered twice"}
    assert (account["touched_receipts"], account["refunded"], account["balance"]) == ([1], "205.68", "0.00")
    assert "Pay back 205.68 by card 4242." in cancelled.stderr
    assert "Receipt 1 holds no longer" in cancelled.stderr
    assert "cancelled" in done(sold("sale", "list")).stdout
    assert "ordered twice" in done(sold("sale", "show", "1")).stdout
    assert read_json(sold("sale", "list", "--json"))["orders"][0]["cancelled_on"] == "2026-03-02"
    before = everything()
    for words in (
        ("sale", "cancel", "1", "--reason", "again"),
        ("sale", "ship", "1", "--carrier", "post"),
        ("payment", "take", "1", "--amount", "1", "--method", "cash"),
        ("receipt", "print", "1", "--into", str(tmp_path)),
        ("receipt", "replace", "1", "--reason", "why", "--into", str(tmp_path)),
        give(),
    ):
        refused = sold(*words)
        assert refused.exit_code == 30, words
        assert "that order was cancelled on 2026-03-02" in refused.stderr
    assert everything() == before
    assert done(sold("verify")).exit_code == 0


def test_a_receipt_is_replaced_and_handed_in(sold: Typed, tmp_path: Path) -> None:
    """The new number, the reason on the old one, and what is still open until the new one was handed in."""
    papers = ("--into", str(tmp_path))
    done(sold("receipt", "issue", "1", "--wearer", "Odalys", *papers))
    done(sold("sale", "ship", "1", "--carrier", "post", *UNSEEN))
    done(sold("wearer", "change", "Odalys", "--customer", "1", "--claim-within", "90"))
    done(sold(*give("--line", "1=50.00")))
    (claim,) = read_json(sold("receipt", "unclaimed", "--json"))["unclaimed"]
    assert claim == {
        "order": 1,
        "customer": "Odalys Fernhollow",
        "wearer": "Odalys Fernhollow",
        "amount": "155.68",
        "receipt": 1,
        "overtaken": True,
        "shipped_on": "2026-03-02",
        "last_day": "2026-05-31",
        "days_left": 90,
    }
    assert "to replace" in " ".join(done(sold("receipt", "unclaimed")).stdout.split())
    new = read_json(sold("receipt", "replace", "1", "--reason", "a refund", *papers, "--json"))
    assert (new["number"], new["replaces"], new["refunded"]) == (2, 1, "50.00")
    assert Path(new["file"]).read_bytes().startswith(b"%PDF")
    assert "2: a refund" in done(sold("receipt", "show", "1")).stdout
    assert "receipt 2 took its place" in sold("receipt", "claimed", "1").stderr
    assert read_json(sold("receipt", "claimed", "2", "--json"))["claimed_on"] == "2026-03-02"
    assert read_json(sold("receipt", "unclaimed", "--json")) == {"unclaimed": []}
    assert "all that is paid was handed in" in done(sold("receipt", "unclaimed")).stdout


def test_all_open_receipts_are_issued_at_once(sold: Typed, tmp_path: Path) -> None:
    """With progress on stderr; a second run has nothing to do."""
    words = ("receipt", "issue", "--all-open", "--into", str(tmp_path), "--json")
    done(sold("sale", "record", "--customer", "1", *PAIR, "--pay", "186.50", "--method", "cash"))
    issued = sold(*words)
    found = read_json(issued)
    assert [(each["number"], each["order"]) for each in found["receipts"]] == [(1, 1), (2, 2)]
    assert found["refused"] == []
    assert "2 of 2" in issued.stderr
    assert all(Path(each["file"]).is_file() for each in found["receipts"])
    assert read_json(sold(*words)) == {"receipts": [], "refused": []}


def test_a_name_that_cannot_be_set_is_told_and_then_spelled(typed: Typed, tmp_path: Path) -> None:
    """The others are issued all the same, and the command ends with the code of what was refused."""
    name = "李小龍"
    done(typed("wearer", "add", "--customer", "1", "--name", name, "--relationship", "spouse"))
    own = ("--frame", "WREN-52", "--lens", "SV-150", "--without-prescription")
    done(typed("sale", "record", "--customer", "1", "--wearer", name, *own, "--shipping", "0"))
    done(typed("payment", "take", "1", "--amount", "180", "--method", "cash"))
    issue = ("receipt", "issue", "--all-open", "--into", str(tmp_path), "--json")
    refused = typed(*issue)
    assert refused.exit_code == 50
    assert name in refused.stderr
    changed = typed("wearer", "change", name, "--customer", "1", "--printed-name", "Li Xiaolong", "--json")
    assert read_json(changed)["printed_name"] == "Li Xiaolong"
    assert [each["wearer"] for each in read_json(typed(*issue))["receipts"]] == [name]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("1",), "--all-open takes no order"),
        (("--wearer", "Odalys"), "--all-open takes no order"),
    ],
)
def test_all_open_stands_alone(sold: Typed, tmp_path: Path, words: tuple[str, ...], said: str) -> None:
    """It is for every order and every wearer; without it an order is needed."""
    refused = sold("receipt", "issue", "--all-open", *words, "--into", str(tmp_path))
    assert (refused.exit_code, said in " ".join(refused.stderr.split())) == (2, True)
    assert "The order is missing" in sold("receipt", "issue", "--into", str(tmp_path)).stderr


def test_a_diagnosis_is_kept_as_the_document_gives_it(typed: Typed, everything: Callable[[], bytes]) -> None:
    """It is shown with its meaning; a heading is refused with the codes below it."""
    whose = ("--customer", "1", "--wearer", "Odalys", "--prescriber", "1")
    add = ("prescription", "add", *whose, "--written", "2026-03-01", "--right", RIGHT, "--left", LEFT)
    before = everything()
    refused = typed(*add, "--diagnosis", "H52.1")
    assert refused.exit_code == 30
    assert "H52.11, H52.12, H52.13 or H52.10" in refused.stderr
    assert everything() == before
    added = read_json(typed(*add, "--diagnosis", "h5210", "--diagnosis", "H52.4", "--json"))
    assert added["diagnoses"] == ["H52.10", "H52.4"]
    assert "DIAGNOSIS-LOOK" in {finding["code"] for finding in added["findings"]}
    assert "H52.4 presbyopia" in done(typed("prescription", "show", str(added["number"]))).stdout
    later = read_json(typed("prescription", "diagnose", "1", "--diagnosis", "H52.13", "--json"))
    assert (later["diagnoses"], later["findings"]) == (["H52.13"], [])
    assert typed("prescription", "diagnose", "1", "--diagnosis", "H52.13").exit_code == 30


def test_a_progressive_is_looked_up_with_a_trifocals_codes(typed: Typed) -> None:
    """Where a plan wants them; a bifocal's are the usual ones."""
    words = ("claim", "code", "--lens", "progressive", "--sphere", "-3.00", "--add", "3.50", "--json")
    codes = [
        [pick["code"] for pick in read_json(typed(*words, *more))["picks"][:3]]
        for more in ((), ("--progressive-base", "trifocal"))
    ]
    assert codes == [["V2200", "V2781", "V2220"], ["V2300", "V2781", "V2320"]]
    assert typed(*words, "--progressive-base", "single-vision").exit_code == 2


def test_people_are_changed_and_the_shop_s_codes_are_set(typed: Typed, everything: Callable[[], bytes]) -> None:
    """What no option names stays; nothing to change, and what cannot be, is refused."""
    moved = read_json(typed("customer", "change", "1", "--city", "Fennick", "--printed-name", "Odalys F.", "--json"))
    assert (moved["address"]["city"], moved["printed_name"], moved["phone"]) == ("Fennick", "Odalys F.", "555-0142")
    words = ("--standard-frame", "120", "--progressive-base", "trifocal", "--standard-bifocal", "110")
    changed = read_json(typed("shop", "change", *words, "--json"))["settings"]
    assert changed["standard_frame"] == "120.00"
    assert (changed["progressive_base"], changed["standard_bifocal"]) == ("trifocal", "110.00")
    order = read_json(typed("sale", "record", "--customer", "1", *PAIR, "--json"))
    assert [charge["code"] for charge in order["lines"][0]["charges"]] == ["V2020", "V2025"]
    off = read_json(typed("shop", "change", "--standard-frame", "off", "--standard-bifocal", "off", "--json"))[
        "settings"
    ]
    assert (off["standard_frame"], off["standard_bifocal"], off["progressive_base"]) == (None, None, "trifocal")
    for days, kept in (("365", 365), ("off", None)):
        changed = read_json(typed("wearer", "change", "Odalys", "--customer", "1", "--claim-within", days, "--json"))
        assert changed["claim_within_days"] == kept
    before = everything()
    for refused, code in (
        (("customer", "change", "1"), 2),
        (("wearer", "change", "Odalys", "--customer", "1"), 2),
        (("wearer", "change", "Odalys", "--customer", "1", "--claim-within", "0"), 30),
        (("shop", "change", "--progressive-base", "progressive"), 2),
        (("wearer", "change", "Odalys", "--customer", "1", "--claim-within", "a year"), 2),
        (("shop", "change", "--standard-frame", "-1"), 30),
    ):
        assert typed(*refused).exit_code == code, refused
    assert everything() == before


def test_one_lens_of_a_line_is_given_back_from_the_command_line(sold: Typed) -> None:
    """`3:right` names it; another word is refused with what it may be, and what is kept of each is told."""
    done(sold("sale", "record", "--customer", "1", *PAIR, "--extra", "AR", "--pay", "316.45", "--method", "cash"))
    refused = sold("refund", "give", "2", "--line", "3:up", "--method", "cash", "--reason", "a flaw")
    assert "a lens of a line is right or left" in refused.stderr
    done(sold("refund", "give", "2", "--line", "3:right=20", "--method", "cash", "--reason", "a flaw"))
    coating = read_json(sold("sale", "show", "2", "--json"))["lines"][2]
    assert (coating["given_back"], coating["kept"]) == ("20.00", "109.95")
    assert [(each["given_back"], each["kept"]) for each in coating["charges"]] == [
        ("20.00", "44.98"),
        ("0.00", "64.97"),
    ]
    shown = done(sold("sale", "show", "2")).stdout
    assert "given back" in shown
    assert "kept" in shown
