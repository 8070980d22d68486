"""How each thing is shown: its JSON, which keeps its form, and the tables that say the same to a reader."""
