"""The backup commands as they are typed: what they say, what they ask, and what they never show."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from shopledger.cli.context import Surroundings
from shopledger.cli.main import shop
from shopledger.store.backups.sealing import new_pair
from tests.cli.conftest import ADDRESS, PAIR, Typed, done, read_json

pytestmark = pytest.mark.slow

SALE = ("sale", "record", "--customer", "1", *PAIR)


@pytest.fixture
def stick(typed: Typed, tmp_path: Path) -> Path:
    """Begin a place outside the computer."""
    folder = tmp_path / "stick"
    folder.mkdir()
    done(typed("backup", "place", "add", str(folder), "--away"))
    return folder


def the_copy(folder: Path, ending: str = "db") -> str:
    """Give the newest copy in a place."""
    return str(max(folder.glob(f"*.{ending}")))


def on(day: datetime, ledger: Path, *words: str) -> str:
    """Run one command at another time, and give what it says beside its data."""
    around = Surroundings(now=day, terminal=False)
    result = CliRunner().invoke(shop, ("--ledger", str(ledger), *words), obj=around, prog_name="shopledger")
    return done(result).stderr


def test_a_backup_is_made_listed_and_looked_into(typed: Typed, stick: Path) -> None:
    """The whole round without a question, and once more without any ledger."""
    made = read_json(typed("backup", "make", "--json"))
    (copy,) = (place["copy"] for place in made["places"])
    assert set(copy) == {
        *("day", "folder", "file", "away", "size", "sha256", "head", "revision", "program", "locked_with", "number")
    }
    assert [each["file"] for each in read_json(typed("backup", "list", "--json"))["copies"]] == [copy["file"]]
    (checked,) = read_json(typed("backup", "check", "--all", "--json"))["copies"]
    assert (checked["holds"], checked["opened"], checked["head"]) == (True, True, copy["head"])
    nowhere = ("--ledger", str(stick / "none.db"))
    for words in (("check", "--in", str(stick)), ("list", "--in", str(stick)), ("check", the_copy(stick))):
        result = done(CliRunner().invoke(shop, (*nowhere, "backup", *words), obj=Surroundings(terminal=False)))
        assert copy["file"] in result.stdout


def test_a_place_that_is_missing_is_said_and_fails(typed: Typed, stick: Path) -> None:
    """The exit code tells a script that not every place got its copy."""
    (stick / "shopledger-copies.jsonl").unlink()
    result = typed("backup", "make")
    assert result.exit_code == 40
    assert "Plug the stick in" in result.stderr
    assert "Traceback" not in result.output


def test_what_cannot_be_reached_is_said_and_the_rest_looked_into(typed: Typed, stick: Path, tmp_path: Path) -> None:
    """Of two places one is at home: its copies are neither listed nor looked into, and the others are."""
    done(typed("backup", "place", "add", str(tmp_path / "here"), "--here"))
    done(typed("backup", "make"))
    (stick / "shopledger-copies.jsonl").rename(tmp_path / "away.jsonl")
    for words in (("check", "--all"), ("list",)):
        result = done(typed("backup", *words))
        assert str(stick) in result.stderr
        assert str(tmp_path / "here") in result.stdout
        assert str(stick) not in result.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("make",), "backup place add"),
        (("check",), "Name one copy"),
        (("check", "x.db", "--all"), "Name one copy"),
        (("check", "nowhere.db"), "cannot be read"),
        (("restore", "nowhere.db"), "cannot be read"),
        (("list", "--in", "nowhere"), "is no place for copies"),
        (("place", "remove", "nowhere"), "is no place for copies"),
        (("place", "add", "."), "--away or --here"),
        (("remind", "--days", "0"), "at least one day"),
        (("restore", "x", "--counter", "receipt"), "receipt=57"),
        (("restore", "x", "--counter", "lens=3"), "receipt, job or order"),
        (("key", "new", "--into", "."), "terminal"),
    ],
)
def test_what_cannot_be_is_said_in_one_line(typed: Typed, words: tuple[str, ...], said: str) -> None:
    """No traceback; the sentence says what to do."""
    result = typed("backup", *words)
    assert result.exit_code != 0
    assert said in " ".join(result.output.split())
    assert "Traceback" not in result.output


def test_the_owner_types_the_last_letters_of_a_new_key(typed: Typed, stick: Path, tmp_path: Path) -> None:
    """The paper's own words, read by a program for PDFs, are typed back; copies are encrypted from then on."""
    pytest.importorskip("pyrage", reason="the extra 'encrypt' is not installed")
    from pypdf import PdfReader

    from shopledger.cli import backup_keys

    paper = tmp_path / "paper"
    read: list[str] = []

    def last_letters(words: str) -> str:
        assert "last 8 letters" in words
        (file,) = paper.glob("*.pdf")
        text = "".join(PdfReader(file).pages[0].extract_text().split())
        read.append(text[text.index("AGE-SECRET-KEY-1") :][:74])
        return f"{read[0][-8:-4]} {read[0][-4:].lower()}"

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(backup_keys, "_letters", last_letters)
        result = done(typed("backup", "key", "new", "--into", str(paper), "--holder", "Ines", answers="y\n"))
    assert list(paper.iterdir()) == []
    assert read[0] not in result.output
    (key,) = read_json(typed("backup", "key", "show", "--json"))["keys"]
    assert key["public"].startswith("age1")
    done(typed("backup", "make"))
    copy = the_copy(stick, "age")
    result = done(typed("backup", "check", copy, answers=f"{read[0]}\n"))
    assert "all, and bytes" in result.stdout
    assert read[0] not in result.output


