"""What exchange refuses: each error names the file, the line where it is known, what is wrong and how to mend it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shopledger.errors import ExchangeError, listed, nearest


class FileRefusedError(ExchangeError):
    """A file that came in cannot be used as it is."""

    def __init__(self, file: str, line: int | None, reason: str, mend: str) -> None:
        super().__init__(file, line, reason, mend)
        self.file = file
        self.line = line
        self.reason = reason
        self.mend = mend

    @property
    def place(self) -> str:
        """The file, and the line where there is one."""
        return self.file if self.line is None else f"{self.file}, line {self.line}"

    def __str__(self) -> str:
        """Say it in one line."""
        return f"{self.place}: {self.reason}. {self.mend}".rstrip()


class UnknownKeyError(FileRefusedError):
    """A file holds a key that means nothing here; the nearest known one is suggested."""

    def __init__(self, file: str, line: int | None, table: str, key: str, known: Iterable[str]) -> None:
        self.table = table
        self.key = key
        self.known = tuple(known)
        self.near = nearest(key, self.known, most=1)
        mend = f"Did you mean '{self.near[0]}'?" if self.near else f"Known are {listed(self.known)}."
        super().__init__(file, line, f"{table} has no key '{key}'", mend)


class RowsRefusedError(ExchangeError):
    """Rows of a file, or of several, cannot be used; every problem is kept, and nothing was taken over."""

    def __init__(self, problems: Sequence[FileRefusedError]) -> None:
        super().__init__(tuple(problems))
        self.problems = tuple(problems)

    def __str__(self) -> str:
        """Say how many there are, and each with its number."""
        rows = " ".join(f"({number}) {problem}" for number, problem in enumerate(self.problems, start=1))
        return f"{len(self.problems)} problems, so nothing was taken over. {rows}"
