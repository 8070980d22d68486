"""The manual for reading offline: what it says, as a page for a browser and as one for `man`."""
