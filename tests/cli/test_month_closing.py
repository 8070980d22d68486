"""Closing a month as it is typed: asked for each warning at a terminal, told what to type elsewhere."""

from __future__ import annotations

from tests.cli.conftest import PAIR, Typed, done

APRIL = ("--today", "2026-04-02")


def test_each_warning_is_asked_for_and_a_no_leaves_the_month_open(typed: Typed) -> None:
    """After a yes to all of them the month is closed, and a sale in it is refused by name."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    stopped = typed(*APRIL, "month", "close", "2026-03", answers="n\n")
    assert stopped.exit_code == 1
    assert "2026-03 open" in " ".join(done(typed("month", "list")).stdout.split())
    result = done(typed(*APRIL, "month", "close", "2026-03", answers="y\n" * 6))
    assert "2026-03 is closed." in result.stderr
    refused = typed("sale", "record", "--customer", "1", *PAIR, "--day", "2026-03-02")
    assert refused.exit_code == 40
    assert "the month 2026-03 is closed" in refused.stderr
    assert "2026-03 closed" in " ".join(done(typed("month", "list")).stdout.split())


def test_elsewhere_the_refusal_says_what_to_type(typed: Typed) -> None:
    """Where nobody can be asked, each code stands in the refusal as an option."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    result = typed(*APRIL, "month", "close", "2026-03")
    assert result.exit_code == 30
    assert "add --accept NOT-SHIPPED --accept NOT-PAID" in result.stderr
    assert "[NOT-SHIPPED]" in result.stderr


def test_a_month_that_lasts_is_not_closed(typed: Typed) -> None:
    """The refusal names its last day."""
    assert "it lasts until 2026-03-31" in typed("month", "close", "2026-03").stderr


def test_an_earlier_head_is_proved_or_said_to_be_lost(typed: Typed) -> None:
    """The head of a receipt is still contained; one of other books is not, and the exit code says so."""
    held = done(typed("verify")).stdout.split("head")[1].split()[0]
    done(typed("sale", "record", "--customer", "1", *PAIR))
    assert f"the head {held} is contained" in " ".join(done(typed("verify", "--head", held)).stdout.split())
    result = typed("verify", "--head", "2-0123456789abcdef")
    assert result.exit_code == 40
    assert "HEAD differs" in result.stdout
    assert "the books differ (HEAD)" in result.stderr
    assert "it is a count and sixteen digits" in typed("verify", "--head", "2").stderr
