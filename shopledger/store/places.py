"""Where ledgers lie: the usual place, and what an owner may give instead."""

from __future__ import annotations

import re
from pathlib import Path

from sqlalchemy import URL
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError

from shopledger.store.refusals import LedgerAddressError
from shopledger.store.usual_place import default_ledger_path

_SCHEME = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*://")
_SERVER = "postgresql+psycopg"
_SERVERLIKE = re.compile(
    r"\bPG[A-Z]+\s*=|\b(pass(word|wd|file)?|pwd|user|host|dbname)\s*=|^\s*\w*(postgres|psycopg)[\w+]*:|:[^/\\]*@",
    re.IGNORECASE,
)
"""What no path of a ledger holds, and what the address of a server does, perhaps with its password."""
_HIDDEN = "***"
_HARMLESS = frozenset({"sslmode", "connect_timeout", "application_name", "host", "port", "target_session_attrs"})
"""What of the settings behind an address is shown with its value."""


def ledger_url(given: str | None) -> str:
    """Give the database address of a path, of an address, or of the usual place if nothing is given."""
    if given is None or not given.strip():
        return _of_file(default_ledger_path())
    typed = given.strip()
    if _SERVERLIKE.search(typed) and not _SCHEME.match(typed):
        raise LedgerAddressError(_HIDDEN, "it reads like a server's address with a password, and not like a path")
    if not _SCHEME.match(typed):
        return _of_file(Path(typed))
    return _checked(typed)


def ledger_path(url: str) -> Path | None:
    """Give the file of a SQLite ledger; None for one on a server."""
    parsed = make_url(url)
    return Path(parsed.database or "") if parsed.get_backend_name() == "sqlite" else None


def kept_folder(url: str) -> Path:
    """Give the folder of the files kept as proof: beside a ledger's file, else in the user's data folder."""
    path = ledger_path(url) or default_ledger_path().with_name("server.db")
    return path.with_name(f"{path.stem} files")


def copies_of(url: str) -> Path:
    """Give the folder for a ledger's copies from before upgrades, beside its file or in the user's data folder."""
    path = ledger_path(url) or default_ledger_path().with_name("server.db")
    return path.with_name(f"{path.stem} before upgrades")


def place_of(url: str) -> str:
    """Give the ledger's place as it may be shown: a path, or an address of which nothing can be a password."""
    path = ledger_path(url)
    if path:
        return str(path)
    parsed = make_url(url)
    shown = {name: value if name in _HARMLESS else _HIDDEN for name, value in parsed.query.items()}
    return parsed.set(query=shown).render_as_string(hide_password=True)


def _checked(typed: str) -> str:
    scheme = typed.split("://", 1)[0].lower()
    if typed.partition("?")[0].count("@") > 1:
        reason = "an @ or ? in a user's name or password is written %40 or %3F, since it ends them"
        raise LedgerAddressError(_without_password(typed), reason)
    try:
        parsed = make_url(typed)
    except (ArgumentError, ValueError):
        raise LedgerAddressError(_without_password(typed), "it cannot be read as an address") from None
    if scheme == "sqlite":
        if not parsed.database or parsed.database == ":memory:":
            raise LedgerAddressError(_without_password(typed), "it names no file")
        return _of_file(Path(parsed.database))
    if scheme in {"postgresql", "postgres"}:
        raise LedgerAddressError(_without_password(typed), f"write {_SERVER}:// for a PostgreSQL server")
    if scheme != _SERVER:
        raise LedgerAddressError(_without_password(typed), f"'{scheme}' is not supported")
    if not parsed.database:
        raise LedgerAddressError(_without_password(typed), "it names no database")
    return f"{_SERVER}{typed[len(_SERVER) :]}"


def _of_file(path: Path) -> str:
    return URL.create("sqlite", database=str(path.expanduser().absolute())).render_as_string(hide_password=False)


def _without_password(typed: str) -> str:
    """Give of an address that cannot be used only what cannot be a password: its scheme."""
    scheme, parted, rest = typed.partition("://")
    secret = any(sign in rest for sign in "@?") or _SERVERLIKE.search(typed)
    return f"{scheme}{parted}{_HIDDEN}" if parted and secret else typed
