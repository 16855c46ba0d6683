"""From sums to pages: the buyers' portfolio, the private books, and the wall between the two."""
