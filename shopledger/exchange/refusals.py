"""What exchange refuses: each error names the file, the line where it is known, what is wrong and a hint."""

from __future__ import annotations

from collections.abc import Sequence

from shopledger.errors import ExchangeError, listed, nearest


class FileRefusedError(ExchangeError):
    """A file that came in cannot be used as it is."""

    file: str
    line: int | None
    reason: str
    hint: str

    @property
    def place(self) -> str:
        """The file, and the line where there is one."""
        return self.file if self.line is None else f"{self.file}, line {self.line}"

    def __str__(self) -> str:
        return f"{self.place}: {self.reason}. {self.hint}".rstrip()


class UnknownKeyError(FileRefusedError):
    """A file holds a key that means nothing here; `unknown_key` makes it."""

    table: str
    key: str
    near: tuple[str, ...]


def unknown_key(file: str, line: int | None, table: str, key: str, known: Sequence[str]) -> UnknownKeyError:
    """Refuse a key; the nearest known one is suggested, or all are listed."""
    near = nearest(key, known, most=1)
    hint = f"Did you mean '{near[0]}'?" if near else f"Known are {listed(known)}."
    return UnknownKeyError(file, line, f"{table} has no key '{key}'", hint, table, key, near)


class RowsRefusedError(ExchangeError):
    """Rows of a file, or of several, cannot be used; every problem is kept, and nothing was taken over."""

    problems: tuple[FileRefusedError, ...]

    def __str__(self) -> str:
        rows = " ".join(f"({number}) {problem}" for number, problem in enumerate(self.problems, start=1))
        return f"{len(self.problems)} problems, so nothing was taken over. {rows}"
