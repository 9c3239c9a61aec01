//! Everything the studio keeps, in one SQLite file of the maker's own.
//!
//! A quilt is a row of whole plans, one a gesture, and a mark where in that row it stands.
//! Undo moves the mark; a new gesture drops what was undone and adds a plan behind it.
//! Every gesture is written before it is answered, so whatever stops the program, at most
//! the gesture in hand is lost. Plans are kept as plan files, so a newer program can read
//! what an older one kept.
//!
//! ```text
//!   quilt ─▶ step 1, step 2, step 3 ◀ stands here, step 4 (undone)
//!        │       └▶ marks: what a step ticked off, from how many to how many
//!        ├▶ ticks: what is done at the cutting table and at the machine
//!        ├▶ moments: whole plans under names of the maker's
//!        └▶ photographs: of cloth, and of blocks to trace
//! ```
//!
//! A tick is a gesture like any other: a step whose plan is that of the step before it
//! (kept as an empty text) with the marks it changed, so that undo takes it back and redo
//! sets it again.
//!
//! Several programs may have the file open: a gesture says which step it was made on, and
//! is refused if another got in between ([`Fault::Overtaken`]).

use std::collections::BTreeMap;
use std::fmt;
use std::path::Path;
use std::sync::{Mutex, MutexGuard, PoisonError};

use rusqlite::{Connection, OptionalExtension as _, TransactionBehavior, params};

/// Migrations; only ever added to.
const MIGRATIONS: [&str; 5] = [
    "
    CREATE TABLE quilt (
        id INTEGER PRIMARY KEY,
        stands INTEGER NOT NULL,
        turned INTEGER NOT NULL DEFAULT 0,
        opened INTEGER NOT NULL DEFAULT (unixepoch()),
        put_away INTEGER NOT NULL DEFAULT 0
    );
    CREATE TABLE step (
        quilt INTEGER NOT NULL REFERENCES quilt (id),
        number INTEGER NOT NULL,
        says TEXT NOT NULL,
        plan TEXT NOT NULL,
        kept INTEGER NOT NULL DEFAULT (unixepoch()),
        PRIMARY KEY (quilt, number)
    );
    CREATE TABLE tick (
        quilt INTEGER NOT NULL REFERENCES quilt (id),
        list TEXT NOT NULL,
        line TEXT NOT NULL,
        done INTEGER NOT NULL,
        PRIMARY KEY (quilt, list, line)
    );
",
    // `marks` is what the maker has said about the picture, as JSON.
    "
    CREATE TABLE photo (
        quilt INTEGER NOT NULL REFERENCES quilt (id),
        number INTEGER NOT NULL,
        name TEXT NOT NULL,
        kind TEXT NOT NULL CHECK (kind IN ('cloth', 'tracing')),
        wide INTEGER NOT NULL,
        high INTEGER NOT NULL,
        bytes BLOB NOT NULL,
        small BLOB NOT NULL,
        marks TEXT NOT NULL DEFAULT '{}',
        put_away INTEGER NOT NULL DEFAULT 0,
        made INTEGER NOT NULL DEFAULT (unixepoch()),
        PRIMARY KEY (quilt, number)
    );
",
    "
    CREATE TABLE moment (
        quilt INTEGER NOT NULL REFERENCES quilt (id),
        number INTEGER NOT NULL,
        name TEXT NOT NULL,
        plan TEXT NOT NULL,
        kept INTEGER NOT NULL DEFAULT (unixepoch()),
        PRIMARY KEY (quilt, number)
    );
",
    // The photograph that lies beneath a block while it is traced; `corners` are eight
    // ten-thousandths of its sides, or empty.
    "
    CREATE TABLE tracing (
        quilt INTEGER NOT NULL REFERENCES quilt (id),
        block INTEGER NOT NULL,
        photo INTEGER NOT NULL,
        corners TEXT NOT NULL DEFAULT '',
        strength INTEGER NOT NULL DEFAULT 60,
        PRIMARY KEY (quilt, block)
    );
",
    "
    CREATE TABLE mark (
        quilt INTEGER NOT NULL,
        number INTEGER NOT NULL,
        list TEXT NOT NULL,
        line TEXT NOT NULL,
        was INTEGER NOT NULL,
        done INTEGER NOT NULL,
        PRIMARY KEY (quilt, number, list, line),
        FOREIGN KEY (quilt, number) REFERENCES step (quilt, number) ON DELETE CASCADE
    );
",
];

mod moments;
mod photos;
mod tracing;

