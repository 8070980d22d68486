"""Files in and out: written whole beside their place and renamed into it, read up to a size, swept up after a kill."""
