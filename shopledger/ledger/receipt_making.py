"""Building a claim receipt's content from an order: the rules of what the paper says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from shopledger.ledger.books.journal import Head
from shopledger.ledger.claims.code_table import RELEASE
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Charge, Order, OrderAccount, OrderLine, Pair
from shopledger.ledger.pair_words import not_made, pair_words
from shopledger.ledger.parties import Customer, Prescriber, Relationship, Shop, Wearer, spellings_of
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.receipt import ReceiptContent, ReceiptLine, ReceiptPair, ReceiptPayment, ReceiptRefund
from shopledger.ledger.sharing import Part, parts_of
from shopledger.optics.notation import write_eye
from shopledger.optics.sides import Side

SHARED = (
    "This order holds glasses for more than one person. Shipping is shared in proportion to charges, "
    "and each payment in proportion to what each person's part still owed."
)


@dataclass(frozen=True, slots=True)
class ReceiptParties:
    """Everybody a receipt names."""

    shop: Shop
    customer: Customer
    wearer: Wearer
    prescriptions: Mapping[int, tuple[WrittenPrescription, Prescriber]]
    """By prescription number, those of the wearer's pairs."""
    frames: Mapping[str, str]
    """Description of each frame by its code."""
    lenses: Mapping[str, str]
    """Name of each lens by its code."""


def receipt_content(
    number: int,
    issued_on: date,
    account: OrderAccount,
    part: Part,
    parties: ReceiptParties,
    head: Head,
    replaces: int | None = None,
) -> ReceiptContent:
    """Give what the receipt of one wearer says, all words and amounts."""
    order, shop, customer, wearer = account.order, parties.shop, parties.customer, parties.wearer
    pairs = tuple(pair for pair in order.standing_pairs if pair.wearer_number == wearer.number)
    names, npis, days = _prescribers(pairs, parties)
    return ReceiptContent(
        number=number,
        issued_on=issued_on.isoformat(),
        shop_name=shop.name,
        shop_lines=shop.address.lines,
        shop_phone=shop.phone,
        shop_email=shop.email,
        ein=shop.ein,
        npi=shop.npi,
        wording=shop.receipt_wording,
        wearer=wearer.name,
        wearer_birth_date=wearer.birth_date.isoformat() if wearer.birth_date else "",
        customer=customer.name,
        customer_lines=customer.address.lines,
        relationship="" if wearer.relationship is Relationship.SELF else wearer.relationship.value,
        member_id=wearer.member_id,
        order_number=order.number or 0,
        order_day=order.day.isoformat(),
        dispensed_on=account.shipment.day.isoformat() if account.shipment else "",
        prescriber=names,
        prescriber_npi=npis,
        prescription_day=days,
        pairs=tuple(_pair(order, pair, parties) for pair in pairs),
        lines=tuple(_line(line, charge) for line in part.lines for charge in line.charges),
        shipping=part.shipping,
        tax=part.tax,
        total=part.total,
        payments=tuple(
            ReceiptPayment(payment.day.isoformat(), payment.method.value, payment.reference, share)
            for payment, share in part.payments
        ),
        paid=part.paid,
        balance=part.balance,
        shared_note=SHARED if len(parts_of(account)) > 1 else "",
        ledger_head=str(head),
        code_release=_release(part),
        refunds=tuple(
            ReceiptRefund(refund.day.isoformat(), refund.method.value, refund.reference, share, refund.reason)
            for refund, share in part.refunds
        ),
        diagnoses=_diagnoses(pairs, parties),
        spellings=spellings_of(customer, wearer),
        replaces=replaces,
    )


def _release(part: Part) -> str:
    """Name the release that the codes were picked from; orders keep theirs when the table is renewed."""
    met = dict.fromkeys(charge.release for line in part.lines for charge in line.charges if charge.release)
    return ", ".join(met) or RELEASE


def _diagnoses(pairs: tuple[Pair, ...], parties: ReceiptParties) -> tuple[str, ...]:
    numbers = dict.fromkeys(pair.prescription_number for pair in pairs if pair.prescription_number is not None)
    return tuple(dict.fromkeys(code for number in numbers for code in parties.prescriptions[number][0].diagnoses))


def _prescribers(pairs: tuple[Pair, ...], parties: ReceiptParties) -> tuple[str, str, str]:
    numbers = dict.fromkeys(pair.prescription_number for pair in pairs if pair.prescription_number is not None)
    found = [parties.prescriptions[number] for number in numbers]
    names = dict.fromkeys(prescriber.name for _, prescriber in found)
    npis = dict.fromkeys(prescriber.npi for _, prescriber in found if prescriber.npi)
    days = dict.fromkeys(written.written_on.isoformat() for written, _ in found)
    return ", ".join(names), ", ".join(npis), ", ".join(days)


def _pair(order: Order, pair: Pair, parties: ReceiptParties) -> ReceiptPair:
    worn = order.worn(pair)
    right, left = (_eye(worn, side, order.pair_made(pair, side).prescription_number, parties) for side in Side)
    return ReceiptPair(
        position=pair.place,
        job_number=pair.job_number or 0,
        title=pair_words(worn, parties.lenses, parties.frames[pair.frame_code]),
        right=right,
        left=left,
    )


def _eye(pair: Pair, side: Side, prescription: int | None, parties: ReceiptParties) -> str:
    """Say what is made for an eye, and what is prescribed where that differs; empty without a prescription."""
    if pair.made is None or not_made(pair, side):
        return not_made(pair, side)
    made = write_eye(pair.made.eye(side))
    if prescription is None:
        return made
    prescribed = write_eye(parties.prescriptions[prescription][0].powers.eye(side))
    return made if made == prescribed else f"{made} (prescribed {prescribed})"


def _line(line: OrderLine, charge: Charge) -> ReceiptLine:
    words = charge.description
    if line.kind is LineKind.ACCESSORY and line.quantity > 1:
        words = f"{words} (quantity {line.quantity})"
    return ReceiptLine(
        description=words,
        code=charge.code,
        modifier=charge.modifier,
        units=charge.units,
        list_price=charge.list_price,
        reduction=charge.reduction,
        charge=charge.net,
        reimbursement=line.reimbursement.value,
        reason=line.reimbursement_reason,
        pair=line.pair,
    )
