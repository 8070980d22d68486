"""Building a claim receipt's content from an order: the rules of what the paper says."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from shopledger.ledger.books.journal import Head
from shopledger.ledger.catalogue import Design
from shopledger.ledger.claims.code_table import RELEASE
from shopledger.ledger.claims.line_words import charge_words
from shopledger.ledger.line_model import KeptCharge, KeptLine, part_lines, whose
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Order, OrderAccount, OrderLine, Pair
from shopledger.ledger.overtaken import last_correction
from shopledger.ledger.pair_words import not_made, pair_words
from shopledger.ledger.parties import Customer, Prescriber, Relationship, Shop, Wearer, spellings_of
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.receipt import (
    BETWEEN_PRESCRIBERS,
    ReceiptContent,
    ReceiptLine,
    ReceiptPair,
    ReceiptPayment,
    ReceiptRefund,
    Replaced,
)
from shopledger.ledger.sharing import Part, parts_of
from shopledger.ledger.shipping import served_on
from shopledger.optics.notation import write_eye
from shopledger.optics.sides import Side


@dataclass(frozen=True, slots=True)
class ReceiptParties:
    """Everybody a receipt names."""

    shop: Shop
    customer: Customer
    wearer: Wearer | None
    """None where the receipt is for the customer, of what belongs to nobody in particular."""
    prescriptions: Mapping[int, tuple[WrittenPrescription, Prescriber]]
    """By prescription number, those of the wearer's pairs."""
    frames: Mapping[str, str]
    """Description of each frame by its code."""
    lenses: Mapping[str, str]
    """Name of each lens by its code."""
    designs: Mapping[str, Design] = field(default_factory=dict)
    """How each lens is built, by its code."""
    offers: Mapping[str, str] = field(default_factory=dict)
    """Name of each offer by its code."""


def receipt_content(
    number: int,
    issued_on: date,
    account: OrderAccount,
    part: Part,
    parties: ReceiptParties,
    head: Head,
    replaces: Replaced | None = None,
) -> ReceiptContent:
    """Give what the receipt of one wearer, or the customer's, says: all words and amounts."""
    order, shop, customer, wearer = account.order, parties.shop, parties.customer, parties.wearer
    pairs = tuple(pair for pair in order.standing_pairs if pair.wearer_number == part.wearer_number)
    names, npis = _prescribers(pairs, parties)
    days = _prescription_days(pairs, parties)
    served = served_on(account, (part.wearer_number,))
    standing = [each for each in part_lines(account, part) if not each.put_right]
    gone = [each for each in part_lines(account, part) if each.put_right]
    lines = tuple(_marked(_lines(standing, parties), replaces))
    tax = part.tax - sum(each.line.tax for each in gone)
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
        wearer=wearer.name if wearer else "",
        wearer_birth_date=wearer.birth_date.isoformat() if wearer and wearer.birth_date else "",
        customer=customer.name,
        customer_lines=customer.address.lines,
        relationship="" if not wearer or wearer.relationship is Relationship.SELF else wearer.relationship.value,
        member_id=wearer.member_id if wearer else "",
        order_number=order.number or 0,
        order_day=order.day.isoformat(),
        dispensed_on=served.isoformat() if served else "",
        prescriber=names,
        prescriber_npi=npis,
        prescription_day=", ".join(written for written, _ in days),
        pairs=tuple(_pair(order, pair, parties) for pair in pairs),
        lines=lines,
        shipping=part.shipping,
        tax=tax,
        total=sum(line.charge for line in lines) + part.shipping + tax,
        payments=tuple(
            ReceiptPayment(payment.day.isoformat(), payment.method.value, payment.reference, share, payment.amount)
            for payment, share in part.payments
        ),
        paid=part.paid,
        balance=part.balance,
        shared_note=_shared_note(account, part),
        ledger_head=str(head),
        code_release=_release(part),
        refunds=tuple(
            ReceiptRefund(refund.day.isoformat(), refund.method.value, refund.reference, share, refund.reason)
            for refund, share in part.refunds
        ),
        diagnoses=_diagnoses(pairs, parties),
        spellings=spellings_of(*((customer, wearer) if wearer else (customer,))),
        replaces=replaces.number if replaces else None,
        replaces_because=replaces.because if replaces else "",
        shipping_back=part.share.shipping_back,
        tax_back=sum(each.tax_back for each in standing) + part.share.shipping_tax_back,
        written_off=part.share.written_off,
        no_longer=_no_longer(lines, replaces),
        last_correction=last_correction(order.lines, account.corrections, part.share),
        prescription_expires=tuple(expires for _, expires in days) if any(expires for _, expires in days) else (),
    )


