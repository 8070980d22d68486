"""The claim receipt: from its frozen content to a paper that a clerk at a plan can read at a glance.

What is printed comes from the content alone, so a copy differs from the first print by nothing but its stamp above the
page.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from shopledger.ledger.catalogue import Reimbursement
from shopledger.ledger.papers.shop_lines import shop_lines_of
from shopledger.ledger.receipt import ReceiptContent, ReceiptLine, ReceiptPair, ReceiptPayment, ReceiptRefund
from shopledger.money.amount import write_amount
from shopledger.paperwork.blocks import Block, fact_band, gap, panel_of, strong_box, text_block, twin_panels
from shopledger.paperwork.marks import moved
from shopledger.paperwork.paper import Paper
from shopledger.paperwork.receipt_forms import form_of
from shopledger.paperwork.receipt_money import payments_blocks
from shopledger.paperwork.receipt_tables import charge_blocks
from shopledger.paperwork.refusals import DisagreeingTotalsError, MissingDetailError
from shopledger.paperwork.samples import CUSTOMER, HEAD, HOME, SHOP
from shopledger.paperwork.snug import closer, snug
from shopledger.paperwork.typeset import STRONG
from shopledger.paperwork.wording import Wording

_LABELS: Final = 78.0


def _refuse_missing(content: ReceiptContent) -> None:
    """Refuse what no plan would take: a receipt without the shop's name, address or tax id, or without a wearer."""
    needed = (
        ("the shop's name", content.shop_name, "Give it in the shop's profile."),
        ("the shop's address", content.shop_lines, "Give it in the shop's profile."),
        ("the shop's EIN", content.ein, "Give it in the shop's profile; a plan refuses a receipt without one."),
        ("the wearer's name", content.whose if content.form > 2 else content.wearer, "Give the wearer's name."),
    )
    for detail, given, hint in needed:
        if not given:
            raise MissingDetailError("receipt", detail, hint)


def _refuse_disagreeing(content: ReceiptContent) -> None:
    """Refuse amounts that do not add up to what is stated."""
    sums = (
        (
            "charges, shipping and tax",
            sum(entry.charge for entry in content.lines) + content.shipping + content.tax,
            content.total,
        ),
        ("the payments", sum(payment.amount for payment in content.payments), content.paid),
        (
            "total less payments",
            content.stands - content.written_off - (content.paid - content.refunded),
            content.balance,
        ),
    )
    if content.refunded > content.paid:
        raise DisagreeingTotalsError(
            "receipt", "the refunds", write_amount(content.refunded), f"{write_amount(content.paid)} paid"
        )
    for sum_of, come_to, stated in sums:
        if come_to != stated:
            raise DisagreeingTotalsError("receipt", sum_of, write_amount(come_to), write_amount(stated))


def _parties(content: ReceiptContent, wording: Wording, width: float, _: float) -> list[Block]:
    """Set the patient beside the customer who pays; what belongs to nobody in particular has no patient."""
    patient: dict[str, str | None] = dict.fromkeys(("name", "birth_date", "member_id", "relationship"))
    if content.wearer:
        patient["name"] = content.wearer
        patient["birth_date"] = _day_or(content.wearer_birth_date, wording, "patient.not_given")
        patient["member_id"] = content.member_id or None
        patient["relationship"] = wording.word("relationships", content.relationship or "self")
    else:
        patient["name"] = wording["patient.nobody"]
    payer = {"name": content.customer, "address": "\n".join(content.customer_lines)}
    panels = panel_of(wording, "patient", patient), panel_of(wording, "payer", payer)
    return [twin_panels("parties", *panels, width, _LABELS, wording.look.strip)]


def _dates(content: ReceiptContent, wording: Wording, width: float, room: float) -> list[Block]:
    """Set order day, day of dispensing, prescriber and prescription day in one band."""
    prescriber = content.prescriber or wording["dates.not_given"]
    if content.prescriber_npi:
        prescriber = f"{prescriber}\n{wording.fill('dates.prescriber_npi', npi=content.prescriber_npi)}"
    facts = (
        (wording["dates.ordered"], wording.day(content.order_day), 0.18),
        (wording["dates.dispensed"], _day_or(content.dispensed_on, wording, "dates.not_dispensed"), 0.2),
        (wording["dates.prescriber"], prescriber, 0.35),
        (wording["dates.prescription"], _prescription_days(content, wording), 0.27),
    )
    blocks = closer(fact_band("dates", facts, width), room)
    if content.diagnoses:
        codes = wording.fill("dates.diagnoses", codes=", ".join(content.diagnoses))
        blocks += _indented(text_block("diagnoses", codes, width - 12, space_before=3 * room), 6)
    if content.replaces_because:
        why = wording.fill("dates.replaces_because", number=content.replaces, reason=content.replaces_because)
        if content.no_longer:
            why = f"{why}\n{wording.fill('dates.no_longer', goods='; '.join(content.no_longer))}"
        blocks += _indented(text_block("why it replaces", why, width - 12, STRONG, space_before=3 * room), 6)
    return blocks


