"""The lens code bands as the descriptors print them, typed from CMS HCPCS Level II, release of October 2025.

Columns: code, sphere from and to, cylinder from and to, in dioptres; a dash where the descriptor names no cylinder,
`over` where it says "over". "Plus or minus" stands before every sphere. The release of October 2026 was not read.
"""

from __future__ import annotations

PUBLISHED = """
V2100   plano   4.00     -      -
V2101    4.12   7.00     -      -
V2102    7.12  20.00     -      -
V2103   plano   4.00    .12   2.00
V2104   plano   4.00   2.12   4.00
V2105   plano   4.00   4.25   6.00
V2106   plano   4.00   over   6.00
V2107    4.25   7.00    .12   2.00
V2108    4.25   7.00   2.12   4.00
V2109    4.25   7.00   4.25   6.00
V2110    4.25   7.00   over   6.00
V2111    7.25  12.00    .25   2.25
V2112    7.25  12.00   2.25   4.00
V2113    7.25  12.00   4.25   6.00
V2114    over  12.00    any    any
V2200   plano   4.00     -      -
V2201    4.12   7.00     -      -
V2202    7.12  20.00     -      -
V2203   plano   4.00    .12   2.00
V2204   plano   4.00   2.12   4.00
V2205   plano   4.00   4.25   6.00
V2206   plano   4.00   over   6.00
V2207    4.25   7.00    .12   2.00
V2208    4.25   7.00   2.12   4.00
V2209    4.25   7.00   4.25   6.00
V2210    4.25   7.00   over   6.00
V2211    7.25  12.00    .25   2.25
V2212    7.25  12.00   2.25   4.00
V2213    7.25  12.00   4.25   6.00
V2214    over  12.00    any    any
V2300   plano   4.00     -      -
V2301    4.12   7.00     -      -
V2302    7.12  20.00     -      -
V2303   plano   4.00    .12   2.00
V2304   plano   4.00   2.25   4.00
V2305   plano   4.00   4.25   6.00
V2306   plano   4.00   over   6.00
V2307    4.25   7.00    .12   2.00
V2308    4.25   7.00   2.12   4.00
V2309    4.25   7.00   4.25   6.00
V2310    4.25   7.00   over   6.00
V2311    7.25  12.00    .25   2.25
V2312    7.25  12.00   2.25   4.00
V2313    7.25  12.00   4.25   6.00
V2314    over  12.00    any    any
"""


def eighths(printed: str) -> int:
    """Count the eighths of a printed power; `plano` is none, and .12 stands for .125 and so on."""
    if printed == "plano":
        return 0
    whole, cents = printed.split(".")
    steps = {"00": 0, "12": 1, "25": 2, "37": 3, "50": 4, "62": 5, "75": 6, "87": 7}
    return int(whole or 0) * 8 + steps[cents]


def published_codes(stem: str, sphere: int, cylinder: int) -> tuple[str, ...]:
    """Give the codes whose printed band holds a power, both sizes in eighths; the stem is V21, V22 or V23."""
    rows = [row.split() for row in PUBLISHED.split("\n") if row.startswith(stem)]
    return tuple(row[0] for row in rows if _within(sphere, *row[1:3]) and _cylinder_within(cylinder, *row[3:5]))


def _cylinder_within(cylinder: int, low: str, high: str) -> bool:
    if low == "-":
        return cylinder == 0
    return cylinder > 0 and (low == "any" or _within(cylinder, low, high))


def _within(size: int, low: str, high: str) -> bool:
    return size > eighths(high) if low == "over" else eighths(low) <= size <= eighths(high)
