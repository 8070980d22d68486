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
from shopledger.paperwork.paper import Flowing, Paper
from shopledger.paperwork.receipt_tables import charge_blocks, payments_blocks
from shopledger.paperwork.refusals import DisagreeingTotalsError, MissingDetailError
from shopledger.paperwork.samples import CUSTOMER, HEAD, HOME, SHOP
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


def _parties(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
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


def _dates(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    """Set order day, day of dispensing, prescriber and prescription day in one band."""
    prescriber = content.prescriber or wording["dates.not_given"]
    if content.prescriber_npi:
        prescriber = f"{prescriber}\n{wording.fill('dates.prescriber_npi', npi=content.prescriber_npi)}"
    facts = (
        (wording["dates.ordered"], wording.day(content.order_day), 0.18),
        (wording["dates.dispensed"], _day_or(content.dispensed_on, wording, "dates.not_dispensed"), 0.24),
        (wording["dates.prescriber"], prescriber, 0.36),
        (wording["dates.prescription"], _day_or(content.prescription_day, wording, "dates.not_given"), 0.22),
    )
    blocks = fact_band("dates", facts, width)
    if content.diagnoses:
        codes = wording.fill("dates.diagnoses", codes=", ".join(content.diagnoses))
        blocks += _indented(text_block("diagnoses", codes, width - 12), 6)
    if content.replaces_because:
        why = wording.fill("dates.replaces_because", number=content.replaces, reason=content.replaces_because)
        if content.no_longer:
            why = f"{why}\n{wording.fill('dates.no_longer', goods='; '.join(content.no_longer))}"
        blocks += _indented(text_block("why it replaces", why, width - 12, STRONG), 6)
    return blocks


def _indented(blocks: Sequence[Block], by: float) -> list[Block]:
    return [replace(block, marks=moved(block.marks, by, 0)) for block in blocks]


def _day_or(iso: str, wording: Wording, otherwise: str) -> str:
    return wording.day(iso) if iso else wording[otherwise]


def _notices(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    """Set what the reader must know: no assignment, who decides, which code release, and the owner's own words."""
    blocks = [gap("notices", 5), *text_block("assignment", wording["notices.assignment"], width, STRONG)]
    blocks += text_block("eligibility", wording["notices.eligibility"], width)
    if content.code_release:
        blocks += text_block("codes", wording.fill("notices.codes", release=content.code_release), width)
    if content.wording:
        blocks += text_block("owner's words", content.wording, width, space_before=6)
    return blocks


def _outcome_box(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    """Set in one strong box whether the receipt is paid and what of it was given back; white on black when unpaid."""
    owed = content.balance > 0 or content.written_off > 0
    if content.fully_refunded:
        paid, kept = write_amount(content.paid), write_amount(content.kept)
        return strong_box("outcome", wording.fill("outcome.fully_refunded", paid=paid, kept=kept), width)
    if content.nothing_charged:
        return strong_box("outcome", wording["outcome.nothing"], width)
    text = wording.fill(f"outcome.{_outcome(content)}", balance=write_amount(abs(content.balance)))
    if content.written_off:
        off = wording.fill("outcome.written_off", amount=write_amount(content.written_off))
        text = off if content.balance == 0 else f"{text}\n{off}"
    if content.refunds:
        kept = write_amount(content.kept)
        said = wording.fill("outcome.refunded", refunded=write_amount(content.refunded), kept=kept)
        text = f"{text}\n{said}"
    return strong_box("outcome", text, width, inverse=owed)


def _outcome(content: ReceiptContent) -> str:
    if content.balance > 0:
        return "unpaid"
    return "overpaid" if content.balance < 0 else "paid"


_MEDICAL: Final = "Prescription glasses count as medical care (26 CFR 1.213-1(e)(1)(iii))."
_TREATMENT: Final = "A treatment of prescription lenses is usually taken as part of the glasses."
_UPKEEP: Final = "Upkeep of prescription glasses may count as medical care, but plans differ on accessories."
_GENERAL: Final = "Listed by the shop as not eligible."


def _sample_line(words: str, code: str, price: int, reduction: int = 0, *, pair: int | None = 1) -> ReceiptLine:
    code, _, modifier = code.partition(" ")
    reason = _MEDICAL if code != "V2750" else _TREATMENT
    return ReceiptLine(
        words, code, modifier, 1, price, reduction, price - reduction, Reimbursement.ELIGIBLE.value, reason, pair
    )


def _sample() -> ReceiptContent:
    """Give a receipt with two pairs, goods beside them, diagnoses and something given back."""
    lines = (
        _sample_line("Harrow Row Finch, moss, 50-19-140", "V2020", 16800),
        _sample_line("Even progressive, right lens", "V2203 RT", 6750),
        _sample_line("Progressive design, right lens", "V2781 RT", 6250),
        _sample_line("Even progressive, left lens", "V2203 LT", 6750),
        _sample_line("Progressive design, left lens", "V2781 LT", 6250),
        _sample_line("Anti-reflective coating, right lens", "V2750 RT", 6498),
        _sample_line("Anti-reflective coating, left lens", "V2750 LT", 6497),
        _sample_line("Harrow Row Lark, brick, 51-18-140", "V2020", 9500, 1900, pair=2),
        _sample_line("Clear single vision, right lens", "V2103 RT", 4000, 4000, pair=2),
        _sample_line("Clear single vision, left lens", "V2103 LT", 4000, 4000, pair=2),
        ReceiptLine("Cleaning kit", "", "", 1, 1200, 0, 1200, Reimbursement.PLAN_DECIDES.value, _UPKEEP, None),
        ReceiptLine("Neck cord", "", "", 1, 900, 0, 900, Reimbursement.NOT_ELIGIBLE.value, _GENERAL, None, 900),
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
    )


def _facts(content: ReceiptContent, wording: Wording) -> tuple[str, ...]:
    return (
        wording.fill("titles.issued", day=wording.day(content.issued_on)),
        wording.fill("titles.order", number=content.order_number),
        wording.fill("titles.replaces", number=content.replaces) if content.replaces else "",
    )


def _title(content: ReceiptContent) -> str:
    if content.balance > 0 or content.written_off:
        return "titles.unpaid"
    return "titles.refunded" if content.fully_refunded else "titles.paid"


def _refuse(content: ReceiptContent) -> None:
    _refuse_missing(content)
    _refuse_disagreeing(content)


RECEIPT: Final = Paper(
    key="receipt",
    command="receipt print",
    sample=_sample,
    body=Flowing(
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
    title=_title,
    facts=_facts,
    refuse=_refuse,
    stamps=("overtaken", "replaced", "copy"),
)
