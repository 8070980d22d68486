"""The claim receipt: from its frozen content to a PDF that a clerk at a plan can read at a glance.

Content becomes placed boxes (`receipt_document`), and those are painted (`receipt_pdf`). What is printed comes from the
content alone, so a copy differs from the first print by nothing but its mark in the margin.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final, TypeAlias

from shopledger.ledger.receipt import ReceiptContent
from shopledger.money.amount import write_amount
from shopledger.paperwork.blocks import Block
from shopledger.paperwork.flow import page_layout
from shopledger.paperwork.fonts import respelled
from shopledger.paperwork.furniture import head_block
from shopledger.paperwork.page import Document, save
from shopledger.paperwork.paper import NO_SPELLINGS, Labels, assembled
from shopledger.paperwork.receipt_lines import charge_blocks
from shopledger.paperwork.receipt_money import outcome_blocks, payments_blocks
from shopledger.paperwork.receipt_parts import dates_blocks, notices_blocks, paper_head, parties_blocks, title_of
from shopledger.paperwork.refusals import DisagreeingTotalsError, MissingDetailError
from shopledger.paperwork.wording import Wording, read_wording

_Part: TypeAlias = Callable[[ReceiptContent, Wording, float], list[Block]]
_PARTS: Final[Mapping[str, _Part]] = MappingProxyType(
    {
        "parties": parties_blocks,
        "dates": dates_blocks,
        "lines": charge_blocks,
        "payments": payments_blocks,
        "outcome": outcome_blocks,
        "notices": notices_blocks,
    }
)


def receipt_pdf(
    content: ReceiptContent,
    target: Path,
    *,
    copy: bool = False,
    replaced_by: int | None = None,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Path:
    """Write the receipt to `target`, whole or not at all; give back where it lies.

    `copy` marks a later print, `replaced_by` names the receipt that took its place. `spellings` says what to print for
    a name that the font cannot set, beside those frozen in the content; a name without one is refused with
    MissingGlyphError.
    """
    document = receipt_document(
        content, copy=copy, replaced_by=replaced_by, paper=paper, wording=wording, spellings=spellings
    )
    return save(document, target)


def receipt_document(
    content: ReceiptContent,
    *,
    copy: bool = False,
    replaced_by: int | None = None,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Document:
    """Give the receipt as placed boxes on pages, not yet painted; the options are those of `receipt_pdf`."""
    _demand_details(content)
    _demand_agreement(content)
    words = wording or read_wording("receipt")
    said = respelled(content, {**dict(content.spellings), **spellings})
    sheet = page_layout(paper)
    width = sheet.frame_width
    blocks = [head_block(paper_head(said, words), words.look, width)]
    for part in words.listed("order"):
        blocks += _PARTS[part](said, words, width)
    labels = Labels(
        title=f"{title_of(said, words)}, {words.fill('titles.number', number=said.number)}",
        author=said.shop_name,
        subject=said.wearer,
        continued=words.fill("titles.continued", number=said.number, wearer=said.wearer),
        foot=words.fill("marks.foot", number=said.number),
        small=words.fill("marks.ledger", head=said.ledger_head),
        stamps=_stamps(words, copy=copy, replaced_by=replaced_by),
    )
    return assembled(blocks, labels, words, sheet)


def _stamps(words: Wording, *, copy: bool, replaced_by: int | None) -> tuple[str, ...]:
    stamps = (
        words.fill("marks.replaced", number=replaced_by) if replaced_by is not None else "",
        words["marks.copy"] if copy else "",
    )
    return tuple(stamp for stamp in stamps if stamp)


def _demand_details(content: ReceiptContent) -> None:
    """Refuse what no plan would take: a receipt without the shop's name, address or tax id, or without a wearer."""
    needed = (
        ("the shop's name", content.shop_name, "Give it in the shop's profile."),
        ("the shop's address", content.shop_lines, "Give it in the shop's profile."),
        ("the shop's EIN", content.ein, "Give it in the shop's profile; a plan refuses a receipt without one."),
        ("the wearer's name", content.wearer, "Give the wearer's name."),
    )
    for detail, given, hint in needed:
        if not given:
            raise MissingDetailError("receipt", detail, hint)


def _demand_agreement(content: ReceiptContent) -> None:
    """Refuse amounts that do not add up to what is stated."""
    sums = (
        (
            "charges, shipping and tax",
            sum(entry.charge for entry in content.lines) + content.shipping + content.tax,
            content.total,
        ),
        ("the payments", sum(payment.amount for payment in content.payments), content.paid),
        ("total less payments", content.total - content.paid, content.balance),
    )
    if content.refunded > content.paid:
        raise DisagreeingTotalsError(
            "receipt", "the refunds", write_amount(content.refunded), f"{write_amount(content.paid)} paid"
        )
    for sum_of, come_to, stated in sums:
        if come_to != stated:
            raise DisagreeingTotalsError("receipt", sum_of, write_amount(come_to), write_amount(stated))
