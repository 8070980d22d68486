"""Commands that put payments right, typed: what is told next, what is asked, what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import ADDRESS, PAIR, Typed, done

FAMILY = ("--customer", "1", *PAIR)


@pytest.fixture
def paid(typed: Typed, tmp_path: Path) -> Typed:
    """Sell a pair for 186.50, with a check of 100.00 and a card payment of 86.50, and issue its receipt."""
    done(typed("sale", "record", *FAMILY, "--pay", "100", "--method", "check", "--reference", "1187"))
    done(typed("payment", "take", "1", "--amount", "86.50", "--method", "card", "--reference", "4242"))
    done(typed("receipt", "issue", "1", "--wearer", "Odalys", "--into", str(tmp_path)))
    return typed


def test_a_bounced_check_says_what_is_owed_and_which_receipt_does_not_say_so(paid: Typed) -> None:
    """The reason is asked for; the receipt that it overtook is named with the command that replaces it."""
    result = done(paid("payment", "reverse", "1", "--fee", "12", answers="not enough funds\n"))
    assert "Correction 1, bounced, stands on order 1." in result.stderr
    assert "Order 1 owes 100.00." in result.stderr
    assert "Receipt 1 does not say so. Next: 'shopledger receipt replace 1 --reason TEXT'." in result.stderr
    assert "bounced 100.00 on 2026-03-02: not enough funds" in " ".join(result.stdout.split())


def test_a_dry_run_shows_what_would_be_stored_and_stores_nothing(paid: Typed) -> None:
    """Each of the deeds can be looked at first."""
    for words in (
        ("payment", "reverse", "1"),
        ("payment", "correct", "2", "--amount", "80"),
    ):
        result = done(paid(*words, "--reason", "a trial", "--dry-run"))
        assert "Nothing was stored: this was a dry run." in result.stderr
    assert "bounced" not in done(paid("payment", "list", "1")).stdout


def test_a_rest_is_written_off_with_a_word_on_the_cash_basis(typed: Typed) -> None:
    """It was never income there, so it is no loss; and it can be owed again."""
    done(typed("sale", "record", *FAMILY, "--pay", "100", "--method", "cash"))
    for more in (("--dry-run",), ()):
        result = done(typed("payment", "write-off", "1", "--reason", "moved away", *more))
        assert "On the cash basis it was never income" in result.stderr
    assert "written off  86.50" in done(typed("sale", "show", "1")).stdout
    assert "Order 1 owes 20.00." in done(typed("payment", "revive", "1", "--amount", "20", "--reason", "wrote")).stderr
    paid = done(typed("payment", "take", "1", "--amount", "20", "--method", "cash"))
    assert "Nothing more is owed on order 1; 66.50 of it is written off." in paid.stderr


def test_a_check_that_bounced_after_a_part_was_moved_names_where_that_is(typed: Typed) -> None:
    """The bank takes all of it back, so the part on the other order has to follow."""
    for more in (("--pay", "100", "--method", "check"), ("--accept", "ORDER-TWICE")):
        done(typed("sale", "record", *FAMILY, *more))
    done(typed("payment", "move", "1", "2", "--amount", "30", "--reason", "for both"))
    result = done(typed("payment", "reverse", "1", "--reason", "no funds"))
    assert (
        "30.00 of it counts for order 2, as payment 2: if that was taken back too, 'shopledger payment reverse 2'."
        in (result.stderr)
    )
    assert "Order 2 owes 186.50." in done(typed("payment", "reverse", "2", "--reason", "no funds")).stderr


def test_a_gift_card_pays_for_another_once_somebody_says_so(typed: Typed) -> None:
    """At a terminal it is asked about; a no stores nothing, a yes pays."""
    done(typed("sale", "record", *FAMILY))
    done(typed("customer", "add", "--name", "Bram Pike", *ADDRESS))
    done(typed("deposit", "take", "2", "50", "--method", "card", "--reference", "4242", "--note", "gift card"))
    use = ("payment", "take", "1", "--deposit", "1")
    assert "PAYS-FOR-ANOTHER" in typed(*use).stderr
    assert typed(*use, answers="n\n").exit_code == 1
    assert "none" in done(typed("payment", "list", "1")).stdout
    assert "Order 1 still owes 136.50." in done(typed(*use, answers="y\n")).stderr
    result = done(typed("payment", "reverse", "1", "--reason", "stolen card"))
    assert "The money is in deposit 1 again." in result.stderr


def test_card_payments_are_listed_by_day(paid: Typed) -> None:
    """With the sum of each month and of all; a disputed one stays."""
    done(paid("payment", "reverse", "2", "--reason", "says it was not her"))
    shown = done(paid("money", "cards", "2026")).stdout
    assert "2026-03-02              1   86.50" in shown
    assert "2026-03   86.50" in shown
    assert "a period is YYYY" in paid("money", "cards", "March").stderr
