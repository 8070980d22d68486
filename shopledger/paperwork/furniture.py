"""What stands on every page: shop and title at the head, the line that continues it, stamps and foot in the margins."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

from shopledger.ledger.papers.shop_lines import ShopLines
from shopledger.paperwork.blocks import Align, Block, line, paragraph
from shopledger.paperwork.flow import Margins, PageLayout, Placed
from shopledger.paperwork.look import Look
from shopledger.paperwork.marks import Box, Element, Kind, Mark, Marks, Picture, Rule, paragraph_of
from shopledger.paperwork.typeset import (
    BODY,
    LABEL,
    MM,
    NUMBER,
    SHOP,
    SMALL,
    STAMP,
    STRONG,
    TITLE,
    Style,
    shortened,
    width_of,
)
from shopledger.paperwork.wording import Wording

StyledLine: TypeAlias = tuple[str, Style]
_LEFT_SHARE: Final = 0.55
_BETWEEN: Final = 12.0


@dataclass(frozen=True, slots=True)
class Title:
    """What a paper is: its title, the number that it is known by, and below that what else is said, such as days."""

    title: str
    number: str
    facts: tuple[str, ...] = ()


def head_block(shop: ShopLines, title: Title, words: Wording, width: float) -> Block:
    """Set the shop at the left and the title at the right over a strong rule."""
    look, half = words.look, width * _LEFT_SHARE
    logo, top = _logo(look, shop.name)
    left, left_height = _column(_shop(shop, words, half - _BETWEEN), (0, top), half - _BETWEEN, "left")
    right, right_height = _column(_identity(title, look), (half, 0), width - half, "right", first=Kind.TITLE)
    height = max(left_height, right_height) + 5
    return Block("head", height + 10, (*logo, *left, *right, Rule(0, height, width, height, 1.4, look.accent)))


def _logo(look: Look, name: str) -> tuple[Marks, float]:
    """Set the logo, which is read out as the shop's name."""
    if look.logo is None:
        return (), 0.0
    height = look.logo_height * MM
    picture = Picture(0, 0, look.logo_width * MM, height, look.logo)
    return (Element(Kind.FIGURE, (picture,), name),), height + 6


def _shop(shop: ShopLines, words: Wording, width: float) -> list[StyledLine]:
    """Give the shop's lines; phone and mail address stand on one line where both fit."""
    lines = [(shop.name, replace(SHOP, ink=words.look.accent)), *((text, BODY) for text in shop.address)]
    reached = _worded(words, phone=shop.phone, email=shop.email)
    if reached:
        in_one = " · ".join(reached)
        lines.append((in_one if width_of(in_one, BODY) <= width else "\n".join(reached), BODY))
    return [*lines, *((text, STRONG) for text in _worded(words, ein=shop.ein, npi=shop.npi))]


def _worded(words: Wording, **facts: str) -> list[str]:
    """Put what is known of the shop into words; a paper without a table `shop` prints it as it is."""
    known = [(f"shop.{name}", name, fact) for name, fact in facts.items() if fact]
    return [words.fill(key, **{name: fact}) if key in words.entries else fact for key, name, fact in known]


def _identity(title: Title, look: Look) -> list[StyledLine]:
    lines = [
        (title.title, replace(TITLE, ink=look.accent)),
        (title.number, NUMBER),
        *((fact, BODY) for fact in title.facts),
    ]
    return [(text, style) for text, style in lines if text]


def _column(
    lines: Sequence[StyledLine], corner: tuple[float, float], width: float, align: Align, first: Kind = Kind.PARAGRAPH
) -> tuple[Marks, float]:
    marks: list[Mark] = []
    x, top = corner
    for at, (text, style) in enumerate(lines):
        words, height = paragraph(text, x, top, width, style, align)
        marks.append(Element(Kind.PARAGRAPH if at else first, words))
        top += height
    return tuple(marks), top


@dataclass(frozen=True, slots=True)
class Foot:
    """The words in the margins; `page` holds {page} and {pages}.

    Stamps are read out where the paper begins and the foot where it ends; on other pages both are only seen.
    """

    left: str
    page: str
    small: str
    stamps: tuple[str, ...] = ()


def furniture(foot: Foot, layout: PageLayout) -> Callable[[int, int], Margins]:
    """Give what makes the margins of a page from its number and how many there are."""

    def margins(number: int, pages: int) -> Margins:
        set_foot = _foot(foot, number, pages, layout.frame_width)
        below = Placed(layout.side, layout.frame_bottom + 6, set_foot, aside=number < pages)
        above = Placed(layout.side, 18, _stamps(foot.stamps, layout.frame_width), aside=number > 1)
        return Margins((above,) if foot.stamps else (), (below,))

    return margins


def _foot(foot: Foot, number: int, pages: int, width: float) -> Block:
    page = foot.page.format(page=number, pages=pages)
    left = shortened(foot.left, width - width_of(page, LABEL) - 20, LABEL)
    small = shortened(foot.small, width, SMALL)
    marks: list[Mark] = [
        Rule(0, 0, width, 0, 0.6),
        paragraph_of((line(left, 0, 3, LABEL),)),
        paragraph_of((line(page, 0, 3, LABEL, "right", width),)),
    ]
    if small:
        marks.append(paragraph_of((line(small, 0, 3 + LABEL.leading, SMALL),)))
    return Block("foot", 3 + LABEL.leading + SMALL.leading, tuple(marks))


def _stamps(stamps: tuple[str, ...], width: float) -> Block:
    """Set each stamp in a frame, from the right margin leftward."""
    marks: list[Mark] = []
    right = width
    for stamp in reversed(stamps):
        wide = width_of(stamp, STAMP) + 16
        words = paragraph_of((line(stamp, right - wide + 8, 2.6, STAMP),))
        marks += [Box(right - wide, 0, wide, 18, line=1.2), words]
        right -= wide + 10
    return Block("stamps", 18, tuple(marks))


def continued_block(text: str, width: float) -> Block:
    """Set the line that heads every page after the first, so that loose sheets find together."""
    words = line(shortened(text, width, LABEL), 0, 0, LABEL)
    return Block("continued", LABEL.leading + 10, (words, Rule(0, LABEL.leading + 3, width, LABEL.leading + 3, 0.6)))
