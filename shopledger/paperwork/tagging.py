"""A canvas whose PDF tells reader programs what is what: tree, language, title and day, beside the ink on its pages.

Follows ISO 32000-1, 14.6 to 14.8 for marked content and structure, and ISO 14289-1 (PDF/UA-1) for what such a file has
to say of itself; the latter is known from checking programs' rules, since it was not read.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from io import BytesIO
from typing import Any, Final
from xml.sax.saxutils import escape

from reportlab.pdfbase import pdfdoc
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.textobject import PDFTextObject

from shopledger.paperwork.fonts import REGULAR
from shopledger.paperwork.marks import Kind
from shopledger.paperwork.structure import Node, Run, Structure

_VERSION: Final = (1, 7)
"""PDF 1.7, which is ISO 32000-1."""
_HOUR: Final = "12:00:00"
"""Papers are dated by the day: at noon of Greenwich it is the same day nearly everywhere."""
_DOCUMENT: Final = "Document"
_BYTE_ORDER: Final = "\ufeff"


class TaggedText(PDFTextObject):
    """A text object in which stretches of text belong to elements."""

    _code: list[str]

    def open(self, run: Run) -> None:
        """Begin a stretch that belongs to the element of a run, or to none."""
        self._code.append(_opening(run))

    def close(self) -> None:
        """End the stretch."""
        self._code.append("EMC")


class TaggedCanvas(Canvas):
    """A canvas that gives the same bytes for the same paper, and writes the paper's structure into them."""

    _doc: Any
    """The file, which the stubs do not know."""

    def __init__(self, out: BytesIO, size: tuple[float, float], language: str) -> None:
        """Begin an empty file; sizes are in points."""
        super().__init__(
            out,
            pagesize=size,
            invariant=1,
            pdfVersion=_VERSION,
            initialFontName=REGULAR,  # type: ignore[arg-type] # the stubs take the name for a number
            lang=language,
        )
        # Otherwise the file's identifier would depend on a variable of the environment.
        self._doc.signature = hashlib.md5(usedforsecurity=False)

    def text(self) -> TaggedText:
        """Give an empty text object."""
        return TaggedText(self)

    @contextmanager
    def belonging(self, run: Run) -> Iterator[None]:
        """Let what is drawn belong to the element of a run, or to none."""
        self.addLiteral(_opening(run))
        yield
        self.addLiteral("EMC")

    def tell(self, day: str, title: str, author: str, subject: str) -> None:
        """Say in the file what it is and of which day, an ISO one: in short, and as metadata (ISO 16684-1)."""
        self.setTitle(title)
        self.setAuthor(author)
        self.setSubject(subject)
        self.setCreator("shopledger")
        made = f"D:{day.replace('-', '')}{_HOUR.replace(':', '')}Z"
        self.setDateFormatter(lambda *_: made)
        self.setViewerPreference("DisplayDocTitle", "true")
        stream = pdfdoc.PDFStream(
            pdfdoc.PDFDictionary({"Type": pdfdoc.PDFName("Metadata"), "Subtype": pdfdoc.PDFName("XML")}),
            _metadata(f"{day}T{_HOUR}Z", title, author, subject, str(self._doc.info.producer)).encode(),
        )
        self._doc.Catalog.Metadata = stream

    def ask_for_actual_size(self) -> None:
        """Ask printing programs not to shrink or enlarge the pages."""
        self.setViewerPreference("PrintScaling", "None")

    def add_structure(self, structure: Structure) -> None:
        """Write the tree, once all pages are painted."""
        pages = self._doc.Pages.pages
        for at, page in enumerate(pages):
            page.StructParents = at
            page.__NoDefault__ = [*page.__NoDefault__, "StructParents"]
        catalog = self._doc.Catalog
        catalog.MarkInfo = pdfdoc.PDFDictionary({"Marked": "true"})
        catalog.StructTreeRoot = _Tree(self._doc, structure, pages).root()


def _opening(run: Run) -> str:
    """Give the operator that begins marked content (ISO 32000-1, 14.6)."""
    if run.node is None or run.node.kind is None:
        return "/Artifact BMC"
    return f"/{run.node.kind.value[0]} <</MCID {run.number}>> BDC"


class _Written(pdfdoc.PDFObject):
    """An object whose text is known once all objects have their numbers."""

    text = ""

    def format(self, document: pdfdoc.PDFDocument) -> bytes:
        """Give the text as bytes."""
        del document
        return self.text.encode("latin-1")


