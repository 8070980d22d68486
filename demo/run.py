"""The whole job once, on a new ledger of an invented shop: makes .venv where needed, installs, runs.

Writes into demo/out unless told otherwise with --into FOLDER. Any Python can read this file; the rest needs 3.8, and
finds the newer one that the program needs.
"""

import os
import sys

if sys.version_info < (3, 8):
    sys.exit(
        "shopledger needs Python 3.11 or later, and this is Python %d.%d. Get a newer one from python.org or from your "
        "system's packages, and run this again." % sys.version_info[:2]
    )

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import environment

environment.start(environment.demo)
