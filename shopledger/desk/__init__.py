"""What the shop does, one function per deed: each opens the ledger, asks the rules, stores all or nothing."""
