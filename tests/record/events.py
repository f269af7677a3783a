"""Events to store, as tests need them."""

from mixstation.record.stored import NewEvent


def one(seq: int, kind: str, body: str) -> tuple[NewEvent]:
    """A decision of a single event."""
    return (NewEvent(seq=seq, kind=kind, body=body),)


def several(first_seq: int, *bodies: str, kind: str = "NoteMade") -> tuple[NewEvent, ...]:
    """A decision of several events, numbered on."""
    return tuple(NewEvent(seq=seq, kind=kind, body=body) for seq, body in enumerate(bodies, start=first_seq))
