"""Placed blocks become a PDF: the same bytes each time, tagged, with a title, a language and only embedded fonts."""

from __future__ import annotations

from collections.abc import Sequence
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
from shopledger.paperwork.fonts import faces
from shopledger.paperwork.marks import Box, Circle, Leaf, Outline, Picture, Rule, Text, Trail
from shopledger.paperwork.structure import PageRuns, structure_of
from shopledger.paperwork.tagging import TaggedCanvas
from shopledger.paperwork.typeset import Ink


@dataclass(frozen=True, slots=True)
class Document:
    """A paper ready to be painted: its size in points, what a reader program shows about it, and its pages."""

    title: str
    author: str
    subject: str
    language: str
    day: str
    """The day that the file is dated by, as ISO text."""
    width: float
    height: float
    pages: tuple[Page, ...]
    actual_size: bool = False
    """Whether something on it is to be measured, so that it must not be printed larger or smaller."""


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
    structure = structure_of(document.pages)
    canvas = TaggedCanvas(out, (document.width, document.height), document.language)
    canvas.tell(document.day, document.title, document.author, document.subject)
    if document.actual_size:
        canvas.ask_for_actual_size()
    for runs in structure.pages:
        _paint(canvas, runs, document.height)
        canvas.showPage()
    canvas.add_structure(structure)
    canvas.save()
    return out.getvalue()


def _paint(canvas: TaggedCanvas, runs: PageRuns, height: float) -> None:
    """Paint shapes first and texts over them, each in the order of reading."""
    for run in runs.shapes:
        with canvas.belonging(run):
            for dx, dy, mark in run.marks:
                _draw(mark, canvas, dx, height - dy)
    _write(canvas, runs, height)


def _write(canvas: TaggedCanvas, runs: PageRuns, height: float) -> None:
    """Set all texts of the page as one text object, changing font and grey only where they change."""
    pen = canvas.text()
    style = None
    for run in runs.texts:
        pen.open(run)
        last = len(run.marks) - 1
        for at, (dx, dy, mark) in enumerate(run.marks):
            if isinstance(mark, Text):
                if mark.style != style:
                    style = mark.style
                    pen.setFont(style.font, style.size)
                    _fill(pen, style.ink)
                pen.setTextOrigin(dx + mark.x, height - dy - mark.y)
                # The lines of one text are read on: a space stands where they were broken.
                pen.textOut(mark.text if at == last else f"{mark.text} ")
        pen.close()
    canvas.drawText(pen)


@singledispatch
def _draw(mark: Leaf, canvas: Canvas, left: float, top: float) -> None:
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
