"""How many of something, in words: one form for one, another for all else."""


def counted(count: int, one: str, more: str = "") -> str:
    """A count with what is counted.

    Args:
        count: How many.
        one: What one is called.
        more: What several are called; "" for the same with an s.

    Example:
        >>> counted(1, "entry", "entries"), counted(3, "pack")
        ('1 entry', '3 packs')
    """
    return f"{count} {one if count == 1 else more or one + 's'}"