def test_a_key_that_nobody_read_is_thrown_away(typed: Typed, tmp_path: Path) -> None:
    """After three wrong answers neither paper nor key is left."""
    pytest.importorskip("pyrage", reason="the extra 'encrypt' is not installed")
    result = typed("backup", "key", "new", "--into", str(tmp_path / "paper"), answers="QQQQQQQQ\n" * 3)
    assert result.exit_code == 1
    assert "thrown away" in result.stderr
    assert list((tmp_path / "paper").iterdir()) == []
    assert read_json(typed("backup", "key", "show", "--json"))["keys"] == []


def test_a_secret_key_comes_from_a_file_and_never_from_the_command_line(
    typed: Typed, stick: Path, tmp_path: Path
) -> None:
    """A wrong one is refused without being repeated; without any, only the bytes are looked at."""
    pytest.importorskip("pyrage", reason="the extra 'encrypt' is not installed")
    pair, file = new_pair(), tmp_path / "key.txt"
    done(typed("backup", "key", "add", pair.public, "--holder", "the notary"))
    done(typed("backup", "make"))
    copy = the_copy(stick, "age")
    assert "bytes alone" in done(typed("backup", "check", copy)).stdout
    file.write_text(pair.secret, encoding="ascii")
    assert "all, and bytes" in done(typed("backup", "check", copy, "--key-file", str(file))).stdout
    wrong = pair.secret[:-1] + ("Q" if pair.secret[-1] != "Q" else "P")
    file.write_text(wrong, encoding="ascii")
    result = typed("backup", "check", copy, "--key-file", str(file))
    assert result.exit_code == 40
    assert wrong not in result.output
    result = typed("backup", "restore", copy)
    assert result.exit_code == 2
    assert "--key-file" in result.stderr
    done(typed("backup", "key", "remove", pair.public))
    done(typed("backup", "make"))
    assert the_copy(stick).endswith(".db")


