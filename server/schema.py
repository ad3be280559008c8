"""The tables of the book, as named steps. Each step runs in one transaction with the note that it ran."""

from sqlite_utils import Database
from sqlite_utils.migrations import Migrations

steps = Migrations("glovebook")

# REPLACE deletes a row without firing the trigger on DELETE, so an id that is there already is skipped on INSERT.
LOG_TRIGGERS = {
    "log_no_update": "CREATE TRIGGER log_no_update BEFORE UPDATE ON log BEGIN "
    "SELECT RAISE(ABORT, 'the log is never changed: write a correcting entry'); END",
    "log_no_delete": "CREATE TRIGGER log_no_delete BEFORE DELETE ON log BEGIN "
    "SELECT RAISE(ABORT, 'nothing leaves the log: write an entry that strikes'); END",
    "log_first_stays": "CREATE TRIGGER log_first_stays BEFORE INSERT ON log "
    "WHEN EXISTS (SELECT 1 FROM log WHERE id = NEW.id) BEGIN SELECT RAISE(IGNORE); END",
    "log_in_order": "CREATE TRIGGER log_in_order BEFORE INSERT ON log "
    "WHEN NEW.seq <> (SELECT coalesce(max(seq), 0) + 1 FROM log) "
    "AND NOT EXISTS (SELECT 1 FROM log WHERE id = NEW.id) "
    "BEGIN SELECT RAISE(ABORT, 'the log is numbered without gaps'); END",
}


@steps()
def the_log(db: Database) -> None:
    """The log, and what it says of itself: site, epoch, head."""
    db.execute("CREATE TABLE facts (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT")
    db.execute("""
        CREATE TABLE log (
            seq INTEGER PRIMARY KEY,
            sort TEXT NOT NULL CHECK (sort IN ('entry', 'restore')),
            id TEXT NOT NULL UNIQUE,
            device TEXT,            -- of the entry, out of its text
            n INTEGER,
            kind TEXT,
            carrier TEXT NOT NULL,  -- the device that brought it, which may be another
            received TEXT NOT NULL,
            text TEXT NOT NULL,
            hash TEXT NOT NULL
        ) STRICT""")
    db.execute("CREATE INDEX log_device ON log (device, n)")
    db.execute("CREATE INDEX log_kind ON log (kind)")
    for trigger in LOG_TRIGGERS.values():
        db.execute(trigger)


@steps()
def what_follows_from_the_log(db: Database) -> None:
    """Tables that can be thrown away and worked out again."""
    db.execute("""
        CREATE TABLE marks (
            id TEXT NOT NULL REFERENCES log (id), mark TEXT NOT NULL, PRIMARY KEY (id, mark)
        ) STRICT, WITHOUT ROWID""")
    db.execute("""
        CREATE TABLE places (
            place TEXT PRIMARY KEY, ethanol_mg INTEGER NOT NULL, liquid_mg INTEGER NOT NULL, extract_mg INTEGER NOT NULL
        ) STRICT, WITHOUT ROWID""")


@steps()
def who_may_bring_entries(db: Database) -> None:
    """Paired devices, codes for pairing, and what was refused."""
    db.execute("""
        CREATE TABLE devices (
            device TEXT PRIMARY KEY,
            letters TEXT NOT NULL UNIQUE,
            token_hash TEXT NOT NULL UNIQUE,
            was TEXT,
            paired TEXT NOT NULL,
            by_token INTEGER NOT NULL,  -- 1: paired anew with the token of the device that it was
            seen TEXT,
            revoked TEXT
        ) STRICT, WITHOUT ROWID""")
    db.execute("""
        CREATE TABLE codes (
            salt TEXT PRIMARY KEY, code_hash TEXT NOT NULL, expires_ms INTEGER NOT NULL, tries INTEGER NOT NULL
        ) STRICT, WITHOUT ROWID""")
    db.execute("""
        CREATE TABLE refused (
            number INTEGER PRIMARY KEY, text_hash TEXT NOT NULL UNIQUE, carrier TEXT NOT NULL, at TEXT NOT NULL,
            why TEXT NOT NULL, text TEXT NOT NULL
        ) STRICT""")


