"""A file for each command: its page of help, the words it takes, and the calls it makes; no sums are done here."""
