"""The list of boxes on a claim worksheet: each box, what it asks for, and what to write, or that it stays open."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from shopledger.ledger.papers.claim_worksheet import ClaimWorksheet
from shopledger.paperwork.blocks import Block, heading
from shopledger.paperwork.tables import TableHead, table
from shopledger.paperwork.wording import Wording

_LETTERS: Final = "ABCDEFGHIJKL"


def boxes_blocks(content: ClaimWorksheet, words: Wording, width: float) -> list[Block]:
    """Set the list of boxes; those that differ from form to form point to the forms below."""
    heads = tuple(words[f"boxes.{key}"] for key in ("box", "asks", "write"))
    cells = [
        (box, words[f"boxes.b{box.lower().replace(', ', '_')}"], answer) for box, answer in _answers(content, words)
    ]
    head = TableHead(heads, ("left", "left", "left"), grows=2)
    return [
        heading("boxes", words["boxes.heading"], width, space_before=0),
        *table("boxes", head, cells, width, words.look),
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
    yield "24C", leave
    yield "24D", lines
    yield "24E", words["answers.pointer" if len(content.diagnoses) == 1 else "answers.pointer_open"]
    yield "24F", lines
    yield "24G", lines
    yield "24H", leave
    yield "24I", leave
    yield "24J", words["answers.renders"]


def _supplier(content: ClaimWorksheet, words: Wording) -> Iterator[tuple[str, str]]:
    shop = content.shop
    yield "25", words.fill("answers.tax_id", digits=content.tax_id)
    yield "27", words["answers.assignment"]
    yield "28, 29", words["answers.forms"]
    yield "30", words["answers.leave"]
    yield "31", words["answers.signature"]
    yield "33", "\n".join(text for text in (shop.name, *shop.address, shop.phone) if text)
    yield "33a", shop.npi or words["answers.none"]
