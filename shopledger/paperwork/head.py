"""The head of every paper: logo and shop at the left, what the paper is at the right, a strong rule below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

from shopledger.ledger.papers.shop_lines import ShopLines
from shopledger.paperwork.blocks import Align, Block, paragraph
from shopledger.paperwork.look import Look
from shopledger.paperwork.marks import Mark, Marks, Picture, Rule
from shopledger.paperwork.typeset import BODY, MM, NUMBER, SHOP, STRONG, TITLE, Style, width_of
from shopledger.paperwork.wording import Wording

StyledLine: TypeAlias = tuple[str, Style]
_LEFT_SHARE: Final = 0.55
_BETWEEN: Final = 12.0


@dataclass(frozen=True, slots=True)
class PaperHead:
    """What the head says: the shop and how to reach it, its identifiers, and what the paper is."""

    shop_name: str
    shop_lines: tuple[str, ...]
    reached: tuple[str, ...]
    """Phone and mail address as printed; on one line where both fit."""
    identifiers: tuple[str, ...]
    title: str
    number: str
    facts: tuple[str, ...]
    """What stands below the number, such as days."""


def shop_head(shop: ShopLines, words: Wording, title: str, number: str, facts: tuple[str, ...]) -> PaperHead:
    """Give a head from a shop's lines, worded by the paper's table `shop`."""
    worded = {
        "phone": words.fill("shop.phone", phone=shop.phone) if shop.phone else "",
        "email": words.fill("shop.email", email=shop.email) if shop.email else "",
        "ein": words.fill("shop.ein", ein=shop.ein) if shop.ein else "",
        "npi": words.fill("shop.npi", npi=shop.npi) if shop.npi else "",
    }
    return PaperHead(
        shop_name=shop.name,
        shop_lines=shop.address,
        reached=(worded["phone"], worded["email"]),
        identifiers=(worded["ein"], worded["npi"]),
        title=title,
        number=number,
        facts=facts,
    )


def head_block(head: PaperHead, look: Look, width: float) -> Block:
    """Set both sides over a strong rule."""
    half = width * _LEFT_SHARE
    logo, top = _logo(look)
    left, left_height = _column(_shop(head, look, half - _BETWEEN), (0, top), half - _BETWEEN, "left")
    right, right_height = _column(_identity(head, look), (half, 0), width - half, "right")
    height = max(left_height, right_height) + 5
    return Block("head", height + 10, (*logo, *left, *right, Rule(0, height, width, height, 1.4, look.accent)))


def _logo(look: Look) -> tuple[Marks, float]:
    if look.logo is None:
        return (), 0.0
    height = look.logo_height * MM
    return (Picture(0, 0, look.logo_width * MM, height, look.logo),), height + 6


def _shop(head: PaperHead, look: Look, width: float) -> list[StyledLine]:
    lines = [(head.shop_name, replace(SHOP, ink=look.accent)), *((text, BODY) for text in head.shop_lines)]
    reached = tuple(text for text in head.reached if text)
    if reached:
        in_one = " · ".join(reached)
        lines.append((in_one if width_of(in_one, BODY) <= width else "\n".join(reached), BODY))
    return [*lines, *((text, STRONG) for text in head.identifiers if text)]


def _identity(head: PaperHead, look: Look) -> list[StyledLine]:
    lines = [
        (head.title, replace(TITLE, ink=look.accent)),
        (head.number, NUMBER),
        *((fact, BODY) for fact in head.facts),
    ]
    return [(text, style) for text, style in lines if text]


def _column(
    lines: Sequence[StyledLine], corner: tuple[float, float], width: float, align: Align
) -> tuple[Marks, float]:
    marks: list[Mark] = []
    x, top = corner
    for text, style in lines:
        words, height = paragraph(text, x, top, width, style, align)
        marks.extend(words)
        top += height
    return tuple(marks), top
