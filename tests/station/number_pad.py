"""What a hand on a number pad types at what it reads, on the screen or line by line."""

# What is on the screen, and what a hand on the number pad types then; the first that fits. Pours take themselves.
KEYS = (
    (("Which entry does not count",), "-"),
    (("Only ", "of at least"), "-"),
    (("Ways out",), "1\r"),
    (("over: stop",), "\r"),
    (("Wait until the scale is steady",), "\r"),
    (("Read this and put the gear on",), "\r"),
    (("Put the bucket on the scale",), "\r"),
    (("Mix fast",), "\r"),
    (("Mix slow",), "\r"),
    (("Keep mixing", "enough"), "\r"),
    (("Let it rest", "enough"), "\r"),
    (("Scrape sides",), "\r"),
    (("Judge the",), "1\r"),
    (("it moves right without it",), "\r"),
    (("Right with water at",), "2\r"),
    (("temperature of the mix",), "21\r"),
    (("What becomes of the batch",), "1\r"),
    (("Close the batch",), "\r"),
    (("checks are open",), "\r"),
    (("The batch is closed",), "\r"),
)


def typed_at(text: str) -> str:
    """What is typed at a screen."""
    return next((typed for words, typed in KEYS if all(word in text for word in words)), "")


def typed_at_line(line: str) -> str:
    """What is typed after a line of line mode; a timer that has run long enough says no more than that."""
    through = line.strip() == "enough" or line.startswith("going for")
    typed = "\n" if through else typed_at(line).replace("\r", "\n")
    # A key of the pad acts at once; here a line does.
    return f"{typed}\n" if typed and not typed.endswith("\n") else typed
