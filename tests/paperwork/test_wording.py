"""Wording in TOML: the owner's file wins, and a slip in it is refused with its line."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from shopledger.paperwork.papers import PAPERS
from shopledger.paperwork.refusals import TemplateError
from shopledger.paperwork.wording import Wording, kept_wording, read_wording
from shopledger.places import templates_folder

Own = Callable[[str, str], Path]


@pytest.fixture
def own(tmp_path: Path) -> Own:
    """Give a maker of an owner's folder: the shipped receipt wording with one text exchanged for another."""

    def changed(old: str, new: str) -> Path:
        shipped = (templates_folder() / "papers" / "receipt.toml").read_text(encoding="utf-8")
        assert old in shipped
        (tmp_path / "papers").mkdir()
        (tmp_path / "papers" / "receipt.toml").write_text(shipped.replace(old, new, 1), encoding="utf-8")
        return tmp_path

    return changed


def line_of(folder: Path, start: str) -> int:
    """Give the number of the line that begins so."""
    lines = (folder / "papers" / "receipt.toml").read_text(encoding="utf-8").splitlines()
    return next(number for number, line in enumerate(lines, start=1) if line.startswith(start))


def refusal(folder: Path) -> TemplateError:
    """Give the refusal of an owner's wording."""
    with pytest.raises(TemplateError) as refused:
        read_wording("receipt", folder)
    return refused.value


@pytest.mark.parametrize("paper", PAPERS)
def test_shipped_wording_passes_its_own_rules(paper: str, tmp_path: Path) -> None:
    """A plain copy of the shipped file is accepted and says the same."""
    (tmp_path / "papers").mkdir()
    text = (templates_folder() / "papers" / f"{paper}.toml").read_text(encoding="utf-8")
    (tmp_path / "papers" / f"{paper}.toml").write_text(text, encoding="utf-8")
    assert read_wording(paper, tmp_path) == read_wording(paper)


def test_the_owners_file_wins(own: Own) -> None:
    """A text changed in the owner's copy is the one that is printed."""
    folder = own('paid = "Itemized receipt"', 'paid = "Receipt for your plan"')
    assert read_wording("receipt", folder)["titles.paid"] == "Receipt for your plan"


def test_without_an_own_file_the_shipped_one_is_used(tmp_path: Path) -> None:
    """An owner's folder without this paper changes nothing."""
    assert read_wording("receipt", tmp_path) == read_wording("receipt")


def test_an_unknown_key_is_refused_with_its_line_and_the_nearest_key(own: Own) -> None:
    """A misspelt key is shown with its line and what was perhaps meant."""
    folder = own('ein = "Tax ID (EIN) {ein}"', 'ein = "Tax ID (EIN) {ein}"\nfone = "x"')
    error = refusal(folder)
    assert error.line == line_of(folder, "fone")
    assert "there is no key shop.fone" in str(error)
    assert "Did you mean shop.phone" in str(error)


def test_a_missing_key_is_refused_with_what_to_add(own: Own) -> None:
    """A key that was left out is named with its shipped text."""
    error = refusal(own('charges = "Subtotal of charges"\n', ""))
    assert str(error).endswith('the key totals.charges is missing. Add it; as shipped it is "Subtotal of charges".')


def test_broken_toml_is_refused_with_its_line(own: Own) -> None:
    """A file that is no TOML is refused at the line where it breaks."""
    folder = own('number = "No. {number}"', 'number = "No. {number}')
    error = refusal(folder)
    assert error.line == line_of(folder, "number")
    assert "no valid TOML" in str(error)


