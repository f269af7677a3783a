"""The tables of the journal file."""

from mixstation.record.tables import Tables

APPLICATION_ID = 0x6D697873

# A batch's number gives the order of beginning and keeps keys short; ids are text of any form. There is no index
# beside the tables: a flipped bit in one would hide a batch that every check of the table finds in order.
_STATEMENTS = (
    """
    CREATE TABLE batch (
        number INTEGER PRIMARY KEY,
        batch_id TEXT NOT NULL
    ) STRICT
    """,
    """
    CREATE TABLE event (
        batch INTEGER NOT NULL REFERENCES batch,
        seq INTEGER NOT NULL,
        kind TEXT NOT NULL,
        body TEXT NOT NULL,
        chain BLOB NOT NULL,
        PRIMARY KEY (batch, seq)
    ) STRICT, WITHOUT ROWID
    """,
    # These also stop INSERT OR REPLACE, which removes a row without firing a DELETE trigger.
    """
    CREATE TRIGGER batch_comes_next BEFORE INSERT ON batch
    WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM batch)
        OR EXISTS (SELECT 1 FROM batch WHERE batch_id = NEW.batch_id)
    BEGIN SELECT RAISE(ABORT, 'a batch takes the next number and a new id'); END
    """,
    """
    CREATE TRIGGER event_comes_next BEFORE INSERT ON event
    WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM event WHERE batch = NEW.batch)
    BEGIN SELECT RAISE(ABORT, 'an event takes the next number of its batch'); END
    """,
    *(
        f"""
        CREATE TRIGGER {table}_refuses_{action.lower()} BEFORE {action} ON {table}
        BEGIN SELECT RAISE(ABORT, 'nothing recorded is changed or removed'); END
        """
        for table in ("batch", "event")
        for action in ("UPDATE", "DELETE")
    ),
)

TABLES = Tables(application_id=APPLICATION_ID, statements=_STATEMENTS)
VERSION = TABLES.version
standing, create = TABLES.standing, TABLES.bring_up_to_date
