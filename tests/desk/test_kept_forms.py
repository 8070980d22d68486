"""Forms that are begun: kept at each change, found again, stored once, and gone with the person they tell of."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.kept_forms import (
    Sending,
    SentBeforeError,
    drop_form,
    keep_form,
    kept_form,
    kept_forms,
    led_to,
    sent_before,
)
from shopledger.desk.known_people import find_customers
from shopledger.desk.people import add_customer
from shopledger.errors import RefusedError
from shopledger.ledger.forms import KEPT_DAYS
from shopledger.ledger.parties import Address

HOME = Address("9 Alder Row", "Millbrae", "OH", "43002")
TYPED = {"name": ["Bryony Saltmarsh"], "extras": ["AR", "TINT"], "note": [""]}


def test_a_form_is_found_again_as_it_was_typed(bare_desk: Desk) -> None:
    """Every field with all its values, whoever opens the ledger next."""
    keep_form(bare_desk, "sale", "7", TYPED)
    found = kept_form(bare_desk, "sale", "7")
    assert found is not None
    assert {name: list(values) for name, values in found.typed.items()} == TYPED
    assert found.operator == "tester"
    assert kept_form(bare_desk, "sale", "8") is None


def test_a_later_state_takes_the_place_of_an_earlier_one(bare_desk: Desk) -> None:
    """One form about one thing is kept once, and thrown away once."""
    keep_form(bare_desk, "sale", "7", TYPED)
    keep_form(bare_desk, "sale", "7", {"name": ["Bryony"]})
    assert [dict(each.typed) for each in kept_forms(bare_desk)] == [{"name": ["Bryony"]}]
    assert drop_form(bare_desk, "sale", "7")
    assert not drop_form(bare_desk, "sale", "7")


def test_what_nobody_goes_on_with_goes_in_time(bare_desk: Desk) -> None:
    """What was half typed is no record: it is not kept for ever."""
    keep_form(bare_desk, "sale", "7", TYPED)
    later = replace(bare_desk, now=bare_desk.now + timedelta(days=KEPT_DAYS, seconds=1))
    keep_form(later, "sale", "8", TYPED)
    assert [each.about for each in kept_forms(bare_desk)] == ["8"]


def test_a_half_filled_form_makes_no_seal(bare_desk: Desk) -> None:
    """What is still typed is no record, and leaves nothing on the chain."""
    before = bare_desk.ledger.seals_at(1)
    keep_form(bare_desk, "sale", "7", TYPED)
    drop_form(bare_desk, "sale", "7")
    assert bare_desk.ledger.seals_at(1) == before


def test_a_form_that_comes_twice_is_stored_once(bare_desk: Desk) -> None:
    """The second one is told where the first has led, and what was kept of it is gone."""
    keep_form(bare_desk, "customer", "", TYPED)
    first = replace(bare_desk, sending=Sending("a1", "customer", ""))
    add_customer(first, "Bryony Saltmarsh", HOME)
    led_to(bare_desk, "a1", "/customers/1")
    again = replace(bare_desk, sending=Sending("a1", "customer", ""))
    with pytest.raises(SentBeforeError) as refused:
        add_customer(again, "Bryony Saltmarsh", HOME)
    assert refused.value.page == "/customers/1"
    assert len(find_customers(bare_desk, "Bryony")) == 1
    assert kept_forms(bare_desk) == ()


def test_a_form_that_was_refused_may_come_again(bare_desk: Desk) -> None:
    """Its number is taken together with what it stores, or not at all; and so is what was kept of it."""
    keep_form(bare_desk, "customer", "", TYPED)
    sending = Sending("a1", "customer", "")
    with pytest.raises(RefusedError):
        add_customer(replace(bare_desk, sending=sending), "", HOME)
    with pytest.raises(ZeroDivisionError), replace(bare_desk, sending=sending).writing():
        _ = 1 / 0
    assert [each.kind for each in kept_forms(bare_desk)] == ["customer"]
    add_customer(replace(bare_desk, sending=sending), "Bryony Saltmarsh", HOME)
    assert kept_forms(bare_desk) == ()


def test_a_deed_of_several_transactions_is_one_form(bare_desk: Desk) -> None:
    """The number is taken in the first and not asked for in the others."""
    sent = replace(bare_desk, sending=Sending("a1"))
    add_customer(sent, "Bryony Saltmarsh", HOME)
    add_customer(sent, "Corin Saltmarsh", replace(HOME, street="10 Alder Row"))
    assert len(find_customers(bare_desk, "Saltmarsh")) == 2


def test_whether_a_form_was_sent_before_can_be_asked_first(bare_desk: Desk) -> None:
    """With the page that it led to, before anything else is looked at."""
    assert sent_before(bare_desk, "n1") is None
    sending = replace(bare_desk, sending=Sending("n1"))
    add_customer(sending, "Bryony Saltmarsh", HOME)
    led_to(bare_desk, "n1", "/customers/1")
    assert sent_before(bare_desk, "n1") == "/customers/1"
