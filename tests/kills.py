"""One shop at one place, laid anew for every try, and lines that are run in it by an ordinary user and broken off."""

from __future__ import annotations

import os
import secrets
import shutil
import signal
import tempfile
import time
import traceback
from collections.abc import Callable
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import UTC, date, datetime
from importlib import import_module
from itertools import count
from pathlib import Path
from pkgutil import walk_packages
from typing import Any, Final

import psycopg
from alembic import command
from sqlalchemy import inspect
from sqlalchemy.engine import make_url

import shopledger
from shopledger.cli import backup_keys
from shopledger.cli.context import Surroundings
from shopledger.cli.main import shop
from shopledger.desk.books.closing import prove_books
from shopledger.desk.context import Desk
from shopledger.desk.outbox import waiting
from shopledger.files import writing
from shopledger.files.drafts import LEFT_SECONDS
from shopledger.ledger.books.proofs import Verdict
from shopledger.ledger.papers.issued import WaitingPaper
from shopledger.store.backups.sealing import new_pair
from shopledger.store.engine import ledger_engine
from shopledger.store.guards import lift_guards
from shopledger.store.migrate import alembic_config
from shopledger.store.opening import Ledger, ledger_url, open_ledger
from shopledger.store.refusals import LedgerMissingError, NotALedgerError
from shopledger.store.revision import Upgrading
from tests.cli.any_line import become_nobody
from tests.cli.conftest import CATALOGUE, trace_text
from tests.cli.test_any_line import BILL, ORDER
from tests.counted import post_sale
from tests.every_command import Line, Words
from tests.faults import EVERY_CALL, SERVER_CALLS, Faults, inside_sqlite
from tests.processor_reports import PAID_OUT
from tests.rows import rows
from tests.statements import ofx, transaction

NOW: Final = datetime(2026, 3, 2, 10, 30, tzinfo=UTC)
DRAWN: Final = frozenset({"salt", "seal"})
"""Columns with what chance drew, or with a number that depends on it."""
_COUNT = count(1)
_KEY = new_pair().public


@dataclass(frozen=True, slots=True)
class Ended:
    """How a line ended, as far as one can tell from outside."""

    code: int | None
    """Its exit code; none where it was killed."""
    touches: int
    said: str
    seconds: float
    broke: str = ""
    """The traceback that a person would have seen."""

    @property
    def acknowledged(self) -> bool:
        """Whether somebody was told that it is done."""
        return self.code == 0

    @property
    def sentence(self) -> str:
        """The line that said why it was not done; it may stand behind a question that nobody answered."""
        return next((line for line in self.said.splitlines() if "Error: " in line), "")


@dataclass(frozen=True, slots=True)
class State:
    """All that a ledger holds, and the seals that lead to it."""

    seals: tuple[tuple[int, str], ...]
    tables: dict[str, list[tuple[Any, ...]]]
    waiting: tuple[WaitingPaper, ...]

    @property
    def head(self) -> tuple[int, str]:
        """The newest seal."""
        return self.seals[-1]

    @property
    def counts(self) -> dict[str, int]:
        """How many rows each table has."""
        return {name: len(found) for name, found in self.tables.items()}


