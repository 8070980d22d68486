"""Issuing a claim receipt, printing it again, replacing it: a number is taken once, a content frozen once."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.desk.printing import (
    Outgoing,
    pdf_of,
    placed_as_issued,
    refuse_altered,
    with_papers,
    with_size_and_wording,
)
from shopledger.desk.receipt_lookups import overtaken_among
from shopledger.desk.refusals import NothingWaitsError, standing_order
from shopledger.errors import PaperworkError, RefusedError
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.canonical import content_hash
from shopledger.ledger.erasing import refuse_erased, refuse_of_erased
from shopledger.ledger.line_model import wearers_on, whose
from shopledger.ledger.numbers import number_of
from shopledger.ledger.offers import LineKind
from shopledger.ledger.opening_debts import refuse_opening_debt
from shopledger.ledger.orders import NOBODY, OrderAccount
from shopledger.ledger.papers.issued import IssuedPaper, WaitingPaper
from shopledger.ledger.parties import Wearer
from shopledger.ledger.receipt import ISSUED_ANEW, PAID_SINCE, IssuedReceipt, Replaced
from shopledger.ledger.receipt_making import ReceiptParties, receipt_content
from shopledger.ledger.sharing import Part, part_for
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.money.amount import write_amount
from shopledger.paperwork.receipt import RECEIPT
from shopledger.store.work import UnitOfWork


class NotPaidError(PaperworkError):
    """A receipt was asked for while something is owed."""

    order_number: int
    wearer: str
    unpaid: int
    owed: bool = True
    """Whether it is still to be paid, and not written off."""

    def __str__(self) -> str:
        state = "is still owed" if self.owed else "was written off"
        take = "Take the payment with 'shopledger payment take', or print" if self.owed else "Print"
        return (
            f"order {self.order_number} is not paid in full: {write_amount(self.unpaid)} of what is {self.wearer}'s "
            f"{state}. {take} it as what it is with '--not-paid-in-full'."
        )


class ForWhomError(PaperworkError):
    """A receipt was asked for, the order has several wearers, and none was named."""

    order_number: int
    wearers: tuple[str, ...]

    def __str__(self) -> str:
        return (
            f"order {self.order_number} is for {' and '.join(self.wearers)}, and a receipt is for one wearer. "
            f"Name one with '--wearer', or say '--wearer {NOBODY}' for what is the customer's."
        )


@dataclass(frozen=True, slots=True)
class PrintedReceipt:
    """A receipt and the file it was printed to."""

    receipt: IssuedReceipt
    file: Path
    overtaken: bool = False
    """Whether the order has changed since it was issued, and nothing took its place yet."""


def receivers(desk: Desk, order_number: int) -> tuple[str, ...]:
    """Give for whom an order can have receipts: its wearers by name, and `nobody` for what is the customer's."""
    with desk.reading() as work:
        account = work.orders.account(order_number)
        return tuple(NOBODY if each is None else work.customers.wearer(each).name for each in whose(account))


def issue_receipt(
    desk: Desk,
    order_number: int,
    wearer: str,
    folder: Path,
    *,
    not_paid_in_full: bool = False,
    archive: bool = False,
) -> PrintedReceipt:
    """Freeze, number and print a receipt for one wearer of an order, or for the customer: all or nothing.

    Where no wearer is named it is for the order's only one, or for the customer where the order has none.
    """
    with with_papers(desk) as outgoing:
        work = outgoing.work
        account = standing_order(work, order_number, "receipt")
        refuse_opening_debt(account.order, "receipt")
        person = _wearer(work, account, wearer)
        _refuse_absent(account, person)
        part = _part(account, person)
        _refuse_unpaid(work, account, person, part, not_paid_in_full=not_paid_in_full)
        earlier = _earlier(work, account, person, part)
        because = ISSUED_ANEW if part.balance or part.share.written_off else PAID_SINCE
        replaces = Replaced(earlier.number, because, earlier.content) if earlier else None
        number = _freeze(work, desk, account, person, replaces, archive=archive)
        return _first_print(desk, outgoing, number, folder, archive=archive)


