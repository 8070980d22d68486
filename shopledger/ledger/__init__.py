"""The rules of the trade over frozen values: who, what, for how much, with which codes, in which books.

Nothing here touches a file, a database or a clock: the day is always an argument. Values are valid
from birth; amounts are whole cents (`Cents`), lens values are those of `shopledger.optics`.
"""
