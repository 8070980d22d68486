"""Encrypted copies: they open with the key alone, also without this program, and never leave half of anything."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from shopledger.store.backups import beside, sealing
from shopledger.store.backups.checking import is_sealed
from shopledger.store.backups.sealing import KeyPair, hash_of, new_pair, read_public, read_secret, seal, unsealed
from shopledger.store.refusals import CopyLockedError, EncryptExtraMissingError, NoKeyError

pyrage = pytest.importorskip("pyrage", reason="the extra 'encrypt' is not installed")

SIZES = (0, 1, 65_535, 65_536, 65_537, 300_000)
"""Around the pieces of 64 KiB that the format is made of."""


@pytest.fixture
def pair() -> KeyPair:
    """Make a key pair."""
    return new_pair()


@pytest.fixture
def plain(tmp_path: Path) -> Path:
    """Give a file with something in it."""
    file = tmp_path / "ledger.db"
    file.write_bytes(bytes(range(256)) * 1000)
    return file


def sealed(plain: Path, *keys: str) -> Path:
    """Lock a file with public keys."""
    target = plain.with_name("ledger.db.age")
    target.touch(0o600)
    seal(plain, hash_of(plain), target, keys)
    return target


@pytest.mark.parametrize("size", SIZES)
def test_a_copy_opens_with_each_of_its_keys(tmp_path: Path, size: int) -> None:
    """The owner's and that of somebody trusted alike, byte for byte, whatever the size."""
    own, other, plain = new_pair(), new_pair(), tmp_path / "plain"
    plain.write_bytes(b"\x5a" * size)
    copy = sealed(plain, own.public, other.public)
    assert is_sealed(copy)
    assert not is_sealed(plain)
    for pair in (own, other):
        with unsealed(copy, pair.secret, plain) as opened:
            assert opened.read_bytes() == plain.read_bytes()
            assert opened.stat().st_mode & 0o777 == 0o600
        assert not opened.exists()


def test_another_key_opens_nothing(plain: Path, pair: KeyPair) -> None:
    """A key that the copy is not locked with is refused, and nothing stays of the try."""
    copy = sealed(plain, pair.public)
    with pytest.raises(CopyLockedError, match="does not open"), unsealed(copy, new_pair().secret, plain):
        pass
    assert sorted(file.name for file in plain.parent.iterdir()) == ["ledger.db", "ledger.db.age"]


@pytest.mark.parametrize("harm", ["cut", "piece", "header", "nothing", "more"])
def test_a_damaged_copy_leaves_no_plain_text(plain: Path, pair: KeyPair, harm: str) -> None:
    """Of a copy that was cut off most would open; the draft it opens into goes at the first thing that is wrong."""
    copy = sealed(plain, pair.public)
    body = copy.read_bytes()
    copy.write_bytes(
        {
            "cut": body[:200_000],
            "piece": body[:150_000] + bytes([body[150_000] ^ 1]) + body[150_001:],
            "header": body[:60] + bytes([body[60] ^ 1]) + body[61:],
            "nothing": b"",
            "more": body + b"\0",
        }[harm]
    )
    with pytest.raises(CopyLockedError), unsealed(copy, pair.secret, plain):
        pass
    assert sorted(file.name for file in plain.parent.iterdir()) == ["ledger.db", "ledger.db.age"]


@pytest.mark.parametrize("size", SIZES[1:])
def test_the_reader_beside_the_copies_opens_them(tmp_path: Path, pair: KeyPair, size: int) -> None:
    """It knows nothing of this program: one file, Python, and a library of ciphers. Key files may have comments."""
    pytest.importorskip("cryptography", reason="no library of ciphers is on this machine")
    beside.lay_beside(tmp_path)
    plain, key = tmp_path / "plain", tmp_path / "key.txt"
    plain.write_bytes(b"\xa5" * size)
    key.write_text(f"# made in March\n{pair.secret.lower()}\n", encoding="ascii")
    copy = sealed(plain, new_pair().public, pair.public)
    words = [sys.executable, "-I", str(tmp_path / beside.READER_NAME), str(copy), str(key), str(tmp_path / "new")]
    subprocess.run(words, check=True, capture_output=True)
    assert (tmp_path / "new").read_bytes() == plain.read_bytes()
    assert (tmp_path / "new").stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("cut", [100, 70_000, 66_000])
def test_the_reader_calls_nothing_whole_that_is_not(plain: Path, pair: KeyPair, cut: int) -> None:
    """A copy that was cut off, or another key, ends it with an exit code, and without the new file."""
    pytest.importorskip("cryptography", reason="no library of ciphers is on this machine")
    copy, key, folder = sealed(plain, pair.public), plain.with_name("key.txt"), plain.parent
    beside.lay_beside(folder)
    key.write_text(pair.secret, encoding="ascii")
    copy.write_bytes(copy.read_bytes()[:cut])
    words = [sys.executable, "-I", str(folder / beside.READER_NAME), str(copy), str(key), str(folder / "new")]
    assert subprocess.run(words, check=False, capture_output=True).returncode != 0
    assert not (folder / "new").exists()


@pytest.mark.parametrize("program", ["age", "rage"])
def test_another_program_opens_a_copy(plain: Path, pair: KeyPair, program: str) -> None:
    """The format is open: what was written independently of this program reads it."""
    if shutil.which(program) is None:
        pytest.skip(f"{program} is not on this machine")
    copy, key, new = sealed(plain, pair.public), plain.with_name("key.txt"), plain.with_name("new")
    key.write_text(pair.secret, encoding="ascii")
    subprocess.run([program, "--decrypt", "-i", str(key), "-o", str(new), str(copy)], check=True, capture_output=True)
    assert new.read_bytes() == plain.read_bytes()


def test_keys_are_read_as_people_type_them(pair: KeyPair) -> None:
    """Groups of four, small letters, lines and comments do not matter."""
    groups = " ".join(pair.secret[at : at + 4] for at in range(0, len(pair.secret), 4))
    assert read_secret(f"# kept by Ines\n{groups[:40].lower()}\n{groups[40:]}\n") == pair.secret
    assert read_public(f" {pair.public}\n") == pair.public


@pytest.mark.parametrize("at", [20, 40, 73])
def test_one_wrong_letter_is_noticed(pair: KeyPair, at: int) -> None:
    """A key has a check of its own; a public key is no secret one, nor the other way round."""
    wrong = "Q" if pair.secret[at] != "Q" else "P"
    for typed in (pair.secret[:at] + wrong + pair.secret[at + 1 :], pair.public, "", "AGE-SECRET-KEY-1"):
        with pytest.raises(NoKeyError, match="no secret key"):
            read_secret(typed)
    with pytest.raises(NoKeyError, match="no public key"):
        read_public(pair.secret)


def test_without_the_extra_its_name_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever has not installed what encrypts is told what to install."""
    monkeypatch.setitem(sys.modules, "pyrage", None)
    with pytest.raises(EncryptExtraMissingError, match=r"-m pip install 'pyrage"):
        sealing.new_pair()
