"""The keys that copies are locked with: the public ones in the ledger, a secret one on paper alone."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.desk.printing import pdf_of, placed
from shopledger.files.replacing import PAPER
from shopledger.files.writing import write_whole
from shopledger.ledger.backups import BackupKey
from shopledger.ledger.papers.backup_key import BackupKeyPaper
from shopledger.ledger.papers.shop_lines import shop_lines
from shopledger.paperwork.backup_key import BACKUP_KEY
from shopledger.store.backups.sealing import new_pair, read_public, read_secret
from shopledger.store.refusals import KeyUnknownError


@dataclass(frozen=True, slots=True)
class NewKey:
    """A pair that was just made: the paper and its file. The ledger knows nothing of it yet."""

    paper: BackupKeyPaper
    file: Path


def print_new_key(desk: Desk, folder: Path) -> NewKey:
    """Make a key pair and write its paper as a PDF; nothing is stored until the owner has read it back."""
    pair = new_pair()
    with desk.reading() as work:
        paper = BackupKeyPaper(desk.now.date().isoformat(), shop_lines(work.shop.profile()), pair.secret, pair.public)
        pdf = pdf_of(placed(work, desk, BACKUP_KEY, paper))
    return NewKey(paper, write_whole(pdf, folder / f"backup-key-{pair.public[4:12]}.pdf", PAPER))


def secret_typed(typed: str) -> str:
    """Read a secret key as it stands on its paper; empty where nothing was typed."""
    return read_secret(typed) if typed.strip() else ""


def keys_of(desk: Desk) -> tuple[BackupKey, ...]:
    """Give the public keys that copies are locked with."""
    with desk.reading() as work:
        return work.backups.public_keys()


def add_key(desk: Desk, public: str, holder: str) -> BackupKey:
    """Lock copies with one more public key, whose secret half somebody holds."""
    key = BackupKey(read_public(public), holder)
    with desk.writing() as work:
        known = {each.public: each for each in work.backups.public_keys()}
        return known.get(key.public) or work.backups.add_key(key)


def remove_key(desk: Desk, public: str) -> BackupKey:
    """Lock no more copies with a public key; those that are locked with it stay so."""
    key = BackupKey(read_public(public), "")
    with desk.writing() as work:
        if key.public not in {each.public for each in work.backups.public_keys()}:
            raise KeyUnknownError(key.public)
        work.backups.remove_key(key)
    return key
