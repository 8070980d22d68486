"""Lines: as wide as they may be, and never a letter lost."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase.pdfmetrics import stringWidth

from shopledger.paperwork.typeset import BODY, STRONG, lines_of, shortened, width_of

WORDS = st.text(alphabet="abcde ÁŁж.-", max_size=120).map(lambda text: " ".join(text.split()))


@given(WORDS, st.floats(20, 200))
def test_lines_keep_their_width_and_every_letter(text: str, width: float) -> None:
    """No line is wider than asked, and the lines together hold the same letters in the same order."""
    lines = lines_of(text, width, BODY)
    assert all(width_of(line, BODY) <= width for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_width_is_what_the_pdf_library_measures() -> None:
    """Our own sum of letter widths agrees with the library that paints them."""
    for style in (BODY, STRONG):
        width_of("", style)
        assert abs(width_of("Čeština 1,299.95", style) - stringWidth("Čeština 1,299.95", style.font, style.size)) < 1e-6


def test_line_ends_are_kept() -> None:
    """A text's own lines stay lines."""
    assert lines_of("one\ntwo", 200, BODY) == ["one", "two"]


def test_words_are_broken_only_when_wider_than_the_line() -> None:
    """Words move to the next line whole."""
    wide = width_of("spectacle", BODY)
    assert lines_of("a spectacle shop", wide + 1, BODY) == ["a", "spectacle", "shop"]


def test_shortening_ends_in_an_ellipsis_that_fits() -> None:
    """What does not fit is cut with an ellipsis; what fits is left alone."""
    cut = shortened("a very long name indeed", 60, BODY)
    assert cut.endswith("…")
    assert width_of(cut, BODY) <= 60
    assert shortened("short", 60, BODY) == "short"
