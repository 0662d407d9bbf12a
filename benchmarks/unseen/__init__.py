"""Families of pulse logs, stops, governed speeds and adjusters that no method was fitted to.

Two generators a question. They share no module with each other, with the simulators or with what reads them;
their ranges stand in `ranges.toml` and were written down before any result was seen.
"""