def test_restoring_shows_both_ends_and_asks_for_a_word(typed: Typed, stick: Path, ledger: Path) -> None:
    """Another word changes nothing; `replace` does, and the numbers on paper are asked for."""
    done(typed("backup", "make"))
    done(typed(*SALE))
    copy = the_copy(stick)
    before = read_json(typed("verify", "--json"))["head"]
    result = typed("backup", "restore", copy, answers="yes\n")
    assert result.exit_code == 1
    assert "entries that would be gone" in result.stderr
    assert read_json(typed("verify", "--json"))["head"] == before
    # The word, then receipt, job and order: what the ledger gave is offered, so Enter will do for two of them.
    result = done(typed("backup", "restore", copy, answers="replace\n57\n\n\n"))
    assert "57" in result.stdout
    assert read_json(typed("verify", "--json"))["holds"] is True
    assert read_json(typed(*SALE, "--json"))["number"] == 2
    assert [file.name for file in ledger.parent.glob("ledger-at-*")] != []


def test_restoring_by_a_script_names_the_head_that_goes(typed: Typed, stick: Path) -> None:
    """Nothing is asked; without the head nothing is done."""
    done(typed("backup", "make"))
    head = read_json(typed("verify", "--json"))["head"]
    assert typed("backup", "restore", the_copy(stick)).exit_code == 2
    told = read_json(typed("backup", "restore", the_copy(stick), "--yes-replace", head, "--counter", "job=9", "--json"))
    assert (told["replaced"], told["counters"]) == (head, {"job": 9})
    # What was noted of the copy itself came after it.
    assert told["gone"] == int(head.split("-")[0]) - int(told["head"].split("-")[0]) <= 2
    assert read_json(typed(*SALE, "--json"))["pairs"][0]["job"] == 10


def test_after_the_days_first_writing_an_overdue_backup_is_said(typed: Typed, stick: Path, ledger: Path) -> None:
    """Once a day, on stderr, after what was asked for; never after a look-up."""
    assert stick.is_dir()
    done(typed(*SALE))
    later, add = datetime(2026, 3, 20, 9, tzinfo=UTC), ("prescriber", "add", "--name", "Dr. Roe")
    said = "No backup was ever made. Run 'shopledger backup make'."
    assert said not in on(later, ledger, "customer", "find", "Odalys")
    assert on(later, ledger, *add).count(said) == 1
    assert said not in on(later, ledger, *add)
    on(later, ledger, "backup", "make")
    assert "backup" not in on(datetime(2026, 3, 27, 9, tzinfo=UTC), ledger, *add)
    assert "The last backup is 8 days old" in on(datetime(2026, 3, 28, 9, tzinfo=UTC), ledger, *add)
    assert "outside this computer is 31 days old" in on(datetime(2026, 4, 20, 9, tzinfo=UTC), ledger, *add)
    on(datetime(2026, 4, 21, 9, tzinfo=UTC), ledger, "backup", "remind", "--days", "off", "--away-days", "off")
    assert "backup" not in on(datetime(2026, 6, 21, 9, tzinfo=UTC), ledger, *add)


def test_a_danger_is_told_once(ledger: Path) -> None:
    """A conflict beside the ledger is said on the first day, not on the second, and a new one on the third."""
    add = ("prescriber", "add", "--name", "Dr. Roe")
    other = ledger.with_name("ledger (conflicted copy).db")
    other.write_bytes(b"")
    days = [datetime(2026, 3, day, 9, tzinfo=UTC) for day in (10, 11, 12)]
    assert other.name in on(days[0], ledger, *add)
    assert other.name not in on(days[1], ledger, *add)
    second = ledger.with_name("ledger (conflicted copy 2).db")
    second.write_bytes(b"")
    told = on(days[2], ledger, *add)
    assert second.name in told
    assert other.name not in told


def test_what_cannot_be_remembered_stops_no_command(
    ledger: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the state folder cannot be made, the command does what it was asked."""
    (tmp_path / "file").write_bytes(b"")
    monkeypatch.setenv("SHOPLEDGER_STATE", str(tmp_path / "file"))
    told = on(datetime(2026, 3, 10, 9, tzinfo=UTC), ledger, "customer", "add", "--name", "Tobin Roe", *ADDRESS)
    assert "added" in told
