"""The records of the shop's files: the one place that names their keys."""
