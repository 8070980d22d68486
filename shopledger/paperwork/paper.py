"""A paper is declared once: what it names itself by, its parts, its stamps; one function lays any of them out on pages.

A declaration says what only this paper has. The skeleton is the same for all: details are asked for, names become
printable, the head stands over the parts in the order of the wording, and each page gets its margins.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final, Generic, Protocol, TypeAlias, TypeVar, runtime_checkable

from shopledger.ledger.papers.order_facts import OrderFacts
from shopledger.ledger.papers.shop_lines import ShopLines
from shopledger.paperwork.blocks import Block
from shopledger.paperwork.flow import PageLayout, flow, furnished, page_layout
from shopledger.paperwork.fonts import respelled
from shopledger.paperwork.furniture import Foot, Title, continued_block, furniture, head_block
from shopledger.paperwork.page import Document
from shopledger.paperwork.refusals import DoesNotFitError
from shopledger.paperwork.typeset import MM
from shopledger.paperwork.wording import Wording, read_wording

Content = TypeVar("Content")
Part: TypeAlias = Callable[[Content, Wording, float], list[Block]]
"""Gives blocks from what the paper says, its words, and the width between the page margins."""
SizedPart: TypeAlias = Callable[[Content, Wording, float, float], list[Block]]
"""The same with how large the type is."""

DRAWING: Final = 2
"""Version of how papers are drawn, kept with what is issued: within one version the same content gives the same bytes.

It counts up when the program draws content otherwise that was issued before. Version 2 is tagged, and marks lenses and
scale on whatever is drawn at true size.
"""

NONE_GIVEN: Final[Mapping[str, Any]] = MappingProxyType({})
"""No spellings: names are printed as they are written. No stamps: nothing stands above the page."""


@dataclass(frozen=True, slots=True)
class Flowing(Generic[Content]):
    """Parts under one another on as many pages as they need."""

    parts: Mapping[str, Part[Content]]

    @staticmethod
    def shapes_width(_: Content) -> float:
        """Give 0: what it draws at true size is told by the paper."""
        return 0.0

    def blocks(self, content: Content, words: Wording, layout: PageLayout, head: Block) -> list[Block]:
        """Give the head and the parts in the order of the wording."""
        blocks = [head]
        for name in words.listed("order"):
            blocks += self.parts[name](content, words, layout.frame_width)
        return blocks


@dataclass(frozen=True, slots=True, kw_only=True)
class OnePage(Generic[Content]):
    """Parts in the largest type with which they fill one page at most, without the shapes if need be."""

    called: Callable[[Content], str]
    """What is said not to fit."""
    top: SizedPart[Content]
    """What stands above the parts, whatever their order."""
    parts: Mapping[str, SizedPart[Content]]
    left_out: SizedPart[Content]
    """Stands for the part `shapes` where that is not drawn."""
    shapes_width: Callable[[Content], float]
    """Width in points of what is drawn at true size; 0 where nothing is."""
    drawn_at: Sequence[float]
    """How large the type is with the shapes drawn: tried in turn."""
    undrawn_at: Sequence[float]
    """How large it is without them, tried after that."""
    headed: bool = True
    """Whether the usual head stands above it all; otherwise `top` has all that there is."""

    def blocks(self, content: Content, words: Wording, layout: PageLayout, head: Block) -> list[Block]:
        """Give the blocks in the first size that fits. Raises DoesNotFitError."""
        height = layout.frame_bottom - layout.top
        too_wide = self.shapes_width(content) > layout.frame_width
        sizes = [*((scale, True) for scale in self.drawn_at if not too_wide), *((s, False) for s in self.undrawn_at)]
        for scale, drawn in sizes:
            blocks = [head] if self.headed else []
            blocks += self._sized(content, words, layout.frame_width, scale, drawn=drawn)
            needed = sum(block.height for block in blocks)
            if needed <= height:
                return blocks
        raise DoesNotFitError(
            self.called(content),
            f"{needed / MM:.0f} mm",
            f"{height / MM:.0f} mm on its one page",
            "Shorten the note or the names of lens, frame or extras.",
        )

    def _sized(self, content: Content, words: Wording, width: float, scale: float, *, drawn: bool) -> list[Block]:
        blocks = self.top(content, words, width, scale)
        for name in words.listed("order"):
            part = self.left_out if name == "shapes" and not drawn else self.parts[name]
            blocks += part(content, words, width, scale)
        return blocks


Body: TypeAlias = Flowing[Content] | OnePage[Content]
"""What makes the blocks of a paper from its head on."""


def nothing_refused(_: object) -> None:
    """Take any content."""


def no_facts(_: object, __: Wording) -> tuple[str, ...]:
    """Say nothing below the number."""
    return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper(Generic[Content]):
    """One kind of paper, from what it says to its pages."""

    key: str
    """Name of its wording file and of its sample."""
    command: str
    """The command that prints it."""
    file: str = ""
    """How its files are called; like the key where it is empty."""
    sample: Callable[[], Content]
    """Invented content, for looking at a changed wording before a customer does."""
    body: Body[Content]
    shop: Callable[[Content], ShopLines]
    day: Callable[[Content], str]
    """The day of issue, as ISO text: the file is dated by it."""
    names: Callable[[Content, Wording], Mapping[str, object]]
    """What the words of number, foot and later pages are filled with; `head` is the ledger's, where it is printed."""
    subject: str = ""
    """Which of the names a reader program shows as the file's subject; the number where it is empty."""
    title: Callable[[Content], str] = lambda _: "titles.paper"
    """Key of its title."""
    number: str = "titles.number"
    """Key of what stands below the title and after it in the file's own title."""
    facts: Callable[[Content, Wording], tuple[str, ...]] = no_facts
    """What stands below the number, such as days; empty text is left out."""
    refuse: Callable[[Content], None] = nothing_refused
    """Refuses content that must not be printed."""
    true_width: Callable[[Content], float] = lambda _: 0.0
    """Width in points of what is drawn at true size: the page is turned where it is too narrow for that upright."""
    stamps: tuple[str, ...] = ()
    """Marks that a print may have above the page, such as `copy`, in their order."""

    def file_name(self, number: int, *more: str) -> str:
        """Name the file of a print by its number, and by what else sets it apart, such as `copy`."""
        return f"{'-'.join([self.file or self.key.replace('_', '-'), f'{number:05d}', *more])}.pdf"


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderPaper(Paper[Content]):
    """A paper of a recorded order, made from what everybody can look up of it."""

    make: Callable[[OrderFacts], Content]


