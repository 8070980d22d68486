"""Commands: what the owner types, how questions are asked, how results are shown."""