pub(crate) use moments::Moment;
pub(crate) use photos::{Kind, NewPhoto, PhotoLine};
pub(crate) use tracing::Tracing;

/// The store; one connection, used in turn.
#[derive(Debug)]
pub(crate) struct Store {
    connection: Mutex<Connection>,
}

/// Why something could not be kept or found.
#[derive(Debug)]
pub(crate) enum Fault {
    /// There is no such quilt or step.
    NotThere,
    /// Another window or program changed the quilt first.
    Overtaken,
    /// The file is from a newer program.
    Newer,
    /// The disk or the file.
    Disk(rusqlite::Error),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotThere => write!(f, "There is no such quilt on the shelf."),
            Self::Overtaken => write!(
                f,
                "Another window changed the quilt first; nothing was done. Look at it as it is now, and do it again if you still want to."
            ),
            Self::Newer => write!(
                f,
                "The shelf was last used by a newer Piecewright. Start that one, or take its shelf folder out of the way."
            ),
            Self::Disk(error) => write!(f, "The shelf could not be read or written: {error}."),
        }
    }
}

impl From<rusqlite::Error> for Fault {
    fn from(error: rusqlite::Error) -> Self {
        Self::Disk(error)
    }
}

/// One quilt as it stands.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Kept {
    /// Which.
    pub(crate) id: i64,
    /// The step it stands on, from 1.
    pub(crate) stands: i64,
    /// The last step there is.
    pub(crate) last: i64,
    /// Goes up with every change, undo included.
    pub(crate) turned: i64,
    /// The plan file of the step.
    pub(crate) plan: String,
    /// What was done in this step.
    pub(crate) says: String,
    /// What would be done again.
    pub(crate) next: Option<String>,
    /// When the step was kept: hour and minute by this machine's clock.
    pub(crate) clock: String,
}

/// One line of a list set to so many done.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Mark {
    /// Which list.
    pub(crate) list: &'static str,
    /// The line, by its words.
    pub(crate) line: String,
    /// How many are done then.
    pub(crate) done: u32,
}

/// One line of the history.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct PastStep {
    pub(crate) number: i64,
    pub(crate) says: String,
    /// Day and time by this machine's clock.
    pub(crate) when: String,
}

impl Store {
    /// Opens the store, making it if there is none.
    pub(crate) fn open(file: &Path) -> Result<Self, Fault> {
        let connection = Connection::open(file)?;
        connection.busy_timeout(std::time::Duration::from_secs(5))?;
        connection.pragma_update(None, "journal_mode", "WAL")?;
        connection.pragma_update(None, "synchronous", "FULL")?;
        connection.pragma_update(None, "foreign_keys", true)?;
        let known: i64 = connection.pragma_query_value(None, "user_version", |row| row.get(0))?;
        let known = usize::try_from(known).unwrap_or(usize::MAX);
        if known > MIGRATIONS.len() {
            return Err(Fault::Newer);
        }
        for (number, migration) in MIGRATIONS.iter().enumerate().skip(known) {
            connection.execute_batch(&format!(
                "BEGIN IMMEDIATE; {migration} PRAGMA user_version = {}; COMMIT;",
                number + 1
            ))?;
        }
        Ok(Self {
            connection: Mutex::new(connection),
        })
    }

