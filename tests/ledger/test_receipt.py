"""A receipt's content as canonical JSON: the same content, the same bytes, and back again."""

from __future__ import annotations

import json
from dataclasses import fields, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import LedgerError
from shopledger.ledger.canonical import FIRST_DRAWING, content_hash, thawed
from shopledger.ledger.receipt import (
    IssuedReceipt,
    ReceiptContent,
    ReceiptLine,
    ReceiptPair,
    ReceiptPayment,
    ReceiptRefund,
)
from shopledger.paperwork.receipt import RECEIPT

CENTS = st.integers(-10_000_000, 10_000_000)
WORDS = st.text(st.characters(codec="utf-8"), max_size=12)
LINES = st.builds(
    ReceiptLine, WORDS, WORDS, WORDS, st.integers(0, 9), CENTS, CENTS, CENTS, WORDS, WORDS, words=WORDS, offer=WORDS
)
PAIRS = st.builds(ReceiptPair, st.integers(1, 9), st.integers(0, 999), WORDS, WORDS, WORDS)
PAYMENTS = st.builds(ReceiptPayment, WORDS, WORDS, WORDS, CENTS, CENTS)
REFUNDS = st.builds(ReceiptRefund, WORDS, WORDS, WORDS, CENTS, WORDS)
_KINDS: dict[str, st.SearchStrategy[object]] = {
    "int": st.integers(0, 99_999),
    "Cents": CENTS,
    "str": WORDS,
    "tuple[str, ...]": st.lists(WORDS, max_size=3).map(tuple),
    "tuple[ReceiptPair, ...]": st.lists(PAIRS, max_size=2).map(tuple),
    "tuple[ReceiptLine, ...]": st.lists(LINES, max_size=3).map(tuple),
    "tuple[ReceiptPayment, ...]": st.lists(PAYMENTS, max_size=2).map(tuple),
    "tuple[ReceiptRefund, ...]": st.lists(REFUNDS, max_size=2).map(tuple),
    "tuple[tuple[str, str], ...]": st.lists(st.tuples(WORDS, WORDS), max_size=2).map(tuple),
    "int | None": st.none() | st.integers(1, 99),
}
SINCE_FORM_2 = frozenset({"refunds", "diagnoses", "spellings", "replaces", "paper", "wording_sha256"})
SINCE_FORM_3 = frozenset(
    {"replaces_because", "shipping_back", "tax_back", "written_off", "no_longer", "last_correction"}
)
SINCE_FORM_4 = frozenset({"prescription_expires"})
ERASED = {"erased_on", "erasure"}
"""What only a tombstone has."""
CONTENTS = st.fixed_dictionaries(
    {each.name: _KINDS[str(each.type)] for each in fields(ReceiptContent) if each.name not in {"form", *ERASED}}
).map(lambda values: ReceiptContent(**values))  # type: ignore[arg-type]


@given(CONTENTS)
def test_a_receipt_is_read_back_as_it_was_issued(content: ReceiptContent) -> None:
    """Any content, any script: the same value, and the same bytes when written again."""
    again = thawed(ReceiptContent, content.canonical(), "receipt")
    assert again == content
    assert again.canonical() == content.canonical()


@given(CONTENTS)
def test_the_canonical_form_is_plain_sorted_json_of_every_field(content: ReceiptContent) -> None:
    """Keys in order, nothing spare, nothing left out."""
    canonical = content.canonical()
    body = json.loads(canonical)
    unsaid = {*ERASED, *(["drawing"] if content.drawing == FIRST_DRAWING else [])}
    assert list(body) == sorted(each.name for each in fields(ReceiptContent) if each.name not in unsaid)
    assert canonical == json.dumps(body, sort_keys=True, ensure_ascii=False, separators=(",", ":"))


@given(CONTENTS)
def test_a_changed_content_has_another_hash(content: ReceiptContent) -> None:
    """A cent more, and the hash is another."""
    changed = replace(content, total=content.total + 1)
    assert content_hash(changed.canonical()) != content_hash(content.canonical())


