"""Whatever is typed, read or missing: one line, an exit code, and no traceback."""

from __future__ import annotations

import os
import shlex
import sqlite3
import struct
import subprocess
import sys
import zlib
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from PIL import Image

from tests.cli.conftest import ADDRESS, PAIR, SHOP_OPTIONS, Typed, done, type_in
from tests.forging import unwatched

pytestmark = pytest.mark.slow

NOBODY = 65534
"""An ordinary user."""
SPENT = ("spend", "record", "Post", "5", "--category", "supplies", "--method", "bank", "--description", "stamps")
BROKEN = "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET sql = {} WHERE name = 'customer'"
UNFORESEEN = (
    MemoryError(),
    RecursionError(),
    OSError(24, "Too many open files"),
    UnicodeDecodeError("utf-8", b"\xff", 0, 1, "invalid start byte"),
)
POSIX = pytest.mark.skipif(os.name != "posix", reason="rights and streams of this kind are POSIX's")


def shell(line: str, ledger: Path) -> subprocess.CompletedProcess[bytes]:
    """Run a line of the shell in which `shopledger` is the program with its ledger."""
    program = shlex.join([sys.executable, "-m", "shopledger", "--ledger", str(ledger)])
    around = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2]), "HOME": str(ledger.parent)}
    return subprocess.run(
        ["/bin/sh", "-c", line.replace("shopledger", program)],
        cwd=ledger.parent,
        env={**around, "SHOPLEDGER_OPERATOR": "Ilse"},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
        timeout=60,
    )


def one_line(ended: subprocess.CompletedProcess[bytes], words: str) -> None:
    """Hold a run to one line of error."""
    assert b"Traceback" not in ended.stderr, ended.stderr
    assert b"Exception ignored" not in ended.stderr, ended.stderr
    assert ended.stderr.count(b"\n") == 1, ended.stderr
    assert words.encode() in ended.stderr


@POSIX
def test_output_that_finds_no_room_is_told(ledger: Path) -> None:
    """A full disk behind `>` is an error of the output; what was stored by then is said."""
    ended = shell("shopledger frame list > /dev/full", ledger)
    one_line(ended, "what there is to show cannot be written: the disk is full.")
    assert ended.returncode == 1
    ended = shell(f"shopledger customer add --name 'Ines Alder' {shlex.join(ADDRESS)} > /dev/full", ledger)
    assert b"Stored before that: customer 2" in ended.stderr


@POSIX
@pytest.mark.parametrize(
    "line", ["shopledger --help | head -1", "shopledger frame list | head -1", "shopledger where >&-"]
)
def test_a_reader_who_went_away_is_no_error(ledger: Path, line: str) -> None:
    """A closed pipe or stream ends the program quietly."""
    ended = shell(line, ledger)
    assert (ended.returncode, ended.stderr) == (0, b"")


@POSIX
@pytest.mark.parametrize("to", ["2>&-", "2>/dev/full"])
def test_errors_that_nobody_can_read_keep_their_code(ledger: Path, to: str) -> None:
    """Without a place for the sentence the exit code still says it."""
    assert shell(f"shopledger customer show 99 {to}", ledger).returncode == 40
    assert shell(f"shopledger nonsense {to}", ledger).returncode == 2


@POSIX
def test_a_byte_that_is_no_letter_is_refused(ledger: Path) -> None:
    """Neither as a name nor as an operator does such a byte come into the ledger."""
    ended = shell("shopledger customer find \"$(printf 'Fern\\377')\"", ledger)
    one_line(ended, "'Fern\\udcff', holds a byte that is no letter in UTF-8")
    assert ended.returncode == 2


def test_toml_nested_too_deep_is_refused(typed: Typed, tmp_path: Path) -> None:
    """Brackets in brackets two thousand deep are no order, no catalogue and no shop."""
    deep = tmp_path / "deep.toml"
    deep.write_text(f"customer = {'[' * 2000}{']' * 2000}\n")
    for words in (
        ("sale", "record", "--from"),
        ("catalogue", "load"),
        ("paper", "quote", "--valid-until", "2026-04-01", "--into", str(tmp_path), "--from"),
    ):
        refused = typed(*words, str(deep))
        assert refused.exit_code == 70, refused.output
        assert "nested too deep" in refused.stderr
    assert type_in("setup", "--from", str(deep), ledger=tmp_path / "new.db").exit_code == 70


@POSIX
@pytest.mark.parametrize("source", ["/dev/zero", "/dev/null", "pipe", ".", "gone.toml", "x" * 6_000])
def test_what_is_no_plain_file_is_not_read(typed: Typed, tmp_path: Path, source: str) -> None:
    """An endless device, a pipe that nobody fills, a folder or a path of thousands of letters: none is waited for."""
    os.mkfifo(tmp_path / "pipe")
    place = source if source.startswith("/dev") else str(tmp_path / source)
    for words in (
        ("sale", "record", "--from", place),
        ("catalogue", "load", place),
        ("trace", "add", "WREN-52", place),
        (
            "spend",
            "record",
            "--category",
            "office",
            "--amount",
            "5",
            "--method",
            "cash",
            "--paid-to",
            "Post",
            "--receipt",
            place,
        ),
    ):
        refused = typed(*words)
        assert refused.exit_code in {1, 2, 40, 70}, refused.output
        assert "Error: " in refused.stderr


@contextmanager
def ordinary(*folders: Path) -> Iterator[None]:
    """Be an ordinary user, whom rights bind, for a while; these folders are closed to everybody."""
    for folder in folders:
        folder.chmod(0o000)
    if os.geteuid() == 0:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        if os.getuid() == 0:
            os.seteuid(0)
        for folder in folders:
            folder.chmod(0o700)


