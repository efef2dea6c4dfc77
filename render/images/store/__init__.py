"""What is kept of earlier runs: the cache of traced results, its files, and the keys and entries of each kind."""