def test_the_hash_is_sha_256() -> None:
    """The digest of "abc" as printed in FIPS 180-4's example."""
    assert content_hash("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


@given(CONTENTS)
def test_an_issued_receipt_gives_its_frozen_content(content: ReceiptContent) -> None:
    """What is printed comes from the stored text and from nothing else."""
    canonical = content.canonical()
    assert IssuedReceipt(1, 2, 3, canonical, content_hash(canonical)).content == content


@pytest.mark.parametrize(("balance", "full"), [(0, True), (1, False)])
@given(content=CONTENTS)
def test_paid_in_full_means_nothing_is_owed(content: ReceiptContent, balance: int, full: bool) -> None:
    """A cent owed is not in full; neither is one that was written off."""
    assert replace(content, balance=balance, written_off=0).paid_in_full is full
    assert not replace(content, balance=balance, written_off=1).paid_in_full


@given(CONTENTS)
def test_a_receipt_of_the_first_form_is_read_and_written_as_it_was(content: ReceiptContent) -> None:
    """A ledger's old receipts know nothing of refunds, diagnoses or spellings, and keep their bytes and their hash."""
    frozen = _of_form(1, content, SINCE_FORM_2 | SINCE_FORM_3 | SINCE_FORM_4)
    again = thawed(ReceiptContent, frozen, "receipt")
    assert (again.refunds, again.diagnoses, again.spellings, again.replaces) == ((), (), (), None)
    assert (again.paper, again.wording_sha256) == ("", "")
    assert again.canonical() == frozen


@given(CONTENTS)
def test_a_receipt_of_the_second_form_is_read_and_written_as_it_was(content: ReceiptContent) -> None:
    """It does not know the whole of a shared payment, and never says that all was given back."""
    frozen = _of_form(2, content, SINCE_FORM_3 | SINCE_FORM_4)
    again = thawed(ReceiptContent, frozen, "receipt")
    assert again.canonical() == frozen
    assert not any(payment.shared for payment in again.payments)
    assert not again.fully_refunded


@given(CONTENTS)
def test_a_receipt_of_the_third_form_is_read_and_written_as_it_was(content: ReceiptContent) -> None:
    """It says what its lines were described as, and no offer nor expiry."""
    frozen = _of_form(3, content, SINCE_FORM_4)
    again = thawed(ReceiptContent, frozen, "receipt")
    assert again.canonical() == frozen
    assert [line.said for line in again.lines] == [line.description for line in content.lines]
    assert {line.offer for line in again.lines} <= {""}
    assert again.prescription_expires == ()


def _of_form(form: int, content: ReceiptContent, since: frozenset[str]) -> str:
    """Give content as an earlier form had it: without what came since, in the content and in its rows."""
    body = {key: value for key, value in json.loads(content.canonical()).items() if key not in since} | {"form": form}
    later = {"payments": {"whole"}, "lines": {"given_back", "units_back", "changed"}} if form < 3 else {}
    later["lines"] = {*later.get("lines", ()), "words", "offer"}
    for rows, names in later.items():
        body[rows] = [{key: value for key, value in row.items() if key not in names} for row in body[rows]]
    return json.dumps(body, sort_keys=True, ensure_ascii=False, separators=(",", ":"))


@pytest.mark.parametrize(("paid", "back", "balance", "full"), [(9, 9, 0, True), (9, 8, 0, False), (9, 9, 1, False)])
def test_fully_refunded_means_that_all_was_paid_and_nothing_kept(
    paid: int, back: int, balance: int, *, full: bool
) -> None:
    """A cent kept, or still owed, is not fully refunded; neither is a receipt on which nothing was ever paid."""
    refunds = (ReceiptRefund("2026-03-20", "card", "", back, "too small"),)
    lines = (replace(RECEIPT.sample().lines[0], charge=9, given_back=back),)
    content = replace(RECEIPT.sample(), lines=lines, shipping=0, tax=0, total=9, paid=paid, balance=balance)
    content = replace(content, refunds=refunds)
    assert content.fully_refunded is full
    assert not replace(content, paid=0, refunds=()).fully_refunded


def test_a_receipt_of_a_later_form_is_left_to_a_later_program() -> None:
    """It is refused in words, not with a missing key."""
    with pytest.raises(LedgerError, match=r"form 9.*update it"):
        thawed(ReceiptContent, '{"form":9}', "receipt")
