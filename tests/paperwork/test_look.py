"""Looks: the owner's inks and logo, held to what a black-and-white printer shows."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from shopledger.paperwork.look import PLAIN, Look, read_look
from shopledger.paperwork.marks import Box, Picture, Pixels
from shopledger.paperwork.page import painted
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.papers import PAPERS
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.refusals import TemplateError
from shopledger.paperwork.wording import Wording, read_wording
from shopledger.places import templates_folder
from tests.paperwork.reading import crossing_texts, marks_of, outside, read, sample_files, texts_of
from tests.paperwork.samples import receipt


def own(folder: Path, *changes: tuple[str, str]) -> Path:
    """Give an owner's folder whose receipt wording has some texts exchanged."""
    text = (templates_folder() / "papers" / "receipt.toml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    (folder / "papers").mkdir(exist_ok=True)
    (folder / "papers" / "receipt.toml").write_text(text, encoding="utf-8")
    return folder


def picture(folder: Path, name: str = "logo.png", size: tuple[int, int] = (120, 60), mode: str = "RGB") -> Path:
    """Leave a picture in the owner's folder, of one colour."""
    Image.new(mode, size, 0).save(folder / name)
    return folder


LOGO = ('logo = ""', 'logo = "logo.png"')


@pytest.mark.parametrize("paper", PAPERS)
def test_the_shipped_look_is_black_and_greys(paper: str) -> None:
    """As shipped, no paper needs a colour printer, and none has a logo."""
    look = read_wording(paper).look
    assert (look.accent, look.logo) == (0.0, None)
    assert not isinstance(look.strip, tuple)
    assert not isinstance(look.rule, tuple)


def test_the_owners_inks_are_used(tmp_path: Path) -> None:
    """The strip, the rule and the accent take the colours of the owner's file."""
    folder = own(tmp_path, ("#E6E6E6", "#DDEEFF"), ("#000000", "#003366"))
    words = read_wording("receipt", folder)
    page = document_of(RECEIPT, receipt(), wording=words).pages[0]
    assert (0xDD / 255, 0xEE / 255, 1.0) in {mark.fill for mark in marks_of(page) if isinstance(mark, Box)}
    title = next(text for text in texts_of(page) if text.text == "Itemized receipt")
    assert title.style.ink == (0.0, 0x33 / 255, 0x66 / 255)
    assert painted(document_of(RECEIPT, receipt(), wording=words))


def test_a_wording_without_looks_keeps_the_shipped_ones(tmp_path: Path) -> None:
    """An owner's file from before there were looks is still good."""
    text = (templates_folder() / "papers" / "receipt.toml").read_text(encoding="utf-8")
    start, end = text.index("[look]"), text.index("[titles]")
    (tmp_path / "papers").mkdir()
    (tmp_path / "papers" / "receipt.toml").write_text(text[:start] + text[end:], encoding="utf-8")
    assert read_wording("receipt", tmp_path).look == read_wording("receipt").look


def test_a_logo_stands_at_the_head_and_nothing_touches_it(tmp_path: Path) -> None:
    """Twice as wide as high, it is printed 32 mm by 16 mm above the shop's name, within the margins."""
    words = read_wording("receipt", own(picture(tmp_path), LOGO))
    document = document_of(RECEIPT, receipt(), wording=words)
    (logo,) = [mark for mark in marks_of(document.pages[0]) if isinstance(mark, Picture)]
    assert (logo.width / 72 * 25.4, logo.height / 72 * 25.4) == pytest.approx((32, 16))
    assert outside(document, 43) == []
    assert crossing_texts(document.pages[0]) == []
    assert all(text.extent[1] >= logo.y + logo.height for text in texts_of(document.pages[0]) if text.x < 200)
    assert len(read(document).pages[0].images) == 1


def test_a_logo_gives_the_same_bytes_each_time(tmp_path: Path) -> None:
    """The picture's name in the file comes from what it shows, not from the moment."""
    folder = own(picture(tmp_path), LOGO)
    first, again = (painted(document_of(RECEIPT, receipt(), wording=read_wording("receipt", folder))) for _ in range(2))
    assert first == again


@pytest.mark.parametrize(
    ("name", "mode"), [("logo.png", "RGBA"), ("logo.png", "L"), ("logo.png", "P"), ("logo.jpg", "CMYK")]
)
def test_any_kind_of_png_and_jpeg_is_read(tmp_path: Path, name: str, mode: str) -> None:
    """See-through parts stand on white, and every kind becomes red, green and blue."""
    words = read_wording("receipt", own(picture(tmp_path, name, mode=mode), ('logo = ""', f'logo = "{name}"')))
    assert words.look.logo is not None
    seen = words.look.logo.rgb[:3]
    assert seen == (b"\xff\xff\xff" if mode in {"RGBA", "CMYK"} else b"\0\0\0")


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ("#E6E6E6", "#404040", "too dark for the black words on it"),
        ("#000000", "#BBBBBB", "too pale to be read"),
        ("#B8B8B8", "light grey", "a colour is written like"),
        ('logo_height = "16"', 'logo_height = "90"', "it may be from 5 to 40 mm"),
        ('logo_height = "16"', 'logo_height = "tall"', "it may be from 5 to 40 mm"),
        ('logo = ""', 'logo = "missing.png"', "holds no such file"),
        ('logo = ""', 'logo = "../outside.png"', "lies outside"),
        ('logo = ""', 'logo = "/etc/passwd"', "lies outside"),
        ('logo = ""', 'logo = "notes.png"', "no whole PNG or JPEG picture"),
        ('logo = ""', 'logo = "drawing.gif"', "no whole PNG or JPEG picture"),
        ('logo = ""', 'logo = "half.png"', "no whole PNG or JPEG picture"),
        ('logo = ""', 'logo = "heavy.png"', "at most 2 MB are read"),
        ('logo = ""', 'logo = "vast.png"', "at most 4 million are read"),
    ],
)
def test_a_look_that_would_not_print_is_refused_at_its_line(tmp_path: Path, old: str, new: str, problem: str) -> None:
    """Unreadable inks and pictures that are none, too heavy, too large or elsewhere are named with file and line."""
    folder = tmp_path / "own"
    folder.mkdir()
    picture(tmp_path, "outside.png")
    (folder / "notes.png").write_text("no picture", encoding="utf-8")
    picture(folder, "drawing.gif", mode="P")
    (folder / "half.png").write_bytes(picture(folder, "whole.png").joinpath("whole.png").read_bytes()[:60])
    (folder / "heavy.png").write_bytes(b"\x89PNG" + bytes(2_000_001))
    picture(folder, "vast.png", (4000, 1001), "1")
    with pytest.raises(TemplateError) as refused:
        read_wording("receipt", own(folder, (old, new)))
    assert problem in str(refused.value)
    written = (folder / "papers" / "receipt.toml").read_text(encoding="utf-8").splitlines()
    assert refused.value.line is not None
    assert new in written[refused.value.line - 1]


