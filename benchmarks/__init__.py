"""Timings of the parts that have a budget; run them with `python -m benchmarks`."""
