"""TOML that people write, read table by table: what a key may hold stands in one place, and every fault is told."""
