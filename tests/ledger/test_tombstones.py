"""What an erasure leaves of a frozen paper: numbers, days, amounts and codes, and nobody's name or eyes."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date

import pytest
from hypothesis import given

from shopledger.ledger.canonical import thawed
from shopledger.ledger.erasing import ErasedError, refuse_erased
from shopledger.ledger.papers.certificate import InspectionCertificate
from shopledger.ledger.papers.lens_order import LensOrderContent
from shopledger.ledger.receipt import ReceiptContent
from shopledger.ledger.tombstones import tombstone
from shopledger.paperwork.certificate import CERTIFICATE
from shopledger.paperwork.lens_order import LENS_ORDER
from shopledger.paperwork.receipt import RECEIPT
from tests.ledger.test_receipt import CONTENTS

DAY = date(2040, 5, 6)
PRIVATE = {
    *("wearer", "wearer_birth_date", "customer", "customer_lines", "relationship", "member_id", "prescriber"),
    *("prescriber_npi", "prescription_day", "pairs", "payments", "refunds", "shared_note", "diagnoses", "spellings"),
    *("replaces_because", "no_longer", "prescription_expires"),
}


@given(CONTENTS)
def test_a_receipts_figures_stay_and_its_people_go(content: ReceiptContent) -> None:
    """Every field that tells of nobody is as it was; the rest is blank or has blank parts, of the same count."""
    left = tombstone(content, 3, DAY)
    for each in fields(ReceiptContent):
        if each.name not in PRIVATE | {"erased_on", "erasure"}:
            assert getattr(left, each.name) == getattr(content, each.name)
    wearer = "erased 2040-05-06" if content.wearer else ""
    assert (left.wearer, left.customer, left.diagnoses) == (wearer, "erased 2040-05-06", ())
    assert [(pair.job_number, pair.right, pair.left) for pair in left.pairs] == [
        (pair.job_number, "", "") for pair in content.pairs
    ]
    assert left.refunded == content.refunded
    assert left.paid_in_full is content.paid_in_full


@given(CONTENTS)
def test_a_tombstone_is_frozen_like_any_content_and_names_its_erasure(content: ReceiptContent) -> None:
    """It is read back as it was written, of any form, and stays what it is."""
    for form in (1, 2, 3, 4):
        left = tombstone(replace(content, form=form), 3, DAY)
        again = thawed(ReceiptContent, left.canonical(), "receipt")
        assert again.canonical() == left.canonical()
        assert (again.erased_on, again.erasure) == ("2040-05-06", 3)
        assert tombstone(again, 9, date(2050, 1, 1)) == again
        with pytest.raises(ErasedError, match="receipt 1 was erased on 2040-05-06"):
            refuse_erased("receipt 1", again)


def test_whole_content_says_nothing_of_erasing() -> None:
    """What was frozen before and what is frozen today have the same keys."""
    for sample in (RECEIPT.sample(), CERTIFICATE.sample(), LENS_ORDER.sample()):
        assert '"erasure"' not in sample.canonical()
        assert '"erased_on"' not in sample.canonical()


def test_a_certificate_keeps_what_was_judged_and_whether_it_passed() -> None:
    """Rules, verdicts and the checklist stay; what was ordered and read goes."""
    whole = CERTIFICATE.sample()
    left = thawed(InspectionCertificate, tombstone(whole, 3, DAY).canonical(), "certificate")
    assert [(row.quantity, row.rule, row.passed) for row in left.rows] == [
        (row.quantity, row.rule, row.passed) for row in whole.rows
    ]
    assert {text for row in left.rows for text in (row.ordered, row.measured, row.difference, row.limit)} == {""}
    assert (left.passed, left.checklist, left.wearer) == (whole.passed, whole.checklist, "erased 2040-05-06")
    assert {text for lens in left.lenses for text in (lens.ordered, lens.compensated, lens.read)} == {""}


def test_a_lens_order_keeps_the_goods_and_loses_the_eyes() -> None:
    """Supplier, lens and frame stay; powers, PDs, heights, shape and initials go."""
    whole = LENS_ORDER.sample()
    left = thawed(LensOrderContent, tombstone(whole, 3, DAY).canonical(), "lens order")
    assert (left.supplier, left.lens, left.frame, left.job_number) == (
        whole.supplier, whole.lens, whole.frame, whole.job_number,
    )  # fmt: skip
    assert left.initials == ""
    for lens, was in zip(left.lenses, whole.lenses, strict=True):
        assert (lens.asked, lens.a, lens.ed) == (was.asked, was.a, was.ed)
        assert (lens.sphere, lens.cylinder, lens.axis, lens.pd, lens.height, lens.radii) == (0, 0, None, None, None, ())
    assert left.shape is None