    fn connection(&self) -> MutexGuard<'_, Connection> {
        // A panic elsewhere leaves no transaction open: they roll back when dropped.
        self.connection
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
    }

    /// A new quilt with its first plan.
    pub(crate) fn begin(&self, says: &str, plan: &str) -> Result<i64, Fault> {
        let mut connection = self.connection();
        let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let id = begun(&change, says, plan)?;
        change.commit()?;
        Ok(id)
    }

    /// The quilts on the shelf, or those put away; last opened first.
    pub(crate) fn shelf(&self, put_away: bool) -> Result<Vec<i64>, Fault> {
        let connection = self.connection();
        let mut asked = connection
            .prepare("SELECT id FROM quilt WHERE put_away = ?1 ORDER BY opened DESC, id DESC")?;
        let ids = asked.query_map([put_away], |row| row.get(0))?;
        Ok(ids.collect::<Result<_, _>>()?)
    }

    /// Whether the shelf was ever used.
    pub(crate) fn is_new(&self) -> Result<bool, Fault> {
        let count: i64 = self
            .connection()
            .query_row("SELECT count(*) FROM quilt", [], |row| row.get(0))?;
        Ok(count == 0)
    }

    /// A quilt as it stands now.
    pub(crate) fn quilt(&self, id: i64) -> Result<Kept, Fault> {
        let connection = self.connection();
        let found = connection
            .query_row(
                "SELECT quilt.id, stands, turned,
                        (SELECT plan FROM step WHERE quilt = ?1 AND number <= stands
                         AND plan <> '' ORDER BY number DESC LIMIT 1),
                        step.says,
                        (SELECT max(number) FROM step WHERE quilt = ?1),
                        (SELECT says FROM step WHERE quilt = ?1 AND number = stands + 1),
                        strftime('%H:%M', step.kept, 'unixepoch', 'localtime')
                 FROM quilt JOIN step ON step.quilt = quilt.id AND step.number = stands
                 WHERE quilt.id = ?1",
                [id],
                |row| {
                    Ok(Kept {
                        id: row.get(0)?,
                        stands: row.get(1)?,
                        turned: row.get(2)?,
                        plan: row.get(3)?,
                        says: row.get(4)?,
                        last: row.get(5)?,
                        next: row.get(6)?,
                        clock: row.get(7)?,
                    })
                },
            )
            .optional()?;
        found.ok_or(Fault::NotThere)
    }

    /// How often the quilt has been changed; cheap to ask.
    pub(crate) fn turned(&self, id: i64) -> Result<i64, Fault> {
        let found = self
            .connection()
            .query_row("SELECT turned FROM quilt WHERE id = ?1", [id], |row| {
                row.get(0)
            })
            .optional()?;
        found.ok_or(Fault::NotThere)
    }

    /// Marks it as the one last worked on.
    pub(crate) fn touch(&self, id: i64) -> Result<(), Fault> {
        self.connection()
            .execute("UPDATE quilt SET opened = unixepoch() WHERE id = ?1", [id])?;
        Ok(())
    }

    /// Keeps one gesture: the plan that comes of it, with what was done in words. What had
    /// been undone is dropped.
    pub(crate) fn add(&self, id: i64, turned: i64, says: &str, plan: &str) -> Result<(), Fault> {
        let mut connection = self.connection();
        let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let stands: Option<i64> = change
            .query_row(
                "SELECT stands FROM quilt WHERE id = ?1 AND turned = ?2",
                [id, turned],
                |row| row.get(0),
            )
            .optional()?;
        let stands = stands.ok_or(Fault::Overtaken)?;
        change.execute(
            "DELETE FROM step WHERE quilt = ?1 AND number > ?2",
            [id, stands],
        )?;
        change.execute(
            "INSERT INTO step (quilt, number, says, plan) VALUES (?1, ?2, ?3, ?4)",
            params![id, stands + 1, says, plan],
        )?;
        change.execute(
            "UPDATE quilt SET stands = ?2, turned = turned + 1, opened = unixepoch() WHERE id = ?1",
            [id, stands + 1],
        )?;
        change.commit()?;
        Ok(())
    }

    /// Goes to another step of the history, back or forth; what the steps between ticked
    /// off is taken back, or set again.
    pub(crate) fn go_to(&self, id: i64, turned: i64, step: i64) -> Result<(), Fault> {
        let mut connection = self.connection();
        let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let stands: Option<(i64, i64)> = change
            .query_row(
                "SELECT stands, turned FROM quilt WHERE id = ?1",
                [id],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()?;
        let (stands, now) = stands.ok_or(Fault::NotThere)?;
        if now != turned {
            return Err(Fault::Overtaken);
        }
        let there: bool = change.query_row(
            "SELECT EXISTS (SELECT 1 FROM step WHERE quilt = ?1 AND number = ?2)",
            [id, step],
            |row| row.get(0),
        )?;
        if !there {
            return Err(Fault::NotThere);
        }
        // Of several marks on one line the one nearest to where it goes counts, so they
        // are set in the order the steps are passed.
        let back = "SELECT list, line, was FROM mark
             WHERE quilt = ?1 AND number > ?2 AND number <= ?3 ORDER BY number DESC";
        let forth = "SELECT list, line, done FROM mark
             WHERE quilt = ?1 AND number > ?2 AND number <= ?3 ORDER BY number";
        let (asked, from, to) = if step < stands {
            (back, step, stands)
        } else {
            (forth, stands, step)
        };
        let marks: Vec<(String, String, u32)> = {
            let mut asked = change.prepare(asked)?;
            let marks = asked.query_map([id, from, to], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?))
            })?;
            marks.collect::<Result<_, _>>()?
        };
        for (list, line, done) in marks {
            set(&change, id, &list, &line, done)?;
        }
        change.execute(
            "UPDATE quilt SET stands = ?2, turned = turned + 1, opened = unixepoch() WHERE id = ?1",
            [id, step],
        )?;
        change.commit()?;
        Ok(())
    }

    /// The history, the latest first, at most so many lines from this step down.
    pub(crate) fn past(&self, id: i64, most: u32) -> Result<Vec<PastStep>, Fault> {
        let connection = self.connection();
        let mut asked = connection.prepare(
            "SELECT number, says, strftime('%Y-%m-%d %H:%M', kept, 'unixepoch', 'localtime')
             FROM step WHERE quilt = ?1 ORDER BY number DESC LIMIT ?2",
        )?;
        let steps = asked.query_map(params![id, most], |row| {
            Ok(PastStep {
                number: row.get(0)?,
                says: row.get(1)?,
                when: row.get(2)?,
            })
        })?;
        Ok(steps.collect::<Result<_, _>>()?)
    }

    /// Takes a quilt off the shelf, or puts it back; nothing of it is lost.
    pub(crate) fn put_away(&self, id: i64, away: bool) -> Result<(), Fault> {
        let changed = self.connection().execute(
            "UPDATE quilt SET put_away = ?2 WHERE id = ?1",
            params![id, away],
        )?;
        if changed == 1 {
            Ok(())
        } else {
            Err(Fault::NotThere)
        }
    }

    /// What is ticked off in a list: how many of each line are done.
    pub(crate) fn ticks(&self, id: i64, list: &str) -> Result<BTreeMap<String, u32>, Fault> {
        let connection = self.connection();
        let mut asked =
            connection.prepare("SELECT line, done FROM tick WHERE quilt = ?1 AND list = ?2")?;
        let ticks = asked.query_map(params![id, list], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(ticks.collect::<Result<_, _>>()?)
    }

    /// Keeps one gesture that ticks lines off: each so many done. What had been undone is
    /// dropped.
    ///
    /// It is not refused when another window was quicker: a tick says how many are done, and
    /// that stays true.
    pub(crate) fn mark(&self, id: i64, says: &str, marks: &[Mark]) -> Result<(), Fault> {
        let mut connection = self.connection();
        let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let stands: Option<i64> = change
            .query_row("SELECT stands FROM quilt WHERE id = ?1", [id], |row| {
                row.get(0)
            })
            .optional()?;
        let stands = stands.ok_or(Fault::NotThere)?;
        change.execute(
            "DELETE FROM step WHERE quilt = ?1 AND number > ?2",
            [id, stands],
        )?;
        change.execute(
            "INSERT INTO step (quilt, number, says, plan) VALUES (?1, ?2, ?3, '')",
            params![id, stands + 1, says],
        )?;
        for mark in marks {
            change.execute(
                "INSERT INTO mark (quilt, number, list, line, was, done)
                 VALUES (?1, ?2, ?3, ?4, coalesce(
                     (SELECT done FROM tick WHERE quilt = ?1 AND list = ?3 AND line = ?4), 0), ?5)",
                params![id, stands + 1, mark.list, mark.line, mark.done],
            )?;
            set(&change, id, mark.list, &mark.line, mark.done)?;
        }
        change.execute(
            "UPDATE quilt SET stands = ?2, turned = turned + 1, opened = unixepoch() WHERE id = ?1",
            [id, stands + 1],
        )?;
        change.commit()?;
        Ok(())
    }
}

