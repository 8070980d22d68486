"""Papers for the archive: the same pages as PDF/A-2B (ISO 19005-2), which a reader can open in decades.

Needs the extra `archive`. The file gains a colour profile and metadata, and nothing on its pages changes; the same
paper gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from typing import TYPE_CHECKING, Final

from shopledger.paperwork.refusals import ArchiveExtraMissingError, NotArchivableError
from shopledger.paperwork.srgb import NAME, srgb_profile

if TYPE_CHECKING:
    from pikepdf import Dictionary, Object, Pdf

_FORBIDDEN_IN_ROOT: Final = ("/OpenAction", "/AA", "/AcroForm", "/OCProperties", "/Names")
"""What makes a file depend on actions, forms, layers or files inside it; no paper of the shop has any."""


def as_archive(pdf: bytes) -> bytes:
    """Give a paper's bytes as PDF/A-2B.

    Raises ArchiveExtraMissingError without the extra, NotArchivableError for a file that cannot become one.
    """
    try:
        import pikepdf  # noqa: PLC0415 - an extra: the program runs without it
    except ImportError as error:
        raise ArchiveExtraMissingError from error
    try:
        opened = pikepdf.open(BytesIO(pdf))
    except (pikepdf.PdfError, pikepdf.PasswordError) as error:
        raise NotArchivableError("it is no PDF that can be read") from error
    with opened:
        problem = next(_problems(opened), None)
        if problem:
            raise NotArchivableError(problem)
        _name_colours(opened)
        _tell_conformance(opened)
        out = BytesIO()
        opened.save(out, deterministic_id=True, min_version="1.7", linearize=False)
        return out.getvalue()


def _problems(pdf: Pdf) -> Iterator[str]:
    """Say what stands in the way: everything that PDF/A-2B forbids and a paper of the shop could have."""
    if pdf.is_encrypted:
        yield "it is encrypted"
    for key in _FORBIDDEN_IN_ROOT:
        if key in pdf.Root:
            yield f"it holds {key[1:]}, which depends on more than the page"
    for number, page in enumerate(pdf.pages, start=1):
        for name, font in _fonts(page.obj):
            if not _is_embedded(font):
                yield f"the font {name} on page {number} is not embedded"
        if "/Annots" in page.obj:
            yield f"page {number} holds notes or links"


def _fonts(page: Dictionary) -> Iterator[tuple[str, Object]]:
    resources = page.get("/Resources")
    fonts = resources.get("/Font") if resources is not None else None
    for key, font in fonts.items() if fonts is not None else ():
        yield str(font.get("/BaseFont", key)).lstrip("/"), font


def _is_embedded(font: Object) -> bool:
    descriptor = font.get("/FontDescriptor")
    return descriptor is not None and any(key in descriptor for key in ("/FontFile", "/FontFile2", "/FontFile3"))


def _name_colours(pdf: Pdf) -> None:
    """Say what the page's greys and colours mean, by a profile inside the file."""
    from pikepdf import Array, Dictionary, Name, Stream, String  # noqa: PLC0415 - as above

    profile = Stream(pdf, srgb_profile())
    profile.N = 3
    intent = Dictionary(
        Type=Name.OutputIntent,
        S=Name.GTS_PDFA1,
        OutputConditionIdentifier=String(NAME),
        Info=String(NAME),
        RegistryName=String("http://www.color.org"),
        DestOutputProfile=pdf.make_indirect(profile),
    )
    pdf.Root.OutputIntents = Array([pdf.make_indirect(intent)])


def _tell_conformance(pdf: Pdf) -> None:
    """Write title, author and days into the metadata as they stand in the file, and which standard it follows."""
    if "/Trapped" in pdf.docinfo:
        del pdf.docinfo["/Trapped"]  # The metadata has no field for it.
    with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=True) as metadata:
        metadata.load_from_docinfo(pdf.docinfo, delete_missing=False, raise_failure=False)
        metadata["pdfaid:part"] = "2"
        metadata["pdfaid:conformance"] = "B"
