"""The ledger's tables, an area each; whoever reads an area imports its tables and no others."""
