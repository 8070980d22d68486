"""What the shop's other papers say: frozen words and amounts from the ledger's values, before anything is drawn."""
