"""What is left of a frozen paper once the person that it tells of was erased.

A tombstone is the same kind of content, with its numbers, days, amounts and codes, and nothing that names somebody or
says what somebody's eyes need. So whatever adds receipts up or counts them goes on working.
"""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date
from typing import Any, Final, TypeVar

from shopledger.ledger.papers.certificate import InspectionCertificate
from shopledger.ledger.papers.lens_order import LensOrderContent, LensToMake
from shopledger.ledger.receipt import ReceiptContent
from shopledger.ledger.text import mark

Frozen = TypeVar("Frozen", ReceiptContent, InspectionCertificate, LensOrderContent)

_OF_THE_FRAME: Final = frozenset({"asked", "a", "b", "ed", "circumference"})
"""What a lens order says of a lens that is the frame's and not the wearer's."""


def tombstone(content: Frozen, erasure: int, day: date) -> Frozen:
    """Give what is left of a frozen paper; one that is a tombstone already stays."""
    if content.erased_on:
        return content
    left: Frozen
    if isinstance(content, ReceiptContent):
        left = _receipt(content, mark(day))
    elif isinstance(content, InspectionCertificate):
        left = _certificate(content, mark(day))
    else:
        left = _lens_order(content)
    return replace(left, erased_on=day.isoformat(), erasure=erasure)


def _receipt(content: ReceiptContent, name: str) -> ReceiptContent:
    return replace(
        content,
        wearer=name if content.wearer else "",
        wearer_birth_date="",
        customer=name,
        customer_lines=(),
        relationship="",
        member_id="",
        prescriber="",
        prescriber_npi="",
        prescription_day="",
        prescription_expires=(),
        pairs=tuple(replace(pair, right="", left="") for pair in content.pairs),
        payments=tuple(replace(payment, reference="") for payment in content.payments),
        refunds=tuple(replace(refund, reference="", reason="") for refund in content.refunds),
        shared_note="",
        replaces_because="",
        no_longer=(),
        diagnoses=(),
        spellings=(),
    )


def _certificate(content: InspectionCertificate, name: str) -> InspectionCertificate:
    right, left = (
        replace(lens, ordered="", compensated="", read="", centre_thickness="", base_curve="")
        for lens in content.lenses
    )
    return replace(
        content,
        wearer=name,
        lenses=(right, left),
        places=("", ""),
        sheet="",
        rows=tuple(replace(row, ordered="", measured="", difference="", limit="", or_else="") for row in content.rows),
        failures=tuple(name for _ in content.failures),
        note="",
        accepted=(),
        spellings=(),
    )


def _lens_order(content: LensOrderContent) -> LensOrderContent:
    return replace(
        content,
        reason="",
        initials="",
        base_curve=None,
        right=_lens(content.right),
        left=_lens(content.left),
        note="",
    )


def _lens(lens: LensToMake) -> LensToMake:
    """Give a lens without what its wearer's eyes need: figures are 0 or none."""
    blank: dict[str, Any] = {
        "sphere": 0.0,
        "cylinder": 0.0,
        "prism_in": 0.0,
        "prism_up": 0.0,
        "balance": False,
        "radii": (),
    }
    rest = {each.name: None for each in fields(lens) if each.name not in _OF_THE_FRAME}
    return replace(lens, **{**rest, **blank})
