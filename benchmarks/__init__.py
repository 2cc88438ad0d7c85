"""Benchmarks and long trials: commands that print figures, never timed assertions in tests."""
