"""Exact values read from text and written as text: money, amounts, lengths, time taken, dates.

Nothing here knows of YAML, files or pieces. A reader takes the text a person wrote and returns an
exact value, or raises `Unreadable`, which says what is wrong and what to write instead.
"""
