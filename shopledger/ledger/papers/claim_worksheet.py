"""The claim worksheet: what belongs in each box of the CMS-1500 (02/12), for a customer whose plan wants that form.

It gives facts only: what the ledger knows stands in its box, and what it does not know is left open with a caution.
Nothing is guessed: not the place of service, not a diagnosis, not how a name is parted into first and last. Six
service lines stand on one form; each further six begin another, and the sums of all forms add up to the whole.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Reimbursement
from shopledger.ledger.claims.box_writing import box_code, box_day, box_digits, box_phone
from shopledger.ledger.papers.shop_lines import ShopLines, shop_lines_of
from shopledger.ledger.receipt import ReceiptContent, ReceiptLine, refuse_unfit
from shopledger.money.amount import Cents
from shopledger.money.split import split_by_weight

LINES_PER_FORM: Final = 6
MOST_DIAGNOSES: Final = 12
_POINTERS: Final = "ABCDEFGHIJKL"


@dataclass(frozen=True, slots=True)
class ServiceLine:
    """One line of box 24; the day stands as MMDDYYYY, and `pointer` is empty where the prescriber must say."""

    day: str
    code: str
    modifier: str
    pointer: str
    charge: Cents
    units: int
    description: str
    """In words, for the reader; the form has no room for it."""


@dataclass(frozen=True, slots=True)
class ClaimForm:
    """One form of at most six lines, its total (box 28) and its share of what was paid (box 29)."""

    lines: tuple[ServiceLine, ...]
    total: Cents
    paid: Cents


@dataclass(frozen=True, slots=True)
class LeftOut:
    """What stands on the receipt and not on the form: `why` is uncoded, not eligible, given back, shipping or tax."""

    description: str
    amount: Cents
    why: str


@dataclass(frozen=True, slots=True)
class ClaimWorksheet:
    """Everything on the worksheet. Days are ISO text except in box 24, absent things empty text."""

    receipt_number: int
    receipt_day: str
    shop: ShopLines
    member_id: str
    patient: str
    birth_date: str
    """As box 3 wants it, MM DD YYYY."""
    customer: str
    customer_lines: tuple[str, ...]
    relationship: str
    prescriber: str
    prescriber_npi: str
    diagnoses: tuple[str, ...]
    """As box 21 wants them, in the order of their letters."""
    tax_id: str
    """Digits alone, as box 25 wants it."""
    phone: str
    """As box 33 wants it."""
    forms: tuple[ClaimForm, ...]
    left_out: tuple[LeftOut, ...]
    receipt_total: Cents
    """What stands of the receipt's total."""
    given_back: Cents
    """What was given back of it; it is on no form."""
    ledger_head: str
    cautions: tuple[str, ...]
    """Which cautions apply, by key; the words are the paper's."""
    spellings: tuple[tuple[str, str], ...] = ()
    """How a name is printed whose own letters the papers cannot set."""

    @property
    def total(self) -> Cents:
        """Charges on all forms together."""
        return sum(form.total for form in self.forms)

    @property
    def paid(self) -> Cents:
        """What was paid toward the lines on the forms."""
        return sum(form.paid for form in self.forms)


def claim_worksheet(receipt: ReceiptContent, diagnoses: Sequence[str] = ()) -> ClaimWorksheet:
    """Give the worksheet of an issued receipt; `diagnoses` typed from the prescriber's document win over the receipt's.

    Each line, box 28 and box 29 hold what is kept: what was given back was taken off the lines that gave it back. Where
    not all is paid, what was is shared over what is claimed and what is not in proportion to what stands of each.
    """
    refuse_unfit(receipt)
    given = tuple(diagnoses) or receipt.diagnoses
    if len(given) > MOST_DIAGNOSES:
        raise RefusedError(
            "diagnoses", len(given), f"box 21 has room for {MOST_DIAGNOSES}", "Give the ones that apply."
        )
    claimed = [line for line in receipt.lines if _claimed(line)]
    left_out = tuple(_left_out(receipt))
    return ClaimWorksheet(
        receipt_number=receipt.number,
        receipt_day=receipt.issued_on,
        shop=shop_lines_of(receipt),
        member_id=receipt.member_id,
        patient=receipt.wearer,
        birth_date=box_day(receipt.wearer_birth_date, " "),
        customer=receipt.customer,
        customer_lines=receipt.customer_lines,
        relationship=receipt.relationship or "self",
        prescriber=receipt.prescriber,
        prescriber_npi=receipt.prescriber_npi,
        diagnoses=tuple(box_code(code) for code in given),
        tax_id=box_digits(receipt.ein),
        phone=box_phone(receipt.shop_phone),
        forms=_forms(receipt, claimed, [entry.amount for entry in left_out], given),
        left_out=left_out,
        receipt_total=receipt.stands,
        given_back=receipt.given_back,
        ledger_head=receipt.ledger_head,
        cautions=tuple(_cautions(receipt, claimed, given)),
        spellings=receipt.spellings,
    )


