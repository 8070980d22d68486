"""Placed blocks become a PDF: the same bytes each time, with a title, a language and only embedded fonts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import singledispatch
from io import BytesIO
from pathlib import Path

from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject
from reportlab.pdfgen.textobject import PDFTextObject

from shopledger.files.writing import written_whole
from shopledger.paperwork.flow import Page
from shopledger.paperwork.fonts import REGULAR, faces
from shopledger.paperwork.marks import Box, Circle, Mark, Outline, Picture, Rule, Text, Trail
from shopledger.paperwork.typeset import Ink


@dataclass(frozen=True, slots=True)
class Document:
    """A paper ready to be painted: its size in points, what a reader program shows about it, and its pages."""

    title: str
    author: str
    subject: str
    language: str
    width: float
    height: float
    pages: tuple[Page, ...]


def save(document: Document, target: Path) -> Path:
    """Write the paper as a PDF, whole or not at all; give back where it lies."""
    content = painted(document)
    with written_whole(target) as draft:
        draft.write_bytes(content)
    return target


def painted(document: Document) -> bytes:
    """Give the PDF's bytes: the same document always gives the same ones."""
    faces()
    out = BytesIO()
    canvas = Canvas(
        out,
        pagesize=(document.width, document.height),
        invariant=1,
        initialFontName=REGULAR,  # type: ignore[arg-type] # the stubs take the name for a number
        lang=document.language,
    )
    canvas.setTitle(document.title)
    canvas.setAuthor(document.author)
    canvas.setSubject(document.subject)
    canvas.setCreator("shopledger")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    for page in document.pages:
        _paint(canvas, page, document.height)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _paint(canvas: Canvas, page: Page, height: float) -> None:
    """Paint shapes first and texts over them, each in the order of reading."""
    for dx, dy, mark in _marks(page):
        if not isinstance(mark, Text):
            _draw(mark, canvas, dx, height - dy)
    _write(canvas, page, height)


def _marks(page: Page) -> Iterator[tuple[float, float, Mark]]:
    for placed in page:
        for mark in placed.block.marks:
            yield placed.x, placed.y, mark


def _write(canvas: Canvas, page: Page, height: float) -> None:
    """Set all texts of the page as one text object, changing font and grey only where they change."""
    pen = canvas.beginText()
    style = None
    for dx, dy, mark in _marks(page):
        if isinstance(mark, Text):
            if mark.style != style:
                style = mark.style
                pen.setFont(style.font, style.size)
                _fill(pen, style.ink)
            pen.setTextOrigin(dx + mark.x, height - dy - mark.y)
            pen.textOut(mark.text)
    canvas.drawText(pen)


@singledispatch
def _draw(mark: Mark, canvas: Canvas, left: float, top: float) -> None:
    """Paint one shape; `left` and `top` are its block's corner with y upward."""
    raise NotImplementedError(type(mark))


@_draw.register
def _(mark: Rule, canvas: Canvas, left: float, top: float) -> None:
    _pen(canvas, mark.width, mark.ink, mark.dashes)
    canvas.line(left + mark.x0, top - mark.y0, left + mark.x1, top - mark.y1)


@_draw.register
def _(mark: Box, canvas: Canvas, left: float, top: float) -> None:
    _pen(canvas, mark.line, mark.ink)
    if mark.fill is not None:
        _fill(canvas, mark.fill)
    y = top - mark.y - mark.height
    canvas.rect(left + mark.x, y, mark.width, mark.height, stroke=int(mark.line > 0), fill=int(mark.fill is not None))


@_draw.register
def _(mark: Circle, canvas: Canvas, left: float, top: float) -> None:
    _pen(canvas, mark.width, mark.ink, mark.dashes)
    if mark.fill is not None:
        _fill(canvas, mark.fill)
    canvas.circle(left + mark.x, top - mark.y, mark.radius, stroke=int(mark.width > 0), fill=int(mark.fill is not None))


@_draw.register
def _(mark: Outline, canvas: Canvas, left: float, top: float) -> None:
    _pen(canvas, mark.width, mark.ink)
    if mark.fill is not None:
        _fill(canvas, mark.fill)
    path = _path(canvas, mark.points, left, top)
    path.close()
    canvas.drawPath(path, stroke=1, fill=int(mark.fill is not None))


@_draw.register
def _(mark: Trail, canvas: Canvas, left: float, top: float) -> None:
    _pen(canvas, mark.width, mark.ink, mark.dashes)
    canvas.drawPath(_path(canvas, mark.points, left, top), stroke=1, fill=0)


def _path(canvas: Canvas, points: Sequence[tuple[float, float]], left: float, top: float) -> PDFPathObject:
    path = canvas.beginPath()
    (x, y), *rest = points
    path.moveTo(left + x, top - y)
    for x, y in rest:
        path.lineTo(left + x, top - y)
    return path


@_draw.register
def _(mark: Picture, canvas: Canvas, left: float, top: float) -> None:
    from PIL import Image  # noqa: PLC0415 - only papers with a logo need it

    pixels = mark.pixels
    picture = ImageReader(Image.frombytes("RGB", (pixels.width, pixels.height), pixels.rgb))
    canvas.drawImage(picture, left + mark.x, top - mark.y - mark.height, mark.width, mark.height)


def _fill(pen: Canvas | PDFTextObject, ink: Ink) -> None:
    if isinstance(ink, tuple):
        pen.setFillColorRGB(*ink)
    else:
        pen.setFillGray(ink)


def _pen(canvas: Canvas, width: float, ink: Ink, dashes: tuple[float, ...] = ()) -> None:
    canvas.setLineWidth(width)
    if isinstance(ink, tuple):
        canvas.setStrokeColorRGB(*ink)
    else:
        canvas.setStrokeGray(ink)
    canvas.setDash(list(dashes))
