"""The words and answers of the workshop's sums on the command line, a module for each group; the sums are in the workshop."""
