"""Tables of the trade, each with its source: no sums, no files."""