@pytest.fixture
def open_to_all(tmp_path: Path, ledger: Path) -> Iterator[Path]:
    """Let an ordinary user reach the ledger and its folder, and give the folder."""
    above = [each for each in tmp_path.parents if each.stat().st_uid == os.getuid() and len(each.parts) > 2]
    modes = {each: each.stat().st_mode for each in above}
    for each, mode in modes.items():
        each.chmod(mode | 0o011)
    if os.geteuid() == 0:
        for each in (tmp_path, *tmp_path.iterdir()):
            os.chown(each, NOBODY, -1)
    yield ledger.parent
    for each, mode in modes.items():
        each.chmod(mode)


@POSIX
def test_a_templates_folder_without_rights_is_told(typed: Typed, open_to_all: Path) -> None:
    """Whether the owner changed a paper's wording cannot be seen, so the paper is not printed in another."""
    done(typed("sale", "record", "--customer", "1", *PAIR))
    papers = open_to_all / "templates" / "papers"
    papers.mkdir(parents=True)
    out = open_to_all / "out"
    done(typed("paper", "confirmation", "1", "--into", str(out)))
    with ordinary(papers.parent):
        refused = typed("paper", "confirmation", "1", "--into", str(out))
    assert refused.exit_code == 50, refused.output
    assert "cannot be looked for (permission denied)" in refused.stderr


@POSIX
def test_a_set_up_without_rights_is_told(open_to_all: Path) -> None:
    """In a folder that takes no file, and below one in which none can be made."""
    done(type_in("setup", *SHOP_OPTIONS, ledger=open_to_all / "first.db"))
    shut = open_to_all / "shut"
    shut.mkdir()
    for place in (shut / "ledger.db", shut / "new" / "ledger.db"):
        with ordinary(shut):
            refused = type_in("setup", *SHOP_OPTIONS, ledger=place)
        assert refused.exit_code in {1, 40}, refused.output
        assert "permission denied" in refused.stderr
        assert refused.stderr.count("\n") == 1
    assert list(shut.iterdir()) == []


def test_a_logo_with_an_endless_text_is_no_picture(typed: Typed, ledger: Path, tmp_path: Path) -> None:
    """A PNG may hold a text that unpacks to very much; it is not unpacked, and the sentence names the file."""
    own = ledger.parent / "templates" / "papers"
    own.mkdir(parents=True)
    whole = own.parent / "plain.png"
    Image.new("RGB", (4, 4)).save(whole)
    body = whole.read_bytes()
    text = b"zTXt" + b"Comment\0\0" + zlib.compress(bytes(8_000_000))
    chunk = struct.pack(">I", len(text) - 4) + text + struct.pack(">I", zlib.crc32(text))
    (own.parent / "logo.png").write_bytes(body[:33] + chunk + body[33:])
    shipped = Path(__file__).parents[2] / "templates" / "papers" / "confirmation.toml"
    (own / "confirmation.toml").write_text(shipped.read_text().replace('logo = ""', 'logo = "logo.png"'))
    done(typed("sale", "record", "--customer", "1", *PAIR))
    refused = typed("paper", "confirmation", "1", "--into", str(tmp_path))
    assert refused.exit_code == 50, refused.output
    assert "no whole PNG or JPEG" in refused.stderr


@pytest.mark.parametrize(
    "deed",
    [
        "DELETE FROM shopledger_revision",
        "INSERT INTO shopledger_revision VALUES ('another')",
        "UPDATE customer SET name = CAST(X'FF' AS TEXT)",
        "UPDATE frame SET price = price; UPDATE stock_level SET kind = 'saddle'",
        "UPDATE lens SET design = 'round'",
        BROKEN.format("CAST(X'FF' AS TEXT) || sql"),
        BROKEN.format("'CREATE TABLE customer ('"),
    ],
)
def test_a_damaged_ledger_says_so(typed: Typed, ledger: Path, deed: str) -> None:
    """A state of no row or of two, a byte that is no letter, a word that no version knew, a broken schema."""
    with closing(sqlite3.connect(ledger, isolation_level=None)) as outside:
        unwatched(outside).execute("PRAGMA ignore_check_constraints = ON")
        outside.executescript(deed)
    told = [typed(*words) for words in (("customer", "show", "1"), ("stock", "list"), ("lens", "list"), ("verify",))]
    assert all(result.exit_code in {0, 30, 40} for result in told), [result.output for result in told]
    assert any("damaged" in result.stderr and "restore" in result.stderr for result in told), [r.output for r in told]


@pytest.mark.parametrize("scheme", ["SQLITE:///", "Sqlite:///"])
def test_an_address_in_capitals_is_read(ledger: Path, scheme: str) -> None:
    """How a person writes an address makes no difference; a server's is read the same way."""
    done(type_in("--ledger", f"{scheme}{ledger}", "where"))
    refused = type_in("--ledger", "POSTGRESQL+PSYCOPG://nobody@127.0.0.1:1/none", "customer", "find")
    assert (refused.exit_code, "cannot be opened" in refused.stderr) == (40, True), refused.output
    assert type_in("--ledger", "POSTGRESQL://host/shop", "where").exit_code == 40


@pytest.mark.parametrize("raised", UNFORESEEN)
def test_what_nobody_foresaw_is_one_line_too(typed: Typed, monkeypatch: pytest.MonkeyPatch, raised: Exception) -> None:
    """Too little memory, too many files, a letter that is none: wherever they arise."""

    def fail(*_: object) -> None:
        raise raised

    monkeypatch.setattr("shopledger.desk.known_people.find_customers", fail)
    result = typed("customer", "find")
    assert result.exit_code in {1, 2}
    assert result.stderr.startswith("Error: ")
    assert result.stderr.count("\n") == 1
