"""Benchmarks: each prints our time beside a reference library's, in one run, as ratios."""