def _lines(standing: Iterable[KeptLine], parties: ReceiptParties) -> Iterator[ReceiptLine]:
    for each in standing:
        for kept in each.charges:
            units_back = each.returned if kept.charge.side is None else 0
            yield replace(_line(each.line, kept, parties), units_back=units_back)


def _marked(lines: Iterable[ReceiptLine], replaces: Replaced | None) -> Iterator[ReceiptLine]:
    """Mark the lines of which the earlier receipt said otherwise; in which words it is told changes nothing."""
    earlier = [_told(line) for line in replaces.content.lines] if replaces else []
    for line in lines:
        yield replace(line, changed=replaces is not None and _told(line) not in earlier)


def _told(line: ReceiptLine) -> ReceiptLine:
    """Give a line as every form told it."""
    return replace(line, modifier=line.modifier if line.code else "", words="", offer="", changed=False)


def _no_longer(lines: Iterable[ReceiptLine], replaces: Replaced | None) -> tuple[str, ...]:
    """Name what the earlier receipt had and this one has not."""
    if replaces is None:
        return ()
    here = {line.description for line in lines}
    return tuple(dict.fromkeys(line.said for line in replaces.content.lines if line.description not in here))


def _shared_note(account: OrderAccount, part: Part) -> str:
    """Say for whom else the order is, and how what is for all was shared; empty where it is for nobody else."""
    others = [each for each in whose(account) if each != part.wearer_number]
    if not others:
        return ""
    people = sum(number is not None for number in others)
    owners = [_other_people(people, part)] if people else []
    owners += ["nobody in particular"] if None in others else []
    said = f"This order also holds goods for {' and '.join(owners)}."
    return " ".join([said, *_way_of_sharing(account)])


def _way_of_sharing(account: OrderAccount) -> Iterator[str]:
    """Say how shipping and payments were shared, where there are any."""
    shipping = any(part.shipping for part in parts_of(account))
    if shipping and account.payments:
        yield "Shipping is shared in proportion to charges, payments in proportion to what was still owed."
    elif shipping:
        yield "Shipping is shared in proportion to charges."
    elif account.payments:
        yield "Payments are shared in proportion to what was still owed."


def _other_people(many: int, part: Part) -> str:
    other = "" if part.wearer_number is None else "other "
    return f"one {other}person" if many == 1 else f"{many} {other}people"


def _release(part: Part) -> str:
    """Name the release that the codes were picked from; orders keep theirs when the table is renewed."""
    met = dict.fromkeys(charge.release for line in part.lines for charge in line.charges if charge.release)
    return ", ".join(met) or RELEASE


def _prescriptions(
    pairs: tuple[Pair, ...], parties: ReceiptParties
) -> tuple[tuple[WrittenPrescription, Prescriber], ...]:
    numbers = dict.fromkeys(pair.prescription_number for pair in pairs if pair.prescription_number is not None)
    return tuple(parties.prescriptions[number] for number in numbers)


def _diagnoses(pairs: tuple[Pair, ...], parties: ReceiptParties) -> tuple[str, ...]:
    found = _prescriptions(pairs, parties)
    return tuple(dict.fromkeys(code for written, _ in found for code in written.diagnoses))


def _prescribers(pairs: tuple[Pair, ...], parties: ReceiptParties) -> tuple[str, str]:
    found = _prescriptions(pairs, parties)
    names = dict.fromkeys(prescriber.name for _, prescriber in found)
    npis = dict.fromkeys(prescriber.npi for _, prescriber in found if prescriber.npi)
    return BETWEEN_PRESCRIBERS.join(names), ", ".join(npis)


def _prescription_days(pairs: tuple[Pair, ...], parties: ReceiptParties) -> tuple[tuple[str, str], ...]:
    """Give when each prescription was written and until when it may be used, empty where that is not written."""
    found = (written for written, _ in _prescriptions(pairs, parties))
    days = ((each.written_on.isoformat(), each.expires_on.isoformat() if each.expires_on else "") for each in found)
    return tuple(dict.fromkeys(days))


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


def _line(line: OrderLine, kept: KeptCharge, parties: ReceiptParties) -> ReceiptLine:
    charge = kept.charge
    words = charge.description
    if line.kind is LineKind.ACCESSORY and line.quantity > 1:
        words = f"{words} (quantity {line.quantity})"
    return ReceiptLine(
        description=words,
        code=charge.code,
        modifier=charge.modifier if charge.code else "",
        units=charge.units,
        list_price=charge.list_price,
        reduction=charge.reduction,
        charge=charge.net,
        reimbursement=line.reimbursement.value,
        reason=line.reimbursement_reason,
        pair=line.pair,
        given_back=kept.given_back,
        words=charge_words(line, charge, parties.designs.get(line.item_code)),
        offer=parties.offers.get(line.offer_code, "") if charge.reduction else "",
    )
