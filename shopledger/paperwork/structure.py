"""What a paper says in which order, apart from where it stands: the tree of elements behind its pages.

A reader program, such as one that reads aloud, follows the tree and not the ink (ISO 32000-1, 14.7). What only helps
the eye (rules, grounds, heads that stand again on a later page) is in no element.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final, TypeAlias

from shopledger.paperwork.blocks import shared_depth
from shopledger.paperwork.flow import Page, Placed
from shopledger.paperwork.marks import Element, Kind, Leaf, Mark, Text

At: TypeAlias = tuple[float, float, Leaf]
"""A mark, and where its block's corner stands on the paper."""

_HOLDERS: Final = frozenset({Kind.TABLE, Kind.ROW, Kind.LIST, Kind.ITEM})
"""Elements that hold elements alone; a text right in them, or in the document, is a paragraph of its own."""


@dataclass(slots=True, eq=False)
class Run:
    """Marks of one page that belong to one element, or to none: they are painted together."""

    page: int
    number: int | None
    """Which of the page's runs in elements it is; None for what is only seen."""
    node: Node | None
    marks: list[At] = field(default_factory=list)


@dataclass(slots=True, eq=False)
class Node:
    """An element in the tree, with the elements and runs in it in the order in which they are read."""

    kind: Kind | None
    """None for the document itself."""
    said: str = ""
    columns: int = 1
    inner: list[Node | Run] = field(default_factory=list)

    def begin(self, kind: Kind, said: str = "", columns: int = 1) -> Node:
        """Add an element."""
        node = Node(kind, said, columns)
        self.inner.append(node)
        return node

    def nodes(self) -> Iterator[Node]:
        """Give the node and all below it in the order in which they are read."""
        yield self
        for each in self.inner:
            if isinstance(each, Node):
                yield from each.nodes()


@dataclass(frozen=True, slots=True)
class PageRuns:
    """A page's shapes and texts in the order in which they are painted: texts stand over shapes."""

    shapes: tuple[Run, ...]
    texts: tuple[Run, ...]
    owners: tuple[Node, ...]
    """The element of each run that belongs to one, by the run's number."""


@dataclass(frozen=True, slots=True)
class Structure:
    """A paper's tree and, page by page, what is painted of it."""

    document: Node
    pages: tuple[PageRuns, ...]


def structure_of(pages: Iterable[Page]) -> Structure:
    """Grow the tree of a paper from its placed blocks."""
    grown = _Growing()
    return Structure(grown.document, tuple([grown.page(at, page) for at, page in enumerate(pages)]))


class _Growing:
    """A tree that grows block by block, and which of its elements may still go on."""

    def __init__(self) -> None:
        self.document = Node(None)
        self._begun: list[Node] = []
        self._shapes: list[Run] = []
        self._texts: list[Run] = []
        self._owners: list[Node] = []

    def page(self, at: int, page: Page) -> PageRuns:
        """Take in the blocks of a page."""
        self._shapes, self._texts, self._owners = [], [], []
        for placed in page:
            if placed.block.marks:
                inside = None if placed.aside else self._enter(placed)
                self._take(placed.block.marks, inside, placed, at)
        return PageRuns(tuple(self._shapes), tuple(self._texts), tuple(self._owners))

    def _enter(self, placed: Placed) -> Node:
        """Give the element in which a block's own marks stand, begun where it does not go on."""
        block = placed.block
        kept = shared_depth(block, [node.kind for node in self._begun if node.kind])
        del self._begun[kept:]
        for kind in block.within[kept:]:
            around = self._begun[-1] if self._begun else self.document
            self._begun.append(around.begin(kind))
        return self._begun[-1] if self._begun else self.document

    def _take(self, marks: Iterable[Mark], inside: Node | None, placed: Placed, page: int) -> None:
        loose: Node | None = None
        for mark in marks:
            if isinstance(mark, Element):
                loose = None
                self._take(mark.marks, self._within(mark, inside), placed, page)
                continue
            node = inside
            if isinstance(mark, Text) and inside is not None and (inside.kind is None or inside.kind in _HOLDERS):
                node = loose = loose or inside.begin(Kind.PARAGRAPH)
            self._paint(mark, node, placed, page)

    @staticmethod
    def _within(element: Element, inside: Node | None) -> Node | None:
        """Give the node of an element; a figure is one whole, and what is only seen has none."""
        if inside is None or inside.kind is Kind.FIGURE:
            return inside
        return inside.begin(element.kind, element.said, element.columns)

    def _paint(self, mark: Leaf, node: Node | None, placed: Placed, page: int) -> None:
        """Put a mark into the run that it goes on with, or begin one."""
        is_text = isinstance(mark, Text)
        if not is_text and (node is None or node.kind is not Kind.FIGURE):
            node = None
        runs = self._texts if is_text else self._shapes
        if not runs or runs[-1].node is not node:
            runs.append(self._begin(node, page))
        runs[-1].marks.append((placed.x, placed.y, mark))

    def _begin(self, node: Node | None, page: int) -> Run:
        if node is None:
            return Run(page, None, None)
        run = Run(page, len(self._owners), node)
        self._owners.append(node)
        node.inner.append(run)
        return run
