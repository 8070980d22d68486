"""The claim worksheet: what belongs in each box of the CMS-1500 (02/12), as a list with cautions; not the form."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Final

from shopledger.ledger.claims.box_writing import box_amount
from shopledger.ledger.papers.claim_worksheet import ClaimForm, ClaimWorksheet, LeftOut, ServiceLine, claim_worksheet
from shopledger.money.amount import Cents, write_amount
from shopledger.paperwork.blocks import Block, heading, text_block
from shopledger.paperwork.paper import Paper
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.refusals import DisagreeingTotalsError
from shopledger.paperwork.snug import snug, snug_table
from shopledger.paperwork.tables import TableHead, amounts, sums
from shopledger.paperwork.wording import Wording

_LINE_KEYS: Final = ("day", "code", "modifier", "pointer", "charge", "units", "description")
_LETTERS: Final = "ABCDEFGHIJKL"


def _refuse(content: ClaimWorksheet) -> None:
    """Refuse forms that do not add up to the receipt."""
    parts = content.total + sum(entry.amount for entry in content.left_out)
    if parts != content.receipt_total:
        raise DisagreeingTotalsError(
            "worksheet", "forms and what is left out", write_amount(parts), write_amount(content.receipt_total)
        )


def _forms(content: ClaimWorksheet, words: Wording, width: float, room: float) -> list[Block]:
    """Set each form's lines with its boxes 28 and 29, kept on one page, and all forms together below."""
    if not content.forms:
        return text_block("no form", words["forms.none"], width, space_before=8 * room)
    blocks: list[Block] = []
    for at, form in enumerate(content.forms, start=1):
        blocks += _form(form, at, len(content.forms), words, width, room)
    if len(content.forms) > 1:
        together = (("all_total", content.total), ("all_paid", content.paid))
        shown = _boxed(words, together)
        blocks.append(sums("all forms", shown, width, strong=(0, 1), ruled=False))
    return blocks


def _form(form: ClaimForm, at: int, of: int, words: Wording, width: float, room: float) -> list[Block]:
    heads = words.each("forms", _LINE_KEYS)
    head = TableHead(heads, ("left", "left", "left", "left", "right", "right", "left"), grows=6)
    cells = [_cells(line, words) for line in form.lines]
    title = heading(f"form {at}", words.fill("forms.heading", form=at, forms=of), width, space_before=10 * room)
    rows = [replace(block, with_next=True) for block in snug_table(f"form {at}", head, cells, width, words.look, room)]
    entries = (("total", form.total), ("paid", form.paid))
    shown = _boxed(words, entries, form=at)
    return [title, *rows, sums(f"form {at}, sums", shown, width, ruled=False)]


def _boxed(words: Wording, entries: Iterable[tuple[str, Cents]], **names: object) -> list[tuple[str, str]]:
    """Give amounts with their labels as the form wants them."""
    return [(words.fill(f"forms.{key}", **names), box_amount(cents)) for key, cents in entries]


def _cells(line: ServiceLine, words: Wording) -> tuple[str, ...]:
    nothing = words["forms.open"]
    return (
        line.day or nothing,
        line.code,
        line.modifier,
        line.pointer or nothing,
        box_amount(line.charge),
        str(line.units),
        line.description,
    )


def _left_out(content: ClaimWorksheet, words: Wording, width: float, room: float) -> list[Block]:
    """Set what the receipt has and the forms have not, so that both totals can be reconciled."""
    title = heading("left out", words["left_out.heading"], width, space_before=10 * room)
    if not content.left_out:
        return [title, *text_block("left out", words["left_out.none"], width)]
    heads = words.each("left_out", ("description", "why", "amount"))
    cells = [_left_out_cells(entry, words) for entry in content.left_out]
    rows = snug_table("left out", TableHead(heads, ("left", "left", "right")), cells, width, words.look, room)
    others = sum(entry.amount for entry in content.left_out)
    total = "kept" if content.given_back else "total"
    entries = (("forms", content.total), ("others", others), (total, content.receipt_total))
    return [
        title,
        *rows,
        sums("left out", amounts(words, "left_out", entries), width),
    ]


def _left_out_cells(entry: LeftOut, words: Wording) -> tuple[str, str, str]:
    description = entry.description or words[f"left_out.{entry.why}"]
    return description, words[f"why.{entry.why}"], write_amount(entry.amount)