class _Tree:
    """The objects of a structure tree (ISO 32000-1, 14.7.2 to 14.7.4)."""

    def __init__(self, document: Any, structure: Structure, pages: Sequence[object]) -> None:  # noqa: ANN401 - a part of reportlab without types
        self._document = document
        self._structure = structure
        self._pages = [self._number(page) for page in pages]
        self._objects = [(node, _Written()) for node in structure.document.nodes()]
        self._numbers = {id(node): self._number(written) for node, written in self._objects}

    def _number(self, thing: object) -> int:
        """Give the number of an object in the file, which it gets here if it has none yet."""
        reference = self._document.Reference(thing)
        return int(self._document.idToObjectNumberAndVersion[reference.name][0])

    def root(self) -> _Written:
        """Write all elements and give the root above them."""
        root = _Written()
        above = {id(inner): self._numbers[id(node)] for node, _ in self._objects for inner in node.inner}
        above[id(self._structure.document)] = self._number(root)
        for node, written in self._objects:
            written.text = self._element(node, above[id(node)])
        top = self._numbers[id(self._structure.document)]
        parents = " ".join(f"{at} [{self._parents(at)}]" for at in range(len(self._pages)))
        root.text = (
            f"<</Type /StructTreeRoot /K {top} 0 R /ParentTree <</Nums [{parents}]>>"
            f" /ParentTreeNextKey {len(self._pages)}>>"
        )
        return root

    def _parents(self, page: int) -> str:
        """Give the element of each run of a page, by the runs' numbers."""
        return " ".join(f"{self._numbers[id(node)]} 0 R" for node in self._structure.pages[page].owners)

    def _element(self, node: Node, above: int) -> str:
        name = node.kind.value[0] if node.kind else _DOCUMENT
        said = f" /Alt {_string(node.said)}" if node.kind is Kind.FIGURE else ""
        return f"<</Type /StructElem /S /{name} /P {above} 0 R{said}{_attributes(node)}{self._inner(node)}>>"

    def _inner(self, node: Node) -> str:
        """Give what stands in an element; the page is said once where all of it is on one."""
        runs = [inner.page for inner in node.inner if isinstance(inner, Run)]
        page = runs[0] if runs else None
        kids = []
        for inner in node.inner:
            if isinstance(inner, Node):
                kids.append(f"{self._numbers[id(inner)]} 0 R")
            elif inner.page == page:
                kids.append(str(inner.number))
            else:
                kids.append(f"<</Type /MCR /Pg {self._pages[inner.page]} 0 R /MCID {inner.number}>>")
        on = "" if page is None else f" /Pg {self._pages[page]} 0 R"
        return f"{on} /K [{' '.join(kids)}]" if kids else on


def _attributes(node: Node) -> str:
    scope = node.kind.value[1] if node.kind else ""
    said = f" /Scope /{scope}" if scope else ""
    said += f" /ColSpan {node.columns}" if node.columns > 1 else ""
    return f" /A <</O /Table{said}>>" if said else ""


def _string(text: str) -> str:
    """Write text as a string of hexadecimal UTF-16 (ISO 32000-1, 7.9.2.2)."""
    return f"<{(_BYTE_ORDER + text).encode('utf-16-be').hex()}>"


def _metadata(made: str, title: str, author: str, subject: str, producer: str) -> str:
    """Say title, author, subject and day, and that the file follows PDF/UA-1, with what that field means."""
    return (
        f'<?xpacket begin="{_BYTE_ORDER}" id="W5M0MpCehiHzreSzNTczkc9d"?>\n'
        '<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">\n'
        '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"'
        ' xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/"'
        ' xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/"'
        ' xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"'
        ' xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#"'
        ' xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">\n'
        f'<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{escape(title)}</rdf:li></rdf:Alt></dc:title>\n'
        f"<dc:creator><rdf:Seq><rdf:li>{escape(author)}</rdf:li></rdf:Seq></dc:creator>\n"
        f'<dc:description><rdf:Alt><rdf:li xml:lang="x-default">{escape(subject)}</rdf:li></rdf:Alt></dc:description>\n'
        f"<xmp:CreateDate>{made}</xmp:CreateDate><xmp:ModifyDate>{made}</xmp:ModifyDate>"
        f"<xmp:CreatorTool>shopledger</xmp:CreatorTool><pdf:Producer>{escape(producer)}</pdf:Producer>\n"
        "<pdfuaid:part>1</pdfuaid:part>\n"
        '<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">'
        "<pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>"
        "<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>"
        "<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>"
        '<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">'
        "<pdfaProperty:name>part</pdfaProperty:name><pdfaProperty:valueType>Integer</pdfaProperty:valueType>"
        "<pdfaProperty:category>internal</pdfaProperty:category>"
        "<pdfaProperty:description>Part of ISO 14289 that the file follows</pdfaProperty:description>"
        "</rdf:li></rdf:Seq></pdfaSchema:property></rdf:li></rdf:Bag></pdfaExtension:schemas>\n"
        '</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end="w"?>\n'
    )