def _prescription_days(content: ReceiptContent, wording: Wording) -> str:
    """Give the day of each prescription, and until when it may be used where that is written."""
    if not content.prescription_expires:
        return _day_or(content.prescription_day, wording, "dates.not_given")
    days = zip(content.prescription_day.split(", "), content.prescription_expires, strict=True)
    return "\n".join(
        wording.fill("dates.expires", day=wording.day(day), expires=wording.day(expires))
        if expires
        else wording.day(day)
        for day, expires in days
    )


def _indented(blocks: Sequence[Block], by: float) -> list[Block]:
    return [replace(block, marks=moved(block.marks, by, 0)) for block in blocks]


def _day_or(iso: str, wording: Wording, otherwise: str) -> str:
    return wording.day(iso) if iso else wording[otherwise]


def _notices(content: ReceiptContent, wording: Wording, width: float, room: float) -> list[Block]:
    """Set what the reader must know: no assignment, who decides, which code release, and the owner's own words."""
    between = 3 * room
    blocks = [gap("notices", 5 * room)]
    blocks += text_block("assignment", wording["notices.assignment"], width, STRONG, space_before=between)
    blocks += text_block("decides", wording[form_of(content).decides], width, space_before=between)
    if content.code_release:
        codes = wording.fill("notices.codes", release=content.code_release)
        blocks += text_block("codes", codes, width, space_before=between)
    if content.wording:
        blocks += text_block("owner's words", content.wording, width, space_before=2 * between)
    return blocks


def _outcome_box(content: ReceiptContent, wording: Wording, width: float, room: float) -> list[Block]:
    """Set in one strong box whether the receipt is paid and what of it was given back; white on black when unpaid."""
    owed = content.balance > 0 or content.written_off > 0
    return closer(strong_box("outcome", _outcome_words(content, wording), width, inverse=owed, pad=2 + 5 * room), room)


def _outcome_words(content: ReceiptContent, wording: Wording) -> str:
    if content.fully_refunded:
        paid, kept = write_amount(content.paid), write_amount(content.kept)
        return wording.fill("outcome.fully_refunded", paid=paid, kept=kept)
    if content.nothing_charged:
        return wording["outcome.nothing"]
    text = wording.fill(f"outcome.{_outcome(content)}", balance=write_amount(abs(content.balance)))
    if content.written_off:
        off = wording.fill("outcome.written_off", amount=write_amount(content.written_off))
        text = off if content.balance == 0 else f"{text}\n{off}"
    if content.refunds:
        kept = write_amount(content.kept)
        said = wording.fill("outcome.refunded", refunded=write_amount(content.refunded), kept=kept)
        text = f"{text}\n{said}"
    return text


def _outcome(content: ReceiptContent) -> str:
    if content.balance > 0:
        return "unpaid"
    return "overpaid" if content.balance < 0 else "paid"


_OFFER: Final = "Single vision lenses included with a frame"
_SECOND: Final = "20 % off the second pair's frame"
_FINCH: Final = "Prescription frame – Harrow Row Finch, moss, 50-19-140"
_LARK: Final = "Prescription frame – Harrow Row Lark, brick, 51-18-140"


def _sample_line(
    words: str, code: str, price: int, reduction: int = 0, *, pair: int = 1, offer: str = ""
) -> ReceiptLine:
    code, _, modifier = code.partition(" ")
    charge = price - reduction
    state = Reimbursement.ELIGIBLE.value
    return ReceiptLine(words, code, modifier, 1, price, reduction, charge, state, "", pair, words=words, offer=offer)


def _sample_goods(words: str, price: int, given_back: int = 0) -> ReceiptLine:
    state = Reimbursement.PLAN_DECIDES.value
    return ReceiptLine(words, "", "", 1, price, 0, price, state, "", None, given_back, words=words)


