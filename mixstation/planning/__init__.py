"""Planning with a person: one question at a time, then a plan, then one bucket after the other at the bench."""