def test_a_logo_wider_than_its_room_is_refused(tmp_path: Path) -> None:
    """Ten times as wide as high, at 16 mm it would reach into the title; the height is what to change."""
    folder = own(picture(tmp_path, size=(600, 60)), LOGO)
    with pytest.raises(TemplateError, match=r"160 mm wide on the paper; there is room for 80 mm\. Lower it"):
        read_wording("receipt", folder)


def test_contrast_is_held_to_the_published_ratio() -> None:
    """#595959 has 7.0 to 1 on white and passes, #5A5A5A has not (WCAG 2.1, 1.4.6; ratios from its own formula)."""
    entries = {"look.strip": "#FFFFFF", "look.rule": "#FFFFFF", "look.logo": "", "look.logo_height": "16"}
    assert isinstance(read_look({**entries, "look.accent": "#595959"}, None), Look)
    with pytest.raises(ValueError, match="too pale"):
        read_look({**entries, "look.accent": "#5A5A5A"}, None)


def test_a_logo_needs_a_folder_of_the_shops_own() -> None:
    """Without one the name of a file means nothing."""
    entries = {"look.strip": "#FFFFFF", "look.rule": "#FFFFFF", "look.accent": "#000000", "look.logo_height": "16"}
    with pytest.raises(ValueError, match="no templates folder"):
        read_look({**entries, "look.logo": "logo.png"}, None)


def test_every_paper_takes_a_logo(tmp_path: Path) -> None:
    """The head of each paper carries it, on letter and A4."""
    picture(tmp_path)
    (tmp_path / "papers").mkdir()
    for paper in PAPERS:
        text = (templates_folder() / "papers" / f"{paper}.toml").read_text(encoding="utf-8")
        (tmp_path / "papers" / f"{paper}.toml").write_text(text.replace(*LOGO), encoding="utf-8")
    for size in ("letter", "a4"):
        for file in sample_files(tmp_path, tmp_path, size).values():
            assert b"/Image" in file.read_bytes()


def test_words_alone_have_the_plain_look() -> None:
    """A wording made without a look is black and grey."""
    assert Wording({}).look == PLAIN
    assert Look(logo=Pixels(2, 1, bytes(6)), logo_height=10).logo_width == 20
