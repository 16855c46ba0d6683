"""Answers at the bench: what is drying and what comes next, words found again, a job's history."""
