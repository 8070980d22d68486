"""What a month asks of the journal, in SQL that SQLite and PostgreSQL both understand."""

from __future__ import annotations

from typing import Final

POSTED: Final = """
SELECT posting.account, SUM(posting.amount) AS amount
FROM journal_entry entry JOIN journal_posting posting ON posting.entry_number = entry.number
WHERE entry.day BETWEEN :first AND :last
GROUP BY posting.account
"""
JOURNAL: Final = """
SELECT entry.number AS entry_number, entry.day, entry.document, entry.memo, posting.account, posting.amount,
       entry.reverses
FROM journal_entry entry JOIN journal_posting posting ON posting.entry_number = entry.number
WHERE entry.day BETWEEN :first AND :last
ORDER BY entry.day, entry.number, posting.position
"""
TRIAL: Final = """
SELECT posting.account,
       SUM(CASE WHEN entry.day < :year THEN posting.amount ELSE 0 END) AS before_year,
       SUM(CASE WHEN entry.day >= :year AND entry.day < :first THEN posting.amount ELSE 0 END) AS before_month,
       SUM(CASE WHEN entry.day >= :first AND posting.amount > 0 THEN posting.amount ELSE 0 END) AS debits,
       -SUM(CASE WHEN entry.day >= :first AND posting.amount < 0 THEN posting.amount ELSE 0 END) AS credits
FROM journal_entry entry JOIN journal_posting posting ON posting.entry_number = entry.number
WHERE entry.day <= :last
GROUP BY posting.account
"""
