"""Inputs damaged by chance, given to the command by the thousand: python -m tests.bench.fuzz KIND SECONDS [SEED].

Each run of the command may end well or refuse its input in one sentence with exit status 2; anything else is printed,
and its files are kept.
"""
