"""(to be described)."""
