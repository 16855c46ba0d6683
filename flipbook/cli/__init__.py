"""The commands: a table of all of them, and a file for each with the calls it makes; no sums are done here."""
