"""Everything a change must pass. Makes .venv where needed, and installs what tests need.

    sh tests/run            lint, types, layers, written docs, all tests but the slow and the long; coverage of those
                            that take each path once
    sh tests/run fast       the same without coverage, and without the tests marked postgres
    sh tests/run slow       what builds, copies and fuzzes, or takes a shop through many days: ten minutes
    sh tests/run long       what kills, fails and damages at every point, or hundreds of times: half an hour
    sh tests/run browser    the pages in a real Chromium, if there is one: five minutes
    sh tests/run bench      the benchmarks, one after another

What follows the first word is handed to pytest: sh tests/run fast -k money. Any Python can read this file; the rest
needs 3.8, and finds the newer one that the program needs.
"""

import os
import sys

if sys.version_info < (3, 8):
    sys.exit(
        "shopledger needs Python 3.11 or later, and this is Python %d.%d. Get a newer one from python.org or from your "
        "system's packages, and run this again." % sys.version_info[:2]
    )

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
sys.path[:0] = [ROOT, os.path.join(ROOT, "demo")]
import environment

from tests import checks

environment.start(checks.check)