@runtime_checkable
class _Spelled(Protocol):
    """Content that was frozen with how its names are spelled on paper."""

    @property
    def spellings(self) -> tuple[tuple[str, str], ...]: ...


def document_of(
    paper: Paper[Content],
    content: Content,
    *,
    size: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NONE_GIVEN,
    stamps: Mapping[str, object] = NONE_GIVEN,
    first_drawn: int = DRAWING,
) -> Document:
    """Give a paper as placed boxes on pages of a size, not yet painted.

    `spellings` says what to print for a name that the font cannot set, beside those frozen in the content; a name
    without one is refused with MissingGlyphError. `stamps` are those of this print, each with its {number}.
    `first_drawn` is the drawing of the first print; where that is not today's, the foot says so.
    """
    paper.refuse(content)
    words = wording or read_wording(paper.key)
    own = dict(content.spellings) if isinstance(content, _Spelled) else {}
    said = respelled(content, {**own, **spellings})
    layout = page_layout(size)
    if paper.true_width(said) > layout.frame_width:
        layout = page_layout(size, landscape=True)
    names, shop = paper.names(said, words), paper.shop(said)
    title = Title(words[paper.title(said)], words.fill(paper.number, **names), paper.facts(said, words))
    blocks = paper.body.blocks(said, words, layout, head_block(shop, title, words, layout.frame_width))
    foot = Foot(
        f"{words.fill('marks.foot', **names)} · {shop.name}",
        words["marks.page"],
        " · ".join((*_ledger(words, names), *_redrawn(words, first_drawn))),
        tuple(words.fill(f"marks.{name}", number=stamps[name]) for name in paper.stamps if name in stamps),
    )
    continued = continued_block(words.fill("titles.continued", **names), layout.frame_width)
    return Document(
        title=f"{title.title}, {title.number}".replace("\n", " – "),
        author=shop.name,
        subject=str(names[paper.subject]) if paper.subject else title.number,
        language=words["language"],
        day=paper.day(said),
        width=layout.width,
        height=layout.height,
        pages=furnished(flow(blocks, layout, continued), furniture(foot, layout)),
        actual_size=max(paper.true_width(said), paper.body.shapes_width(said)) > 0,
    )


def _ledger(words: Wording, names: Mapping[str, object]) -> tuple[str, ...]:
    return (words.fill("marks.ledger", **names),) if names.get("head") else ()


def _redrawn(words: Wording, first_drawn: int) -> tuple[str, ...]:
    """Say that a print is drawn otherwise than the first one was."""
    if first_drawn == DRAWING:
        return ()
    return (words.fill("marks.redrawn", drawing=DRAWING, first=first_drawn),)