def replace_receipt(
    desk: Desk, number: int, reason: str, folder: Path, *, not_paid_in_full: bool = False, archive: bool = False
) -> PrintedReceipt:
    """Issue a new receipt in the place of one that a refund, a remake or a correction has overtaken, and print it."""
    because = clean_text("reason", reason, LONGEST_NOTE)
    with with_papers(desk) as outgoing:
        work = outgoing.work
        earlier = work.receipts.get(number)
        if earlier.replaced_by is not None:
            raise RefusedError(
                "receipt",
                number,
                f"receipt {earlier.replaced_by} took its place",
                f"Replace {earlier.replaced_by} instead, if it is wrong.",
            )
        account = standing_order(work, earlier.order_number, "receipt")
        person = None if earlier.wearer_number is None else work.customers.wearer(earlier.wearer_number)
        refuse_of_erased(f"receipt {number}", person or work.customers.get(account.order.customer_number))
        part = _part(account, person)
        _refuse_unpaid(work, account, person, part, not_paid_in_full=not_paid_in_full)
        new = _freeze(work, desk, account, person, Replaced(number, because, earlier.content), archive=archive)
        return _first_print(desk, outgoing, new, folder, archive=archive)


def _refuse_unpaid(
    work: UnitOfWork, account: OrderAccount, person: Wearer | None, part: Part, *, not_paid_in_full: bool
) -> None:
    """Refuse a receipt of what was not paid, be it owed or written off, unless it is to be printed as what it is."""
    unpaid = part.balance or part.share.written_off
    if unpaid and not not_paid_in_full:
        raise NotPaidError(number_of(account.order), _named(work, account, person), unpaid, owed=bool(part.balance))


def _freeze(
    work: UnitOfWork,
    desk: Desk,
    account: OrderAccount,
    person: Wearer | None,
    replaces: Replaced | None,
    *,
    archive: bool,
) -> int:
    """Take a number and store what the receipt says."""
    number = work.receipts.next_number()
    part, parties = _part(account, person), _parties(work, account, person)
    said = receipt_content(number, desk.today, account, part, parties, work.seals.head(), replaces)
    canonical = with_size_and_wording(work, desk, RECEIPT, said, archive=archive).canonical()
    receipt = IssuedReceipt(number, number_of(account.order), part.wearer_number, canonical, content_hash(canonical))
    if replaces is None:
        work.receipts.add(receipt)
    else:
        work.receipts.add(receipt, replaces.number, replaces.because)
        # Nobody needs the first paper of a receipt that holds no more.
        work.waiting.remove(WaitingPaper(IssuedPaper.RECEIPT, replaces.number))
    work.audit.note(Deed.ISSUED_RECEIPT, Subject.RECEIPT, number)
    return number


def print_receipt(desk: Desk, number: int, folder: Path, *, archive: bool = False) -> PrintedReceipt:
    """Print an issued receipt from its frozen content, wording and paper; from the second on, prints are copies."""
    with with_papers(desk, Deed.PRINTED_RECEIPT, Subject.RECEIPT, number) as outgoing:
        copy = outgoing.work.receipts.record_print(number, desk.today) - 1
        if not copy:
            outgoing.again(WaitingPaper(IssuedPaper.RECEIPT, number))
        return _printed(desk, outgoing, number, folder, copy, archive=archive)


def print_waiting_receipt(desk: Desk, number: int, folder: Path, *, archive: bool = False) -> PrintedReceipt:
    """Print the first paper of a receipt, of which only the number is there; it is the original still."""
    paper = WaitingPaper(IssuedPaper.RECEIPT, number)
    with with_papers(desk) as outgoing:
        if paper not in outgoing.work.waiting.all():
            raise NothingWaitsError(paper, f"shopledger receipt print {number}")
        if not outgoing.work.receipts.get(number).prints:
            outgoing.work.receipts.record_print(number, desk.today)
        outgoing.again(paper)
        return _printed(desk, outgoing, number, folder, copy=0, archive=archive)


def _first_print(desk: Desk, outgoing: Outgoing, number: int, folder: Path, *, archive: bool) -> PrintedReceipt:
    """Count and paint the original of a receipt that was numbered just now."""
    outgoing.work.audit.note(Deed.PRINTED_RECEIPT, Subject.RECEIPT, number)
    outgoing.work.receipts.record_print(number, desk.today)
    outgoing.issue(WaitingPaper(IssuedPaper.RECEIPT, number))
    return _printed(desk, outgoing, number, folder, copy=0, archive=archive)


def _printed(desk: Desk, outgoing: Outgoing, number: int, folder: Path, copy: int, *, archive: bool) -> PrintedReceipt:
    """Paint a print that is counted already: the original, or a copy with its number."""
    work = outgoing.work
    receipt = unaltered(work.receipts.get(number))
    standing_order(work, receipt.order_number, "receipt")
    past = number in overtaken_among(work, [receipt])
    stamps = _stamps(receipt, copy, overtaken=past)
    pdf = pdf_of(placed_as_issued(work, desk, RECEIPT, receipt.content, stamps), archive=archive)
    return PrintedReceipt(receipt, outgoing.add(pdf, folder / RECEIPT.file_name(number, *stamps)), past)