@steps()
def what_a_device_may_do(db: Database) -> None:
    """Roles. Devices that were paired before there were any are office: they could do all of it, and still can."""
    db.execute("ALTER TABLE devices ADD COLUMN role TEXT NOT NULL DEFAULT 'office' CHECK (role IN ('floor', 'office'))")
    db.execute("ALTER TABLE codes ADD COLUMN role TEXT NOT NULL DEFAULT 'floor' CHECK (role IN ('floor', 'office'))")
    # Which role a device had when it sent a set-up does not follow from the log, so it is kept.
    db.execute("CREATE TABLE floor_setups (id TEXT PRIMARY KEY REFERENCES log (id)) STRICT, WITHOUT ROWID")


@steps()
def who_has_a_pin(db: Database) -> None:
    """Verifiers of PINs, beside the book: no export of the log carries them."""
    db.execute("""
        CREATE TABLE pins (
            person TEXT PRIMARY KEY, salt TEXT NOT NULL, rounds INTEGER NOT NULL, verifier TEXT NOT NULL,
            set_at TEXT NOT NULL, device TEXT NOT NULL
        ) STRICT, WITHOUT ROWID""")


@steps()
def what_the_book_was(db: Database) -> None:
    """Openings, and what was put away from them (server/book/opening.py); all of it follows from the log."""
    db.execute("CREATE TABLE moments (seq INTEGER PRIMARY KEY, at INTEGER NOT NULL) STRICT")
    db.execute("CREATE INDEX moments_at ON moments (at)")
    # Which entry bears on which: strikes, corrections, choices. The other one need not be here yet.
    db.execute("CREATE TABLE links (target TEXT, seq INTEGER, PRIMARY KEY (target, seq)) STRICT, WITHOUT ROWID")
    db.execute("CREATE TABLE openings (cut INTEGER PRIMARY KEY, body TEXT NOT NULL) STRICT")
    db.execute("""
        CREATE TABLE put_away (
            sort TEXT, key TEXT, cut INTEGER,
            back INTEGER,  -- the cut of the opening that has it again
            body TEXT NOT NULL,
            PRIMARY KEY (sort, key, cut)
        ) STRICT, WITHOUT ROWID""")
    db.execute("""
        CREATE TABLE put_away_names (
            name TEXT, sort TEXT, key TEXT, cut INTEGER, PRIMARY KEY (name, sort, key, cut)
        ) STRICT, WITHOUT ROWID""")
    db.execute("""
        CREATE TABLE given (
            number INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, cut INTEGER NOT NULL, upto INTEGER NOT NULL,
            is_good INTEGER NOT NULL, body TEXT NOT NULL
        ) STRICT""")


@steps()
def what_moved(db: Database) -> None:
    """Every movement that the openings count (server/book/ledger.py), and which entries a trace needs."""
    db.execute("""
        CREATE TABLE moves (
            number INTEGER PRIMARY KEY,  -- in the order of the book
            id TEXT NOT NULL, at INTEGER NOT NULL, origin TEXT NOT NULL, goal TEXT NOT NULL,
            from_key TEXT, to_key TEXT,  -- JSON {account, holds}; null outside the house
            ethanol_mg INTEGER NOT NULL, liquid_mg INTEGER NOT NULL, extract_mg INTEGER NOT NULL
        ) STRICT""")
    db.execute("CREATE INDEX moves_at ON moves (at)")
    db.execute("DELETE FROM links")
    db.execute("DELETE FROM moments")  # noted again, with the new word
    db.execute("ALTER TABLE moments ADD COLUMN moves INTEGER NOT NULL DEFAULT 0")
    db.execute("CREATE INDEX moments_moves ON moments (seq) WHERE moves")


@steps()
def what_was_done(db: Database) -> None:
    """Work, findings and differences that openings let go (server/book/done.py), by the time that they are about."""
    db.execute("""
        CREATE TABLE done (
            sort TEXT, key TEXT,
            cut INTEGER,  -- of the opening that let it go
            begun INTEGER NOT NULL, ended INTEGER NOT NULL, body TEXT NOT NULL,
            PRIMARY KEY (sort, key, cut)
        ) STRICT""")
    db.execute("CREATE INDEX done_when ON done (sort, ended, begun)")