def test_a_file_that_is_not_utf_8_is_refused(tmp_path: Path) -> None:
    """Text saved in another coding is refused, not guessed at."""
    (tmp_path / "papers").mkdir()
    (tmp_path / "papers" / "receipt.toml").write_bytes('language = "Č"'.encode("cp1250"))
    assert "not written in UTF-8" in str(refusal(tmp_path))


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ('number = "No. {number}"', 'number = "No."', r"titles.number lacks {number}"),
        ('number = "No. {number}"', 'number = "No. {nummer}"', "titles.number holds {nummer}"),
        ('number = "No. {number}"', 'number = "No. {number.real}"', "titles.number holds {number.real}"),
        ('number = "No. {number}"', 'number = "No. {number!r}"', "titles.number holds {number!r}"),
        ('number = "No. {number}"', 'number = "No. {number"', "titles.number has a brace"),
        ('number = "No. {number}"', "number = 7", "titles.number is not a text"),
        ('number = "No. {number}"', 'number = "號 {number}"', "cannot set: 號"),
        ('date = "{month} {d}, {year}"', 'date = "{weekday}"', "date may hold only"),
        ('"Nov", "Dec"]', '"Nov"]', "months names 11 months, not 12"),
        ('"Nov", "Dec"]', '"Nov", "十二月"]', "months holds letters"),
        ('"Nov", "Dec"]', '"Nov", 12]', "months is not a list of texts"),
        ('["parties", "dates"', '["dates"', "order must name each of parties"),
        ('["parties", "dates"', '["parties", "parties", "dates"', "order must name each of parties"),
    ],
)
def test_an_entry_that_cannot_be_printed_is_refused(own: Own, old: str, new: str, problem: str) -> None:
    """Lost or unknown braces, wrong kinds, missing glyphs and lost blocks are refused at their line."""
    folder = own(old, new)
    error = refusal(folder)
    assert problem in str(error)
    written = (folder / "papers" / "receipt.toml").read_text(encoding="utf-8").splitlines()
    assert error.line is not None
    assert new in written[error.line - 1]


def test_free_lists_of_sentences_are_the_owners(tmp_path: Path) -> None:
    """Care words may be more or fewer than shipped; each is still a text."""
    shipped = (templates_folder() / "papers" / "packing.toml").read_text(encoding="utf-8")
    start, end = shipped.index("sentences = ["), shipped.index("]\n\n[stop]")
    (tmp_path / "papers").mkdir()
    own = tmp_path / "papers" / "packing.toml"
    own.write_text(f'{shipped[:start]}sentences = ["Mind the hinges."{shipped[end:]}', encoding="utf-8")
    assert read_wording("packing", tmp_path).listed("care.sentences") == ("Mind the hinges.",)
    own.write_text(f"{shipped[:start]}sentences = [7{shipped[end:]}", encoding="utf-8")
    with pytest.raises(TemplateError, match="is not a list of texts"):
        read_wording("packing", tmp_path)


def test_days_are_written_as_the_wording_says() -> None:
    """The date's words in braces and the list of months shape each day; several days stand on lines of their own."""
    words = Wording({"date": "{dd}.{mm}.{year} ({d} {month})", "months": ("J",) * 6 + ("July",) * 6})
    assert words.day("2026-07-04") == "04.07.2026 (4 July)"
    assert words.day("2026-07-04, 2026-08-05").splitlines() == ["04.07.2026 (4 July)", "05.08.2026 (5 July)"]


def test_a_word_of_the_ledger_that_the_file_does_not_know_stays() -> None:
    """The ledger's own words are exchanged where the file has one for them."""
    words = read_wording("receipt")
    assert words.word("methods", "transfer") == "bank transfer"
    assert words.word("methods", "barter") == "barter"


@pytest.mark.parametrize("paper", ["receipt", "reorder", "packing"])
def test_a_kept_wording_comes_back_equal(paper: str) -> None:
    """What was kept with a receipt prints the same words, order and looks again."""
    wording = read_wording(paper)
    assert kept_wording(wording.canonical()) == wording


def test_a_kept_wording_says_when_its_logo_is_gone(tmp_path: Path) -> None:
    """The words are kept in the ledger, the picture is not: it must stay in the owner's folder."""
    entries = {**read_wording("receipt").entries, "look.logo": "shop.png"}
    with pytest.raises(TemplateError, match=r"holds no such file\. Copy the picture there"):
        kept_wording(Wording(entries).canonical(), tmp_path)
