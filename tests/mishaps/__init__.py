"""The README's table of mishaps and the ways out: `python -m tests.mishaps` writes it anew."""