def _claimed(line: ReceiptLine) -> bool:
    """Tell whether a line goes on the form: it stands, has a code and is not plainly outside what a plan covers."""
    return _stands(line) and bool(line.code) and line.reimbursement != Reimbursement.NOT_ELIGIBLE.value


def _stands(line: ReceiptLine) -> bool:
    """Tell whether a line did not give everything back; one that was included for nothing stands."""
    return bool(line.kept) or not line.charge


def _left_out(receipt: ReceiptContent) -> Iterator[LeftOut]:
    for line in receipt.lines:
        if not _claimed(line):
            why = "not_eligible" if line.reimbursement == Reimbursement.NOT_ELIGIBLE.value else "uncoded"
            yield LeftOut(line.said, line.kept, why if _stands(line) else "given_back")
    for why, kept in (("shipping", receipt.shipping - receipt.shipping_back), ("tax", receipt.tax - receipt.tax_back)):
        if kept:
            yield LeftOut("", kept, why)


def _forms(
    receipt: ReceiptContent, claimed: Sequence[ReceiptLine], others: Sequence[Cents], diagnoses: Sequence[str]
) -> tuple[ClaimForm, ...]:
    """Give forms of six lines with exact totals; what was paid is never more than what stands."""
    pages = [claimed[at : at + LINES_PER_FORM] for at in range(0, len(claimed), LINES_PER_FORM)]
    totals = [sum(line.kept for line in page) for page in pages]
    kept = max(0, min(receipt.kept, receipt.stands))
    paid = split_by_weight(kept, [*totals, *others]) if receipt.stands else (0,) * len(pages)
    return tuple(
        ClaimForm(tuple(_service(receipt, line, diagnoses) for line in page), total, share)
        for page, total, share in zip(pages, totals, paid[: len(pages)], strict=True)
    )


def _service(receipt: ReceiptContent, line: ReceiptLine, diagnoses: Sequence[str]) -> ServiceLine:
    """Point to the diagnosis only where there is but one: which of several a line is for, the prescriber says."""
    pointer = _POINTERS[0] if len(diagnoses) == 1 else ""
    day = box_day(receipt.dispensed_on, "")
    units = max(1, line.units - line.units_back)
    return ServiceLine(day, line.code, line.modifier, pointer, line.kept, units, line.said)


def _cautions(receipt: ReceiptContent, claimed: Sequence[ReceiptLine], diagnoses: Sequence[str]) -> Iterator[str]:
    """Say which cautions apply, in the order of the boxes."""
    facts = (
        ("written", True),
        ("names", True),
        ("member", True),
        ("prescriber_missing", not receipt.prescriber),
        ("several_prescribers", receipt.several_prescribers),
        ("diagnosis_missing", not diagnoses),
        ("diagnosis_several", len(diagnoses) > 1),
        ("not_dispensed", not receipt.dispensed_on),
        ("place", True),
        ("several_forms", len(claimed) > LINES_PER_FORM),
        ("nothing_claimed", not claimed),
        ("included", any(line.charge == 0 for line in claimed)),
        ("left_out", len(claimed) < len(receipt.lines) or bool(receipt.shipping or receipt.tax)),
        ("assignment", True),
        ("not_paid", receipt.balance > 0 or receipt.written_off > 0),
        ("refunded", receipt.given_back > 0),
        ("npi_missing", not receipt.npi),
        ("signature", True),
    )
    return (key for key, applies in facts if applies)
