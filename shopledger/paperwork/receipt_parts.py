"""The parts of a claim receipt around its lines and money: head, parties, days and notices."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from shopledger.ledger.receipt import ReceiptContent
from shopledger.paperwork.blocks import Block, Panel, fact_band, gap, text_block, twin_panels
from shopledger.paperwork.furniture import PaperHead
from shopledger.paperwork.marks import moved
from shopledger.paperwork.typeset import STRONG
from shopledger.paperwork.wording import Wording

_LABELS: Final = 78.0


def title_of(content: ReceiptContent, wording: Wording) -> str:
    """Give the paper's title: whether it is paid stands in it."""
    return wording["titles.unpaid" if content.balance > 0 else "titles.paid"]


def paper_head(content: ReceiptContent, wording: Wording) -> PaperHead:
    """Give what the head says: the shop with its identifiers, the title with number and day."""
    return PaperHead(
        shop_name=content.shop_name,
        shop_lines=content.shop_lines,
        reached=(
            wording.fill("shop.phone", phone=content.shop_phone) if content.shop_phone else "",
            wording.fill("shop.email", email=content.shop_email) if content.shop_email else "",
        ),
        identifiers=(
            wording.fill("shop.ein", ein=content.ein),
            wording.fill("shop.npi", npi=content.npi) if content.npi else "",
        ),
        title=title_of(content, wording),
        number=wording.fill("titles.number", number=content.number),
        facts=(
            wording.fill("titles.issued", day=wording.day(content.issued_on)),
            wording.fill("titles.order", number=content.order_number),
            wording.fill("titles.replaces", number=content.replaces) if content.replaces else "",
        ),
    )


def parties_blocks(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    """Set the patient beside the customer who pays."""
    patient = [
        (wording["patient.name"], content.wearer),
        (wording["patient.birth_date"], _day_or(content.wearer_birth_date, wording, "patient.not_given")),
    ]
    if content.member_id:
        patient.append((wording["patient.member_id"], content.member_id))
    relationship = wording.word("relationships", content.relationship or "self")
    patient.append((wording["patient.relationship"], relationship))
    payer = (
        (wording["payer.name"], content.customer),
        (wording["payer.address"], "\n".join(content.customer_lines)),
    )
    panels = Panel(wording["patient.heading"], tuple(patient)), Panel(wording["payer.heading"], payer)
    return [twin_panels("parties", *panels, width, _LABELS, wording.look.strip)]


def dates_blocks(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
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
    band = fact_band("dates", facts, width)
    if not content.diagnoses:
        return band
    codes = wording.fill("dates.diagnoses", codes=", ".join(content.diagnoses))
    return [*band, *_indented(text_block("diagnoses", codes, width - 12), 6)]


def _indented(blocks: Sequence[Block], by: float) -> list[Block]:
    return [replace(block, marks=moved(block.marks, by, 0)) for block in blocks]


def _day_or(iso: str, wording: Wording, otherwise: str) -> str:
    return wording.day(iso) if iso else wording[otherwise]


def notices_blocks(content: ReceiptContent, wording: Wording, width: float) -> list[Block]:
    """Set what the reader must know: no assignment, who decides, which code release, and the owner's own words."""
    blocks = [gap("notices", 5), *text_block("assignment", wording["notices.assignment"], width, STRONG)]
    blocks += text_block("eligibility", wording["notices.eligibility"], width)
    if content.code_release:
        blocks += text_block("codes", wording.fill("notices.codes", release=content.code_release), width)
    if content.wording:
        blocks += text_block("owner's words", content.wording, width, space_before=6)
    return blocks
