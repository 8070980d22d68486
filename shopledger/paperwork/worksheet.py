"""The claim worksheet: what belongs in each box of the CMS-1500 (02/12), as a list with cautions; not the form."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import Final, TypeAlias

from shopledger.ledger.papers.claim_worksheet import ClaimForm, ClaimWorksheet, LeftOut, ServiceLine
from shopledger.money.amount import write_amount
from shopledger.paperwork.blocks import Block, heading, text_block
from shopledger.paperwork.flow import page_layout
from shopledger.paperwork.fonts import respelled
from shopledger.paperwork.furniture import head_block, shop_head
from shopledger.paperwork.page import Document, save
from shopledger.paperwork.paper import NO_SPELLINGS, Labels, assembled
from shopledger.paperwork.refusals import DisagreeingTotalsError
from shopledger.paperwork.tables import TableHead, sums, table
from shopledger.paperwork.wording import Wording, read_wording
from shopledger.paperwork.worksheet_boxes import boxes_blocks

_Part: TypeAlias = Callable[[ClaimWorksheet, Wording, float], list[Block]]
_LINE_KEYS: Final = ("day", "code", "modifier", "pointer", "charge", "units", "description")


def worksheet_pdf(
    content: ClaimWorksheet,
    target: Path,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Path:
    """Write the worksheet to `target`, whole or not at all; give back where it lies."""
    return save(worksheet_document(content, paper=paper, wording=wording, spellings=spellings), target)


def worksheet_document(
    content: ClaimWorksheet,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Document:
    """Give the worksheet as placed boxes on pages, not yet painted; the options are those of `worksheet_pdf`."""
    _demand(content)
    words = wording or read_wording("worksheet")
    said = respelled(content, {**dict(content.spellings), **spellings})
    sheet = page_layout(paper)
    width = sheet.frame_width
    number = words.fill("titles.number", number=said.receipt_number)
    facts = (words["titles.about"], words.fill("titles.issued", day=words.day(said.receipt_day)))
    blocks = [head_block(shop_head(said.shop, words, words["titles.paper"], number, facts), words.look, width)]
    for part in words.listed("order"):
        blocks += _PARTS[part](said, words, width)
    labels = Labels(
        title=f"{words['titles.paper']}, {number}",
        author=said.shop.name,
        subject=said.patient,
        continued=words.fill("titles.continued", number=said.receipt_number, patient=said.patient),
        foot=words.fill("marks.foot", number=said.receipt_number),
        small=words.fill("marks.ledger", head=said.ledger_head),
    )
    return assembled(blocks, labels, words, sheet)


def _demand(content: ClaimWorksheet) -> None:
    """Refuse forms that do not add up to the receipt."""
    parts = content.total + sum(entry.amount for entry in content.left_out)
    if parts != content.receipt_total:
        raise DisagreeingTotalsError(
            "worksheet", "forms and what is left out", write_amount(parts), write_amount(content.receipt_total)
        )


def _forms(content: ClaimWorksheet, words: Wording, width: float) -> list[Block]:
    """Set each form's lines with its boxes 28 and 29, kept on one page, and all forms together below."""
    if not content.forms:
        return text_block("no form", words["forms.none"], width, space_before=8)
    blocks: list[Block] = []
    for at, form in enumerate(content.forms, start=1):
        blocks += _form(form, at, len(content.forms), words, width)
    if len(content.forms) > 1:
        together = (("all_total", content.total), ("all_paid", content.paid))
        shown = [(words[f"forms.{key}"], write_amount(cents)) for key, cents in together]
        blocks.append(sums("all forms", shown, width, strong=(0, 1), ruled=False))
    return blocks


def _form(form: ClaimForm, at: int, of: int, words: Wording, width: float) -> list[Block]:
    heads = tuple(words[f"forms.{key}"] for key in _LINE_KEYS)
    head = TableHead(heads, ("left", "left", "left", "left", "right", "right", "left"), grows=6)
    cells = [_cells(line, words) for line in form.lines]
    title = heading(f"form {at}", words.fill("forms.heading", form=at, forms=of), width, space_before=10)
    rows = [replace(block, with_next=True) for block in table(f"form {at}", head, cells, width, words.look)]
    entries = (("total", form.total), ("paid", form.paid))
    shown = [(words.fill(f"forms.{key}", form=at), write_amount(cents)) for key, cents in entries]
    return [title, *rows, sums(f"form {at}, sums", shown, width, ruled=False)]


def _cells(line: ServiceLine, words: Wording) -> tuple[str, ...]:
    nothing = words["forms.open"]
    return (
        line.day or nothing,
        line.code,
        line.modifier,
        line.pointer or nothing,
        write_amount(line.charge),
        str(line.units),
        line.description,
    )


def _left_out(content: ClaimWorksheet, words: Wording, width: float) -> list[Block]:
    """Set what the receipt has and the forms have not, so that both totals can be reconciled."""
    title = heading("left out", words["left_out.heading"], width, space_before=10)
    if not content.left_out:
        return [title, *text_block("left out", words["left_out.none"], width)]
    heads = tuple(words[f"left_out.{key}"] for key in ("description", "why", "amount"))
    cells = [_left_out_cells(entry, words) for entry in content.left_out]
    rows = table("left out", TableHead(heads, ("left", "left", "right")), cells, width, words.look)
    others = sum(entry.amount for entry in content.left_out)
    entries = (("forms", content.total), ("others", others), ("total", content.receipt_total))
    return [
        title,
        *rows,
        sums("left out", [(words[f"left_out.{key}"], write_amount(cents)) for key, cents in entries], width),
    ]


def _left_out_cells(entry: LeftOut, words: Wording) -> tuple[str, str, str]:
    description = entry.description or words[f"left_out.{entry.why}"]
    return description, words[f"why.{entry.why}"], write_amount(entry.amount)


def _cautions(content: ClaimWorksheet, words: Wording, width: float) -> list[Block]:
    blocks = [heading("cautions", words["cautions.heading"], width, space_before=10)]
    for key in content.cautions:
        blocks += text_block(f"caution {key}", words[f"cautions.{key}"], width)
    return blocks


_PARTS: Final[Mapping[str, _Part]] = MappingProxyType(
    {"boxes": boxes_blocks, "forms": _forms, "left_out": _left_out, "cautions": _cautions}
)