class Stand:
    """The place of a shop, with its ledger in a file or on a server, and what it was like at several times."""

    def __init__(self, place: Path, server: str = "") -> None:
        self.place, self.server = place, server
        self.own = place / "own"
        self.name = f"tried_{os.getpid()}_{next(_COUNT)}"
        place.chmod(0o755)

    @property
    def address(self) -> str:
        """Where the ledger is, as it is typed."""
        return self._on_server(self.name) if self.server else str(self.own / "ledger.db")

    @property
    def url(self) -> str:
        """The same for the program's own use."""
        return ledger_url(self.address)

    # ------------------------------------------------------------ what it is like

    def begin(self) -> None:
        """Make the files that lines read, and an empty database where there is a server; import all but once."""
        for module in walk_packages(shopledger.__path__, "shopledger."):
            if not module.name.endswith("__main__"):
                import_module(module.name)
        (self.place / "answers.txt").write_text("y\n", encoding="utf-8")
        self.own.mkdir()
        more = CATALOGUE.replace("WREN-52", "TEAL-52").replace('"SV-150"', '"SV-151"').partition("[[extra]]")[0]
        texts = {"order.toml": ORDER, "bill.toml": BILL, "catalogue.toml": CATALOGUE, "more.toml": more}
        for name, text in texts.items():
            (self.own / name).write_text(text.replace('"PROG"', f'"PROG-{name[0]}"'), encoding="utf-8")
        (self.own / "trace.txt").write_text(trace_text(count=72), encoding="ascii")
        (self.own / "scan.pdf").write_bytes(b"%PDF-1.7\nscanned\n%%EOF\n")
        fee = transaction("20260301", "-4.00", "1", "FEE")
        statement = ofx(fee, first="20260301", last="20260301", balance="96.00", balance_day="20260301")
        (self.own / "statement.ofx").write_text(statement, encoding="ascii")
        (self.own / "report.csv").write_text(PAID_OUT, encoding="ascii")
        (self.own / "number.txt").write_text("12-3456789\n", encoding="ascii")
        (self.own / "statement.csv").write_text("3/1/2026,-4.00,96.00\n", encoding="ascii")
        for name in ("out", "copies", "full", "older"):
            (self.own / name).mkdir()
        if self.server:
            self._administer(f"CREATE DATABASE {self.name}")

    def keep(self, moment: str) -> None:
        """Remember all as it is now."""
        shutil.copytree(self.own, self.place / moment)
        if self.server:
            self._administer(f"CREATE DATABASE {self.name}_{moment} TEMPLATE {self.name}")

    def lay(self, moment: str) -> None:
        """Let all be again as it was then."""
        shutil.rmtree(self.own)
        shutil.copytree(self.place / moment, self.own)
        if self.server:
            self._alone()
            self._administer(f"DROP DATABASE {self.name} WITH (FORCE)")
            self._administer(f"CREATE DATABASE {self.name} TEMPLATE {self.name}_{moment}")

    def tell(self, *told: Words, on: str = "2026-03-02") -> None:
        """Let lines happen, each to its end."""
        for words in told:
            broken = words[:3] == ("receipt", "replace", "1") and words[-1] == "full"
            ended = self.run(words, on, _no_rename if broken else _nothing)
            assert ended.acknowledged is not broken, (words, ended)

    def staged(self, line: Line) -> str:
        """Let happen what a line needs; gives the moment under which that is kept."""
        self.lay("bare" if line.fresh else "base")
        self.tell(*line.before)
        if line.of_before:
            with closing(open_ledger(self.url)) as ledger, Desk(ledger, "looker", NOW, NOW.date()).writing() as work:
                for number in line.of_before:
                    post_sale(work, work.orders.get(number))
        if line.revision:
            engine = ledger_engine(self.url, migrating=True)
            with engine.connect().execution_options(writing=True) as connection, connection.begin():
                lift_guards(connection)
                command.downgrade(alembic_config(connection), line.revision)
            engine.dispose()
            shutil.rmtree(self.own / "state")
        moment = f"stage_{next(_COUNT)}"
        self.keep(moment)
        return moment

    def drop(self, moment: str) -> None:
        """Forget a moment."""
        shutil.rmtree(self.place / moment)
        if self.server:
            self._administer(f"DROP DATABASE {self.name}_{moment} WITH (FORCE)")

    # ------------------------------------------------------------ running

    def run(
        self,
        words: Words,
        on: str = "2026-03-02",
        around: Callable[[], Faults] | None = None,
        killed_after: float | None = None,
    ) -> Ended:
        """Run a line in a process of its own, as an ordinary user, to its end or until it is killed."""
        typed = self._filled(words)
        said = self.place / "said.txt"
        reading, told = os.pipe()
        began = time.monotonic()
        child = os.fork()
        if not child:
            os.close(reading)
            self._live(typed, on, around or _nothing, told, said)
        os.close(told)
        if killed_after is not None:
            time.sleep(killed_after)
            _kill_group(child)
        with os.fdopen(reading, encoding="utf-8") as pipe:
            answer = pipe.read()
        os.waitpid(child, 0)
        seconds = time.monotonic() - began
        words_said = said.read_text(encoding="utf-8", errors="replace")
        if not answer:
            return Ended(None, 0, words_said, seconds)
        first, _, broke = answer.partition("\n")
        code, touches = first.split()
        return Ended(int(code), int(touches), words_said, seconds, broke)

    def _live(self, typed: list[str], on: str, around: Callable[[], Faults], told: int, said: Path) -> None:
        """Be the child: never come back."""
        code, broke, found = 99, "", Faults(0, _never)
        try:
            os.setsid()
            handle = os.open(said, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
            for stream in (1, 2):
                os.dup2(handle, stream)
            os.dup2(os.open(self.place / "answers.txt", os.O_RDONLY), 0)
            self._settle_in()
            found = around()
            around_it = Surroundings(NOW, terminal=typed[:3] == ["backup", "key", "new"])
            shop.main(self._before(on) + typed, prog_name="shopledger", obj=around_it)
        except SystemExit as left:
            code = left.code if isinstance(left.code, int) else 0
        except BaseException:  # noqa: BLE001 - that is what a person would see
            broke = traceback.format_exc()
        finally:
            found.at, touches = 0, found.count
            os.write(told, f"{code} {touches}\n{broke}".encode())
            os._exit(0)

    def _settle_in(self) -> None:
        """Give up the rights of whoever runs the tests, and forget what that process did."""
        import sys

        sys.stdin = open(0, encoding="utf-8", closefd=False)  # noqa: SIM115 - the streams of the child
        sys.stdout = open(1, "w", encoding="utf-8", closefd=False)  # noqa: SIM115 - the streams of the child
        sys.stderr = open(2, "w", encoding="utf-8", closefd=False)  # noqa: SIM115 - as above
        os.environ.update(SHOPLEDGER_STATE=str(self.own / "state"), SHOPLEDGER_OPERATOR="Ilse")
        os.environ.pop("SHOPLEDGER_LEDGER", None)
        become_nobody(self.own)
        tempfile.tempdir = str(self.own)
        writing._swept.clear()
        drawn = count(1)
        secrets.token_hex = lambda nbytes=16: f"{next(drawn):0{2 * (nbytes or 16)}x}"
        backup_keys._letters = lambda words: _last_letters(self.own / "out", words)

    def _before(self, on: str) -> list[str]:
        return ["--ledger", self.address, "--today", on]

    def _filled(self, words: Words) -> list[str]:
        """Put in what stands for a copy, a head or a key."""
        if any("{" in word for word in words):
            newest = {each.parent.name: f"{each.parent.name}/{each.name}" for each in sorted(self.own.glob("*/*.db"))}
            known = {"copy": newest.get("copies", ""), "older": newest.get("older", ""), "key": _KEY}
            if "{head}" in words:
                with closing(Ledger(self.url)) as ledger, ledger.reading() as work:
                    known["head"] = str(work.seals.head())
            return [word.format(**known) for word in words]
        return list(words)

    # ------------------------------------------------------------ looking

    def look(self) -> State | None:
        """Give all that the ledger holds; none where there is no ledger, or none with a shop."""
        try:
            with closing(open_ledger(self.url, Upgrading(NOW))) as ledger:
                desk = Desk(ledger, "looker", NOW, date(2026, 3, 2))
                with desk.reading() as work:
                    if not work.shop.exists():
                        return None
                    connection = work.transaction.connection
                    names = inspect(connection).get_table_names()
                    tables = {name: _plain(work, name) for name in names if name != "seal"}
                    seals = tuple((row.number, row.hash) for row in rows(work, "seal", order=("number",)))
                return State(seals, tables, waiting(desk))
        except (LedgerMissingError, NotALedgerError):
            return None

    def prove(self) -> Verdict:
        """Make every check of the ledger."""
        with closing(open_ledger(self.url, Upgrading(NOW))) as ledger:
            return prove_books(Desk(ledger, "looker", NOW, date(2026, 3, 2)))

    def revision(self) -> str:
        """Give the state of the ledger's tables, without bringing it up to date."""
        with closing(Ledger(self.url)) as ledger:
            return ledger.revision()

    def left(self) -> list[str]:
        """Give what lies there as a draft."""
        return sorted(str(each.relative_to(self.own)) for each in self.own.rglob("*") if ".draft" in each.name)

    def grow_old(self) -> None:
        """Let what lies as a draft have lain there for some time."""
        then = time.time() - LEFT_SECONDS - 60
        for each in self.own.rglob("*"):
            if ".draft" in each.name:
                os.utime(each, (then, then))

    def _on_server(self, name: str) -> str:
        address = make_url(self.server).set(drivername="postgresql+psycopg", database=name)
        return address.render_as_string(hide_password=False)

    def _administer(self, statement: str) -> list[tuple[Any, ...]]:
        with psycopg.connect(self.server, autocommit=True) as connection:
            found = connection.execute(statement.encode())
            return found.fetchall() if found.description else []

    def _alone(self) -> None:
        """Wait until the server has noticed that a killed client is gone."""
        asked = f"SELECT count(*) FROM pg_stat_activity WHERE datname = '{self.name}'"  # noqa: S608 - a name made here
        while self._administer(asked)[0][0]:
            time.sleep(0.01)

    def come_up(self) -> None:
        """Wait until the server lets people in again."""
        while True:
            with suppress(psycopg.OperationalError):
                self._administer("SELECT 1")
                return
            time.sleep(0.05)

    def come_to_rest(self) -> None:
        """Wait until nobody works in the ledger any more."""
        if self.server:
            self._alone()


def _plain(work: Any, name: str) -> list[tuple[Any, ...]]:  # noqa: ANN401 - an open unit of work
    """Give a table's rows without what chance drew, in an order of their own."""
    found = rows(work, name)
    return sorted((tuple(value for key, value in row._mapping.items() if key not in DRAWN) for row in found), key=repr)


def _last_letters(folder: Path, words: str) -> str:
    """Read the last letters of a secret key off its paper."""
    assert "last 8 letters" in words
    from pypdf import PdfReader

    (file,) = folder.glob("*key*.pdf")
    text = "".join(PdfReader(file).pages[0].extract_text().split())
    return text[text.index("AGE-SECRET-KEY-1") :][66:74]


def _never() -> None:
    """Nothing goes wrong."""


def _nothing() -> Faults:
    return Faults(0, _never)


def _no_rename() -> Faults:
    """Let no paper take its place."""

    def refuse(self: Path, target: Path) -> Path:
        if target.suffix == ".pdf":
            raise OSError(28, os.strerror(28))
        os.replace(self, target)  # noqa: PTH105 - the method is what is replaced here
        return target

    Path.replace = refuse  # type: ignore[method-assign,assignment]
    return _nothing()


def going_wrong(at: int, wrong: Callable[[], None], *, disk: bool = True, database: str = "") -> Callable[[], Faults]:
    """Give what lets the touch of that number go wrong: of the disk, or of a database (`sqlite`, `server`)."""

    def around() -> Faults:
        found = Faults(at, wrong)
        for owner, name in (*(EVERY_CALL if disk else ()), *(SERVER_CALLS if database == "server" else ())):
            setattr(owner, name, found.around(getattr(owner, name)))
        if database == "sqlite":
            found.kept = inside_sqlite(found)
        return found

    return around


def _kill_group(child: int) -> None:
    try:
        os.killpg(child, signal.SIGKILL)
    except ProcessLookupError:
        os.kill(child, signal.SIGKILL)
