"""Papers for the archive: the same pages as PDF/A-2A (ISO 19005-2), which a reader can open in decades.

Needs the extra `archive`. The file gains a colour profile and metadata, and nothing on its pages changes; the same
paper gives the same bytes.

The sRGB colour profile in it is written here byte by byte so that it never changes: ICC version 2 (ICC.1:2001-04) with
the primaries and the curve of IEC 61966-2-1; both from memory, and proved by a second program in the tests.
"""

from __future__ import annotations

import struct
from base64 import a85encode
from collections.abc import Iterator, Sequence
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING, Final

from shopledger.paperwork.refusals import ArchiveExtraMissingError, NotArchivableError

if TYPE_CHECKING:
    from pikepdf import Dictionary, Object, Pdf, Stream

_FORBIDDEN_IN_ROOT: Final = ("/OpenAction", "/AA", "/AcroForm", "/OCProperties", "/Names")
"""What makes a file depend on actions, forms, layers or files inside it; no paper of the shop has any."""
_WHITE_D50: Final = (0.9642, 1.0, 0.8249)
_RED: Final = (0.4361, 0.2225, 0.0139)
_GREEN: Final = (0.3851, 0.7169, 0.0971)
_BLUE: Final = (0.1431, 0.0606, 0.7141)
"""Primaries as seen under D50, so that they add up to its white."""
_STEPS: Final = 1024
_HEADER: Final = 128
NAME: Final = "sRGB IEC61966-2.1"


def as_archive(pdf: bytes) -> bytes:
    """Give a paper's bytes as PDF/A-2A.

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
    return _with_clear_ends(out)


def _with_clear_ends(saved: BytesIO) -> bytes:
    """Write in letters (ASCII85) each stream whose bytes happen to end with a carriage return; most files have none.

    A line's end stands behind the bytes of a stream (ISO 19005-2, 6.1.7.1); a reader would take both for one, and the
    stream for a byte shorter than it says.
    """
    import pikepdf  # noqa: PLC0415 - as above

    with pikepdf.open(saved) as pdf:
        unclear = [part for part in pdf.objects if isinstance(part, pikepdf.Stream) and _ends_a_line(part)]
        if not unclear:
            return saved.getvalue()
        for stream in unclear:
            letters = a85encode(stream.read_raw_bytes()) + b"~>"
            known = stream.get("/Filter")
            filters = [] if known is None else list(known) if isinstance(known, pikepdf.Array) else [known]
            stream.write(letters, filter=pikepdf.Array([pikepdf.Name.ASCII85Decode, *filters]))
        out = BytesIO()
        # What was compressed stays so, and what is spelt out is not compressed again.
        pdf.save(out, deterministic_id=True, min_version="1.7", linearize=False, compress_streams=False)
        return out.getvalue()


def _ends_a_line(stream: Stream) -> bool:
    return bytes(stream.read_raw_bytes()).endswith(b"\r")


def _problems(pdf: Pdf) -> Iterator[str]:
    """Say what stands in the way: everything that PDF/A-2A forbids and a paper of the shop could have."""
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
        metadata["pdfaid:conformance"] = "A"


@cache
def srgb_profile() -> bytes:
    """Give the profile's bytes."""
    curve = _curve()
    tags = (
        (b"cprt", b"text\0\0\0\0" + b"No copyright is claimed.\0"),
        (b"desc", _description(NAME)),
        (b"wtpt", _xyz(_WHITE_D50)),
        (b"rXYZ", _xyz(_RED)),
        (b"gXYZ", _xyz(_GREEN)),
        (b"bXYZ", _xyz(_BLUE)),
        (b"rTRC", curve),
        (b"gTRC", curve),
        (b"bTRC", curve),
    )
    body, table = _laid_out(tags)
    return _header(_HEADER + len(table) + len(body)) + table + body


def _laid_out(tags: Sequence[tuple[bytes, bytes]]) -> tuple[bytes, bytes]:
    """Put the tags' contents one after another, equal ones once, and give the table that points at them."""
    start = _HEADER + 4 + 12 * len(tags)
    body = b""
    places: dict[bytes, int] = {}
    table = struct.pack(">I", len(tags))
    for name, content in tags:
        if content not in places:
            places[content] = start + len(body)
            body += content + b"\0" * (-len(content) % 4)
        table += name + struct.pack(">II", places[content], len(content))
    return body, table


def _header(size: int) -> bytes:
    """Give the header: a display profile from RGB to XYZ, dated as every paper of the shop is."""
    made = struct.pack(">6H", 2000, 1, 1, 0, 0, 0)
    white = struct.pack(">3i", *(_fixed(part) for part in _WHITE_D50))
    fields = (
        struct.pack(">I", size), b"\0\0\0\0", struct.pack(">I", 0x02100000), b"mntr", b"RGB ", b"XYZ ", made, b"acsp",
        b"\0" * 28, white,
    )  # fmt: skip
    return b"".join(fields).ljust(_HEADER, b"\0")


def _fixed(value: float) -> int:
    """Write a number with sixteen binary places."""
    return round(value * 65536)


def _xyz(values: Sequence[float]) -> bytes:
    return b"XYZ \0\0\0\0" + struct.pack(">3i", *(_fixed(value) for value in values))


def _curve() -> bytes:
    """Give light for each step of the code value: a straight start, then a power."""
    codes = (at / (_STEPS - 1) for at in range(_STEPS))
    light = (code / 12.92 if code <= 0.04045 else ((code + 0.055) / 1.055) ** 2.4 for code in codes)
    return b"curv\0\0\0\0" + struct.pack(f">I{_STEPS}H", _STEPS, *(round(value * 65535) for value in light))


def _description(name: str) -> bytes:
    """Give a description in ASCII with empty parts for other writing."""
    text = name.encode("ascii") + b"\0"
    return b"desc\0\0\0\0" + struct.pack(">I", len(text)) + text + b"\0" * 8 + b"\0" * 3 + b"\0" * 67
