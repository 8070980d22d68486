"""The bench: the board, a job with what is done to it, its inspection, and the parcels that come back."""
