"""The tests of shopledger; each folder mirrors a package."""
