"""What lies beside the copies, so that they open in years to come without this program: a page, and a small reader."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from shopledger.files.writing import write_whole

PAGE_NAME: Final = "how-to-open-the-copies.txt"
READER_NAME: Final = "open_copy.py"
_READER: Final = Path(__file__).with_name(READER_NAME)
_PAGE: Final = """\
HOW TO OPEN THESE COPIES

Each file called shopledger-...db or shopledger-...db.age is the whole ledger of a spectacle shop as it was on the day
in its name. shopledger-copies.jsonl lists them, one a line: day, file, size, SHA-256, head of the books, state of the
tables, version of the program, and the public keys that the file is locked with.

With the program: install shopledger (Python 3.11 or later; for .age files with its extra "encrypt"), then
    shopledger backup check FILE      looks at a copy and changes nothing
    shopledger backup restore FILE    makes it the ledger again, and keeps the present one

Without the program:

1. A file that ends in .db is a SQLite 3 database (https://www.sqlite.org/fileformat2.html). Any program for SQLite
   opens it. Copy it somewhere else first, and work on that copy. Amounts are whole cents, days are YYYY-MM-DD.

2. A file that ends in .age is such a database, encrypted in the open format "age", version 1
   (https://c2sp.org/age). You need the secret key: it begins with AGE-SECRET-KEY-1 and was printed on paper when it
   was made. Type it into a text file, letter by letter, without blanks; then either
       age --decrypt -i KEYFILE -o NEWFILE.db FILE.db.age
   with any program that knows the format, or, with Python and its library "cryptography",
       python open_copy.py FILE.db.age KEYFILE NEWFILE.db
   Delete the text file afterwards. Without the secret key nobody can open the file.
"""


def lay_beside(folder: Path) -> None:
    """Write the page and the reader into a place, where they are missing or of another day."""
    for name, body in ((PAGE_NAME, _PAGE.encode()), (READER_NAME, _READER.read_bytes())):
        file = folder / name
        if not file.is_file() or file.read_bytes() != body:
            write_whole(body, file)
