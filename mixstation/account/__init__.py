"""The account of a batch: its record, made from its entries, to read and to keep."""
