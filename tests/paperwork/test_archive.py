"""Archive files: PDF/A-2A by a second program's judgement, the same bytes each time, nothing lost from the page."""

from __future__ import annotations

import builtins
import zlib
from io import BytesIO
from pathlib import Path
from typing import Any

import page
import pikepdf
import pytest
from PIL import Image, ImageCms
from pypdf import PdfReader
from reportlab.pdfgen.canvas import Canvas

from shopledger.errors import PaperworkError
from shopledger.paperwork.archive import _with_clear_ends, as_archive, srgb_profile
from shopledger.paperwork.page import painted
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.refusals import ArchiveExtraMissingError, NotArchivableError
from shopledger.paperwork.wording import read_wording
from shopledger.places import templates_folder
from tests.paperwork.reading import sample_files
from tests.paperwork.samples import long_receipt, receipt


def failures(pdf: bytes) -> list[str]:
    """Give what the page-validation program holds against a file as PDF/A-2A."""
    return [f"{failure.rule_id}: {failure.message}" for failure in page.validate_pdf_bytes(pdf, profile="2a").failures]


def test_every_paper_validates_as_pdf_a_2a(tmp_path: Path) -> None:
    """The referee finds nothing wrong with any paper, and finds something before it was made one for the archive."""
    for file in sample_files(tmp_path).values():
        plain = file.read_bytes()
        assert failures(plain) != []
        assert failures(as_archive(plain)) == []


def test_a_paper_with_a_logo_and_colours_validates(tmp_path: Path) -> None:
    """Pictures and colours are covered by the profile."""
    Image.new("RGB", (120, 60), "navy").save(tmp_path / "logo.png")
    (tmp_path / "papers").mkdir()
    text = (templates_folder() / "papers" / "receipt.toml").read_text(encoding="utf-8")
    own = text.replace('logo = ""', 'logo = "logo.png"').replace('strip = "#E6E6E6"', 'strip = "#DDEEFF"')
    (tmp_path / "papers" / "receipt.toml").write_text(own, encoding="utf-8")
    document = document_of(RECEIPT, long_receipt(40), wording=read_wording("receipt", tmp_path))
    assert failures(as_archive(painted(document))) == []


def test_the_same_paper_gives_the_same_bytes() -> None:
    """Neither the clock nor chance leaves a trace."""
    plain = painted(document_of(RECEIPT, receipt()))
    assert as_archive(plain) == as_archive(plain)


def test_bytes_that_end_like_a_line_are_spelt_out() -> None:
    """A carriage return at the end of a stream would be taken for the line's end behind it: none is left so."""
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        for body, name in ((b"q Q\r", "/Bare"), (zlib.compress(b"q Q") + b"\r", "/Packed"), (b"q Q", "/Clear")):
            packed = {"/Filter": pikepdf.Name.FlateDecode} if name == "/Packed" else {}
            pdf.Root[name] = pdf.make_stream(body, packed)
        saved = BytesIO()
        pdf.save(saved, compress_streams=False, stream_decode_level=pikepdf.StreamDecodeLevel.none)
    assert b"\r\nendstream" in saved.getvalue()
    written = _with_clear_ends(saved)
    assert b"\r\nendstream" not in written
    with pikepdf.open(BytesIO(written)) as again:
        assert [again.Root[name].read_bytes().strip() for name in ("/Bare", "/Packed", "/Clear")] == [b"q Q"] * 3


def test_pages_language_title_and_author_stay() -> None:
    """What a reader sees, and what a reader program shows, is as it was."""
    plain = painted(document_of(RECEIPT, receipt()))
    before, after = PdfReader(BytesIO(plain)), PdfReader(BytesIO(as_archive(plain)))
    assert [one.extract_text() for one in before.pages] == [one.extract_text() for one in after.pages]
    assert str(after.root_object["/Lang"]) == "en-US"
    assert after.metadata is not None
    assert (after.metadata.title, after.metadata.author) == (
        "Itemized receipt – PAID IN FULL, No. 1042",
        "Quiet Harbour Optical",
    )
    assert after.xmp_metadata is not None
    assert after.xmp_metadata.dc_title == {"x-default": "Itemized receipt – PAID IN FULL, No. 1042"}


def bare() -> bytes:
    """Give a PDF with the font that every reader is supposed to have, not embedded."""
    out = BytesIO()
    canvas = Canvas(out)
    canvas.drawString(72, 72, "words")
    canvas.save()
    return out.getvalue()


def changed(change: str) -> bytes:
    """Give a paper with something that an archive file may not hold."""
    out = BytesIO()
    with pikepdf.open(BytesIO(painted(document_of(RECEIPT, receipt())))) as opened:
        if change == "encryption":
            opened.save(out, encryption=pikepdf.Encryption(owner="owner"))
        elif change == "/Annots":
            opened.pages[0][change] = pikepdf.Array()
            opened.save(out)
        else:
            opened.Root[change] = pikepdf.Dictionary()
            opened.save(out)
    return out.getvalue()


@pytest.mark.parametrize(
    ("pdf", "problem"),
    [
        (b"no pdf", "it is no PDF"),
        (bare(), "the font Helvetica on page 1 is not embedded"),
        (changed("/OpenAction"), "it holds OpenAction"),
        (changed("/AcroForm"), "it holds AcroForm"),
        (changed("/Annots"), "page 1 holds notes or links"),
        (changed("encryption"), "it is encrypted"),
    ],
)
def test_what_cannot_be_archived_is_refused(pdf: bytes, problem: str) -> None:
    """A file from elsewhere is not passed off as one for the archive."""
    with pytest.raises(NotArchivableError) as refused:
        as_archive(pdf)
    assert problem in str(refused.value)


def test_without_the_extra_the_owner_is_told_how_to_install_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Archive files are an extra; without it one sentence says so."""
    whole = builtins.__import__

    def without(name: str, *args: Any, **kwargs: Any) -> Any:  # noqa: ANN401 - as the builtin
        if name == "pikepdf":
            raise ImportError(name)
        return whole(name, *args, **kwargs)

    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(ArchiveExtraMissingError, match=r"-m pip install 'pikepdf") as refused:
        as_archive(b"")
    assert refused.value.exit_code == PaperworkError.exit_code


def test_the_profile_shows_colours_as_a_second_program_does() -> None:
    """Every tenth colour value comes out within two of 255 steps of what the picture library's own sRGB gives."""
    ours = ImageCms.ImageCmsProfile(BytesIO(srgb_profile()))
    theirs = ImageCms.createProfile("sRGB")
    steps = [
        (red, green, blue) for red in range(0, 256, 51) for green in range(0, 256, 51) for blue in range(0, 256, 51)
    ]
    colours = Image.new("RGB", (len(steps), 1))
    colours.putdata(steps)
    seen = ImageCms.profileToProfile(colours, ours, theirs)
    assert seen is not None
    assert max(abs(one - other) for one, other in zip(seen.tobytes(), colours.tobytes(), strict=True)) <= 2
