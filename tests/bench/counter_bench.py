"""How soon the counter answers, how much it holds, and how long its first pages take before a ledger of many orders.

Run it as `python tests/bench/counter_bench.py [ORDERS]`. The counter runs as a program of its own; a browser's requests
come over one connection each. Between looks at Today something is typed, as on a day at the shop.
"""

from __future__ import annotations

import http.client
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from urllib.parse import quote, urlsplit

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.bench.today_bench import LOOKED_FOR, before

START, PAGE, ROOM = 0.6, 50.0, 100.0
"""Goals: seconds to the first answer, milliseconds of a page in nineteen times of twenty, megabytes held."""
LOOKS = 200


@contextmanager
def running(ledger: Path, day: str, folder: Path) -> Iterator[tuple[subprocess.Popen[str], str, float]]:
    """Start the counter; gives its process, its address with a key, and the seconds until it said so."""
    words = [sys.executable, "-m", "shopledger", "--ledger", str(ledger), "--operator", "Ina", "--today", day]
    words += ["counter", "--no-browser", "--papers", str(folder / "papers")]
    environ = {**os.environ, "SHOPLEDGER_STATE": str(folder / "state")}
    began = time.perf_counter()
    process = subprocess.Popen(words, env=environ, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True)
    assert process.stderr is not None
    address = ""
    while not address:
        line = process.stderr.readline()
        found = re.search(r"http://\S+", line)
        address = found[0] if found else ""
        if not line and process.poll() is not None:
            raise SystemExit(line)
    took = time.perf_counter() - began
    try:
        yield process, address, took
    finally:
        process.terminate()
        with suppress(subprocess.TimeoutExpired):
            process.wait(10)


class Visitor:
    """A browser on one connection that is kept open."""

    def __init__(self, address: str) -> None:
        parts = urlsplit(address)
        self.host = parts.netloc
        self.connection = http.client.HTTPConnection("127.0.0.1", parts.port, timeout=120)
        self.cookie = ""
        answer = self.ask(f"{parts.path}?{parts.query}")
        self.cookie = answer.getheader("Set-Cookie", "").split(";")[0]

    def ask(self, path: str) -> http.client.HTTPResponse:
        """Ask for a page and read it whole."""
        headers = {
            "Host": self.host,
            "Sec-Fetch-Site": "same-origin",
            **({"Cookie": self.cookie} if self.cookie else {}),
        }
        self.connection.request("GET", path, headers=headers)
        answer = self.connection.getresponse()
        answer.read()
        return answer

    def timed(self, path: str) -> float:
        """Give the milliseconds of one page."""
        began = time.perf_counter()
        if self.ask(path).status not in {200, 303}:
            raise SystemExit(f"{path} failed")
        return (time.perf_counter() - began) * 1000


def told(what: str, times: list[float]) -> None:
    """Say the middle and the twentieth slowest."""
    slow = statistics.quantiles(times, n=20)[-1]
    print(f"{what:<28} median {statistics.median(times):6.1f} ms   p95 {slow:6.1f} ms   goal {PAGE:.0f} ms")


def held(process: subprocess.Popen[str]) -> float:
    """Give the megabytes that the counter holds."""
    lines = Path(f"/proc/{process.pid}/status").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmRSS")) / 1000


def told_room(when: str, process: subprocess.Popen[str]) -> None:
    """Say how much it holds by now."""
    print(f"{when:<28} {held(process):.0f} MB   goal {ROOM:.0f} MB")


def main() -> None:
    """Measure everything."""
    orders = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        with before(orders, "sqlite", folder) as desk:
            day = desk.today.isoformat()
        ledger = folder / "large.db"
        starts: list[float] = []
        for _ in range(3):
            with running(ledger, day, folder) as (process, address, took):
                starts.append(took)
        print(f"{'ready after':<28} {min(starts):.2f} s   goal {START} s")
        with running(ledger, day, folder) as (process, address, _):
            visitor = Visitor(address)
            first = visitor.timed("/")
            print(f"{'first look at Today':<28} {first:.0f} ms")
            told("Today", [visitor.timed("/") for _ in range(LOOKS)])
            told("Find", [visitor.timed(f"/find?q={quote(words)}") for _ in range(20) for words in LOOKED_FOR])
            told_room("holds after these", process)
            told("a customer", [visitor.timed(f"/customers/{number}") for number in range(1, 101)])
            told("an order", [visitor.timed(f"/orders/{number}") for number in range(orders - 100, orders)])
            told("the board", [visitor.timed("/bench") for _ in range(20)])
            told_room("holds in the end", process)


if __name__ == "__main__":
    main()