/// A new quilt with its first plan, inside a change that is under way.
fn begun(change: &Connection, says: &str, plan: &str) -> Result<i64, Fault> {
    change.execute("INSERT INTO quilt (stands) VALUES (1)", [])?;
    let id = change.last_insert_rowid();
    change.execute(
        "INSERT INTO step (quilt, number, says, plan) VALUES (?1, 1, ?2, ?3)",
        params![id, says, plan],
    )?;
    Ok(id)
}

/// Sets a line to so many done.
fn set(
    change: &Connection,
    id: i64,
    list: &str,
    line: &str,
    done: u32,
) -> Result<(), rusqlite::Error> {
    change.execute(
        "INSERT INTO tick (quilt, list, line, done) VALUES (?1, ?2, ?3, ?4)
         ON CONFLICT (quilt, list, line) DO UPDATE SET done = excluded.done",
        params![id, list, line, done],
    )?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn store() -> Store {
        Store::open(Path::new(":memory:")).unwrap()
    }

    #[test]
    fn a_gesture_after_undo_drops_what_was_undone() {
        let store = store();
        let id = store.begin("Begin", "one").unwrap();
        store.add(id, 0, "Second", "two").unwrap();
        store.add(id, 1, "Third", "three").unwrap();
        store.go_to(id, 2, 1).unwrap();
        let back = store.quilt(id).unwrap();
        assert_eq!((back.plan.as_str(), back.stands, back.last), ("one", 1, 3));
        assert_eq!(back.next.as_deref(), Some("Second"));
        store.add(id, 3, "Other", "four").unwrap();
        let now = store.quilt(id).unwrap();
        assert_eq!((now.plan.as_str(), now.last, now.next), ("four", 2, None));
    }

    #[test]
    fn the_second_of_two_windows_is_told() {
        let store = store();
        let id = store.begin("Begin", "one").unwrap();
        store.add(id, 0, "From one window", "two").unwrap();
        let late = store.add(id, 0, "From the other", "three");
        assert!(matches!(late, Err(Fault::Overtaken)));
        assert!(matches!(store.go_to(id, 0, 1), Err(Fault::Overtaken)));
        assert!(matches!(store.go_to(id, 1, 9), Err(Fault::NotThere)));
        assert_eq!(store.quilt(id).unwrap().plan, "two");
    }

    #[test]
    fn what_is_put_away_can_be_brought_back() {
        let store = store();
        assert!(store.is_new().unwrap());
        let id = store.begin("Begin", "one").unwrap();
        store.put_away(id, true).unwrap();
        assert!(store.shelf(false).unwrap().is_empty());
        assert_eq!(store.shelf(true).unwrap(), [id]);
        store.put_away(id, false).unwrap();
        assert_eq!(store.shelf(false).unwrap(), [id]);
        assert!(matches!(store.quilt(id + 1), Err(Fault::NotThere)));
    }

    fn mark(list: &'static str, line: &str, done: u32) -> Mark {
        Mark {
            list,
            line: line.into(),
            done,
        }
    }

    #[test]
    fn ticks_are_kept_by_line() {
        let store = store();
        let id = store.begin("Begin", "one").unwrap();
        store.mark(id, "One", &[mark("cut", "a strip", 1)]).unwrap();
        store
            .mark(id, "Three", &[mark("cut", "a strip", 3)])
            .unwrap();
        store
            .mark(id, "Seven", &[mark("sew", "a strip", 7)])
            .unwrap();
        let ticks = store.ticks(id, "cut").unwrap();
        assert_eq!(ticks, BTreeMap::from([("a strip".to_owned(), 3)]));
        let late = store.mark(id + 1, "Nowhere", &[]);
        assert!(matches!(late, Err(Fault::NotThere)));
    }

    #[test]
    fn undo_takes_ticks_back_and_redo_sets_them_again() {
        let store = store();
        let id = store.begin("Begin", "one").unwrap();
        let done = |line: &str| {
            store
                .ticks(id, "cut")
                .unwrap()
                .get(line)
                .copied()
                .unwrap_or(0)
        };
        store
            .mark(id, "Tick", &[mark("cut", "a strip", 1)])
            .unwrap();
        store.add(id, 1, "Change", "two").unwrap();
        store
            .mark(
                id,
                "Tick",
                &[mark("cut", "a strip", 4), mark("cut", "b", 1)],
            )
            .unwrap();
        let now = store.quilt(id).unwrap();
        // The plan of a tick is that of the step before it.
        assert_eq!((now.plan.as_str(), now.stands, now.turned), ("two", 4, 3));
        for (turned, step, plan, strip, other) in [
            (3, 3, "two", 1, 0),
            (4, 2, "one", 1, 0),
            (5, 1, "one", 0, 0),
            (6, 4, "two", 4, 1),
            (7, 1, "one", 0, 0),
            (8, 2, "one", 1, 0),
        ] {
            store.go_to(id, turned, step).unwrap();
            assert_eq!(store.quilt(id).unwrap().plan, plan, "at {step}");
            assert_eq!((done("a strip"), done("b")), (strip, other), "at {step}");
        }
        // What was undone goes when something else is done.
        store.mark(id, "Other", &[mark("cut", "b", 2)]).unwrap();
        let now = store.quilt(id).unwrap();
        assert_eq!((now.last, now.next), (3, None));
        store.go_to(id, 10, 1).unwrap();
        assert_eq!((done("a strip"), done("b")), (0, 0));
    }
}
