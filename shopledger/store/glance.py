"""A glance into a ledger while somebody types: which codes and names begin so. It is quick and changes nothing.

The ledger is not opened as for work: no upgrade, no note, no lock that a writer would wait for. Where it cannot be read
as it stands there is nothing to say. A file is read without the library that all else goes through, whose loading alone
would take longer than whoever presses a key waits.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path
from typing import Any, Final, NamedTuple

from shopledger.store.folding import folded
from shopledger.store.usual_place import default_ledger_path

MOST: Final = 100
"""How many are given; nobody reads more."""
PATIENCE: Final = 1
"""So many seconds a server may take. [s]"""
_PLAIN: Final = re.compile(r"[\w.'\N{RIGHT SINGLE QUOTATION MARK}-]+")
"""A word that a shell takes as it stands, or whose apostrophe the person sees and quotes."""
_CALLED: Final = {"frame": "maker || ' ' || model"}
_ESCAPE: Final = str.maketrans({"\\": r"\\", "%": r"\%", "_": r"\_"})

Rows = Sequence[Sequence[Any]]


class Seen(NamedTuple):
    """What may be typed, and what it is."""

    value: str
    says: str


def codes(given: str | None, kind: str, begins: str) -> tuple[Seen, ...]:
    """Give the codes of a kind of goods that begin so, with what each is called."""
    called = _CALLED.get(kind, "name")
    sql = f"SELECT code, {called} FROM {kind} WHERE code LIKE :like ESCAPE '\\' ORDER BY code LIMIT {MOST}"  # noqa: S608 - names of tables of ours
    return tuple(Seen(str(code), str(name)) for code, name in _rows(given, sql, f"{_escaped(begins.upper())}%"))


def people(given: str | None, kind: str, begins: str) -> tuple[Seen, ...]:
    """Give those who are found by a number or a word of their name that begins so, by that number or word."""
    columns = f"SELECT number, name FROM {kind} WHERE folded <> ''"  # noqa: S608 - as above
    if not begins or begins.isdigit():
        sql = f"{columns} AND CAST(number AS TEXT) LIKE :like ESCAPE '\\' ORDER BY number LIMIT {MOST}"
        return tuple(Seen(str(number), str(name)) for number, name in _rows(given, sql, f"{_escaped(begins)}%"))
    sql = f"{columns} AND ' ' || folded LIKE :like ESCAPE '\\' ORDER BY folded LIMIT {MOST}"
    found = _rows(given, sql, f"% {_escaped(folded(begins))}%")
    words = {word: f"{number} {name}" for number, name in found for word in _words(str(name), begins)}
    return tuple(Seen(word, says) for word, says in words.items())


def _words(name: str, begins: str) -> list[str]:
    return [word for word in name.split() if _PLAIN.fullmatch(word) and folded(word).startswith(folded(begins))]


def _escaped(begins: str) -> str:
    return begins.translate(_ESCAPE)


def _rows(given: str | None, sql: str, like: str) -> Rows:
    """Read rows, or nothing where there is no ledger or it cannot be read as it stands."""
    typed = (given or "").strip()
    try:
        if "://" in typed:
            return _by_address(typed, sql, like)
        return _by_file(Path(typed).expanduser() if typed else default_ledger_path(), sql, like)
    except Exception:  # noqa: BLE001 - whatever it is, the next command says it; a line that is being typed is no place for it
        return ()


def _by_file(path: Path, sql: str, like: str) -> Rows:
    """Read a file as it lies; without a log beside it nobody writes, and then nothing is made beside it either."""
    nobody_writes = "" if Path(f"{path}-wal").exists() else "&immutable=1"
    place = f"{path.absolute().as_uri()}?mode=ro{nobody_writes}"
    with closing(sqlite3.connect(place, uri=True, timeout=0.2)) as ledger:
        return ledger.execute(sql, {"like": like}).fetchall()


def _by_address(typed: str, sql: str, like: str) -> Rows:
    from sqlalchemy import NullPool, create_engine, text  # noqa: PLC0415 - a file is read without it

    from shopledger.store.places import ledger_path, ledger_url  # noqa: PLC0415 - as above

    url = ledger_url(typed)
    path = ledger_path(url)
    if path is not None:
        return _by_file(path, sql, like)
    engine = create_engine(url, poolclass=NullPool, connect_args={"connect_timeout": PATIENCE})
    with engine.connect() as ledger:
        return [tuple(row) for row in ledger.execute(text(sql), {"like": like})]