def _cautions(content: ClaimWorksheet, words: Wording, width: float, room: float) -> list[Block]:
    blocks = [heading("cautions", words["cautions.heading"], width, space_before=10 * room)]
    for key in content.cautions:
        blocks += text_block(f"caution {key}", words[f"cautions.{key}"], width, space_before=3 * room)
    return blocks


def _boxes(content: ClaimWorksheet, words: Wording, width: float, room: float) -> list[Block]:
    """Set the list of boxes; those that differ from form to form point to the forms below."""
    heads = words.each("boxes", ("box", "asks", "write"))
    cells = [
        (box, words[f"boxes.b{box.lower().replace(', ', '_')}"], answer) for box, answer in _answers(content, words)
    ]
    head = TableHead(heads, ("left", "left", "left"), grows=2)
    *rows, last = snug_table("boxes", head, cells, width, words.look, room)
    # No sum follows that the last row would have to stay with.
    return [
        heading("boxes", words["boxes.heading"], width, space_before=0),
        *rows,
        replace(last, with_next=False),
    ]


def _answers(content: ClaimWorksheet, words: Wording) -> Iterator[tuple[str, str]]:
    """Give each box with what to write, in the form's order."""
    yield from _people(content, words)
    yield from _service(content, words)
    yield from _supplier(content, words)


def _people(content: ClaimWorksheet, words: Wording) -> Iterator[tuple[str, str]]:
    card = words["answers.member_card"]
    missing = words["answers.missing"]
    birth = (
        words.fill("answers.birth", day=content.birth_date) if content.birth_date else words["answers.birth_missing"]
    )
    relationship = words.word("relationships", content.relationship)
    yield "1a", content.member_id or card
    yield "2", words.fill("answers.name_order", name=content.patient)
    yield "3", birth
    yield "4", words.fill("answers.member", name=content.customer)
    yield "6", words.fill("answers.relationship", word=relationship)
    yield "7", "\n".join(content.customer_lines)
    yield "11", card
    yield "17", words.fill("answers.qualified", name=content.prescriber) if content.prescriber else missing
    yield "17b", content.prescriber_npi or missing
    yield "21", _diagnoses(content, words)


def _diagnoses(content: ClaimWorksheet, words: Wording) -> str:
    if not content.diagnoses:
        return words["answers.diagnoses_missing"]
    lettered = zip(_LETTERS, content.diagnoses, strict=False)
    codes = "\n".join(words.fill("answers.diagnosis", letter=letter, code=code) for letter, code in lettered)
    return words.fill("answers.diagnoses", codes=codes)


def _service(content: ClaimWorksheet, words: Wording) -> Iterator[tuple[str, str]]:
    lines, leave = words["answers.lines"], words["answers.leave"]
    dispensed = any(line.day for form in content.forms for line in form.lines)
    yield "24A", words["answers.day" if dispensed else "answers.day_missing"]
    yield "24B", words["answers.place"]
    yield "24C, H, I", leave
    yield "24D", lines
    yield "24E", words["answers.pointer" if len(content.diagnoses) == 1 else "answers.pointer_open"]
    yield "24F", lines
    yield "24G", lines
    yield "24J", words["answers.renders"]


def _supplier(content: ClaimWorksheet, words: Wording) -> Iterator[tuple[str, str]]:
    shop = content.shop
    yield "25", words.fill("answers.tax_id", digits=content.tax_id)
    yield "27", words["answers.assignment"]
    yield "28, 29", words["answers.forms"]
    yield "30", words["answers.leave"]
    yield "31", words["answers.signature"]
    yield "33", "\n".join(text for text in (shop.name, *shop.address, content.phone) if text)
    yield "33a", shop.npi or words["answers.none"]


WORKSHEET: Final = Paper(
    key="worksheet",
    command="paper worksheet",
    sample=lambda: claim_worksheet(RECEIPT.sample()),
    body=snug({"boxes": _boxes, "forms": _forms, "left_out": _left_out, "cautions": _cautions}),
    shop=lambda worksheet: worksheet.shop,
    day=lambda worksheet: worksheet.receipt_day,
    names=lambda worksheet, _: {
        "number": worksheet.receipt_number,
        "patient": worksheet.patient,
        "head": worksheet.ledger_head,
    },
    subject="patient",
    facts=lambda worksheet, words: (
        words["titles.about"],
        words.fill("titles.issued", day=words.day(worksheet.receipt_day)),
    ),
    refuse=_refuse,
)
