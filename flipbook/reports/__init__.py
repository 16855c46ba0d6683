"""Private: the tables and pages of the books, and the pack for whoever prepares the return."""
