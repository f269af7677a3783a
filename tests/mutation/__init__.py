"""One-line changes of the core that the tests must notice: `python -m tests.mutation`."""
