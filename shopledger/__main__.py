"""Runs the program as `python -m shopledger`."""

from __future__ import annotations

from shopledger.cli.main import main

if __name__ == "__main__":
    main()