def _sample() -> ReceiptContent:
    """Give a receipt with two pairs, goods beside them, diagnoses and something given back."""
    lines = (
        _sample_line(_FINCH, "V2020", 16800),
        _sample_line("Progressive prescription lens, right – Even progressive, base lens", "V2203 RT", 6750),
        _sample_line("Progressive prescription lens, right – progressive design, added to the base", "V2781 RT", 6250),
        _sample_line("Progressive prescription lens, left – Even progressive, base lens", "V2203 LT", 6750),
        _sample_line("Progressive prescription lens, left – progressive design, added to the base", "V2781 LT", 6250),
        _sample_line("Anti-reflective coating, right lens", "V2750 RT", 6498),
        _sample_line("Anti-reflective coating, left lens", "V2750 LT", 6497),
        _sample_line(_LARK, "V2020", 9500, 1900, pair=2, offer=_SECOND),
        _sample_line(
            "Single vision prescription lens, right – Clear single vision", "V2103 RT", 4000, 4000, pair=2, offer=_OFFER
        ),
        _sample_line(
            "Single vision prescription lens, left – Clear single vision", "V2103 LT", 4000, 4000, pair=2, offer=_OFFER
        ),
        _sample_goods("Cleaning kit", 1200),
        _sample_goods("Neck cord", 900, 900),
    )
    total = sum(line.charge for line in lines) + 650 + 152
    return ReceiptContent(
        number=1042,
        issued_on="2026-03-14",
        shop_name=SHOP.name,
        shop_lines=SHOP.address,
        shop_phone=SHOP.phone,
        shop_email=SHOP.email,
        ein="12-3456789",
        npi="1234567893",
        wording="Questions about this receipt: call on weekdays.",
        wearer=CUSTOMER,
        wearer_birth_date="1978-11-23",
        customer=CUSTOMER,
        customer_lines=HOME,
        relationship="",
        member_id="ZX-0091823",
        order_number=311,
        order_day="2026-02-27",
        dispensed_on="2026-03-09",
        prescriber="Dr. Imre Castellane",
        prescriber_npi="1000000004",
        prescription_day="2026-02-20",
        pairs=(
            ReceiptPair(
                1,
                57,
                "Even progressive in Harrow Row Finch, moss, 50-19-140",
                "-2.50 -1.25 x 090 add 2.00",
                "-2.25 -1.00 x 085 add 2.00",
            ),
            ReceiptPair(
                2,
                58,
                "Clear single vision, for reading in Harrow Row Lark, brick, 51-18-140",
                "-0.50 -1.25 x 090",
                "-0.25 -1.00 x 085",
            ),
        ),
        lines=lines,
        shipping=650,
        tax=152,
        total=total,
        payments=(
            ReceiptPayment("2026-02-27", "card", "4242", 30000),
            ReceiptPayment("2026-03-06", "check", "1187", total - 30000),
        ),
        paid=total,
        balance=0,
        shared_note="",
        ledger_head=HEAD,
        code_release="CMS HCPCS Level II, October 2025",
        refunds=(ReceiptRefund("2026-03-13", "card", "4242", 900, "The cord came back unused."),),
        diagnoses=("H52.13", "H52.223"),
        prescription_expires=("2028-02-20",),
    )


def _facts(content: ReceiptContent, wording: Wording) -> tuple[str, ...]:
    return (
        wording.fill("titles.issued", day=wording.day(content.issued_on)),
        wording.fill("titles.order", number=content.order_number),
        wording.fill("titles.replaces", number=content.replaces) if content.replaces else "",
    )


def _refuse(content: ReceiptContent) -> None:
    _refuse_missing(content)
    _refuse_disagreeing(content)


RECEIPT: Final = Paper(
    key="receipt",
    command="receipt print",
    sample=_sample,
    body=snug(
        {
            "parties": _parties,
            "dates": _dates,
            "lines": charge_blocks,
            "payments": payments_blocks,
            "outcome": _outcome_box,
            "notices": _notices,
        }
    ),
    shop=shop_lines_of,
    day=lambda receipt: receipt.issued_on,
    names=lambda receipt, _: {"number": receipt.number, "wearer": receipt.whose, "head": receipt.ledger_head},
    subject="wearer",
    title=lambda receipt: form_of(receipt).title(receipt),
    facts=_facts,
    refuse=_refuse,
    stamps=("overtaken", "replaced", "copy"),
)
