"""The papers' font: what it covers, what it refuses, and what is left out of a text."""

from __future__ import annotations

import unicodedata

import pytest

from shopledger.paperwork.fonts import faces, missing_glyphs, printable, respelled
from shopledger.paperwork.refusals import MissingGlyphError
from shopledger.places import templates_folder
from tests.paperwork.samples import receipt

# Names made up from common given names of each language.
COVERED = [
    "José Müller Ærø",
    "Nguyễn Thị Ánh Nguyệt",
    "Łukasz Żółć",
    "Jiří Šťastný",
    "Şeyda Gökçe",
    "Иван Щербак",
    "Ἀλέξανδρος",
]


@pytest.mark.parametrize("name", COVERED)
def test_the_font_covers_latin_greek_and_cyrillic(name: str) -> None:
    """Names in these scripts print, in both weights, however they were typed."""
    assert missing_glyphs(name) == ()
    assert printable(unicodedata.normalize("NFD", name)) == unicodedata.normalize("NFC", name)


def test_every_vietnamese_letter_is_covered() -> None:
    """All of the block of Latin letters with two marks (Unicode U+1EA0 to U+1EF9, used by Vietnamese) can be set."""
    assert missing_glyphs("".join(map(chr, range(0x1EA0, 0x1EFA)))) == ()


@pytest.mark.parametrize(("name", "missing"), [("李小龍", "李"), ("नेहा", "न"), ("Ann 𓀀", "𓀀")])
def test_a_letter_without_a_glyph_is_refused_by_name(name: str, missing: str) -> None:
    """A letter that would print as a box is refused with its code and Unicode name."""
    with pytest.raises(MissingGlyphError) as refused:
        printable(name)
    assert missing in refused.value.missing
    assert f"U+{ord(missing):04X} {unicodedata.name(missing)}" in str(refused.value)


@pytest.mark.parametrize("name", ["محمد", "דוד"])
def test_right_to_left_writing_is_refused(name: str) -> None:
    """Letters that would come out in the wrong order are refused although glyphs exist for them."""
    with pytest.raises(MissingGlyphError):
        printable(name)


def test_only_the_first_three_letters_are_named() -> None:
    """A long text in another script is refused in one readable line."""
    assert "and 2 more" in str(MissingGlyphError("李小龍王明", tuple("李小龍王明")))


def test_invisible_characters_are_left_out() -> None:
    """Control and direction characters have no look; tabs are spaces; line ends stay."""
    assert printable("A\x00n\u202en\u200b\tB \n C") == "Ann B \n C"


def test_a_spelling_stands_in_for_what_cannot_be_set() -> None:
    """A name that the font cannot set is printed as the given spelling, wherever it stands in the content."""
    content = receipt(wearer="李小龍", wording="For 李小龍 only")
    said = respelled(content, {"李小龍": "Li Xiaolong"})
    assert (said.wearer, said.wording) == ("Li Xiaolong", "For Li Xiaolong only")


def test_a_spelling_does_not_touch_what_can_be_set() -> None:
    """A spelling is used only in texts that need one."""
    assert respelled(("Łódź",), {"Łódź": "Lodz"}) == ("Łódź",)


def test_faces_are_read_once() -> None:
    """The fonts are read and registered once in a process."""
    assert faces() is faces()


def test_the_licence_travels_with_the_fonts() -> None:
    """The licence that the fonts' owners ask for lies beside them."""
    licence = (templates_folder() / "fonts" / "LICENCE.txt").read_text(encoding="utf-8")
    assert "Bitstream Vera Fonts Copyright" in licence
    assert "Arev Fonts Copyright" in licence