def _stamps(receipt: IssuedReceipt, copy: int, *, overtaken: bool) -> dict[str, object]:
    """Give the stamps of a print, which its file is named by too."""
    stamps: dict[str, object] = {"copy": copy} if copy else {}
    stamps |= {"replaced": receipt.replaced_by} if receipt.replaced_by is not None else {}
    return stamps | ({"overtaken": receipt.number} if overtaken else {})


def unaltered(receipt: IssuedReceipt) -> IssuedReceipt:
    """Give a receipt back, or refuse one whose frozen content is not what was stored."""
    refuse_altered("receipt", receipt.number, receipt.canonical, receipt.sha256)
    refuse_erased(f"receipt {receipt.number}", receipt.content)
    return receipt


def _wearer(work: UnitOfWork, account: OrderAccount, name: str) -> Wearer | None:
    """Give whom a receipt is for; None is the customer, for what belongs to nobody in particular."""
    if name.strip().casefold() == NOBODY:
        return None
    if name:
        return work.customers.pick_of_order(account.order, name)
    wearers = [work.customers.wearer(number) for number in wearers_on(account)]
    if len(wearers) > 1:
        raise ForWhomError(number_of(account.order), tuple(wearer.name for wearer in wearers))
    return wearers[0] if wearers else None


def _named(work: UnitOfWork, account: OrderAccount, wearer: Wearer | None) -> str:
    return wearer.name if wearer else work.customers.get(account.order.customer_number).name


def _part(account: OrderAccount, wearer: Wearer | None) -> Part:
    """Give the part of whoever has one, be it that all of it was taken out since."""
    part = part_for(account, number_of(wearer) if wearer else None)
    if part is None:
        raise TypeError
    return part


def _refuse_absent(account: OrderAccount, wearer: Wearer | None) -> None:
    """Refuse a receipt for whom nothing stands on an order."""
    if (number_of(wearer) if wearer else None) not in whose(account):
        who = "that person" if wearer else "nobody in particular"
        raise RefusedError(
            "wearer",
            wearer.name if wearer else NOBODY,
            f"nothing on order {account.order.number} is for {who}",
            "Name a wearer on the order.",
        )


def _earlier(work: UnitOfWork, account: OrderAccount, wearer: Wearer | None, part: Part) -> IssuedReceipt | None:
    """Give the receipt that a new one replaces: only one that was not paid in full may be."""
    order_number = number_of(account.order)
    current = [
        receipt
        for receipt in work.receipts.of_order(order_number)
        if receipt.wearer_number == part.wearer_number and receipt.replaced_by is None
    ]
    if not current:
        return None
    if current[-1].content.paid_in_full:
        raise RefusedError(
            "receipt",
            f"for {_named(work, account, wearer)} on order {order_number}",
            f"it was issued as number {current[-1].number}",
            _hint(work, current[-1]),
        )
    return current[-1]


def _hint(work: UnitOfWork, current: IssuedReceipt) -> str:
    if overtaken_among(work, [current]):
        return f"The order has changed since: 'shopledger receipt replace {current.number}'."
    return f"Print it again with 'shopledger receipt print {current.number}'."


def _parties(work: UnitOfWork, account: OrderAccount, wearer: Wearer | None) -> ReceiptParties:
    pairs = [pair for pair in account.order.pairs if wearer and pair.wearer_number == wearer.number]
    numbers = {pair.prescription_number for pair in pairs if pair.prescription_number is not None}
    written = {number: work.prescriptions.get(number) for number in numbers}
    lines = account.order.lines
    lenses = work.catalogue.some_lenses({line.item_code for line in lines if line.kind is LineKind.LENSES})
    offers = {line.offer_code for line in lines if line.offer_code}
    return ReceiptParties(
        shop=work.shop.profile(),
        customer=work.customers.get(account.order.customer_number),
        wearer=wearer,
        prescriptions={
            number: (found, work.customers.prescriber(found.prescriber_number)) for number, found in written.items()
        },
        frames={pair.frame_code: work.catalogue.frame(pair.frame_code).description for pair in pairs},
        lenses={code: work.catalogue.lens(code).name for pair in pairs for code in pair.lens_codes},
        designs={code: lens.design for code, lens in lenses.items()},
        offers={code: work.catalogue.offer(code).name for code in offers},
    )
