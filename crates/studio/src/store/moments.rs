//! Moments a maker has given a name: the whole plan as it was, kept apart from the row of
//! steps, so that no undo and no later gesture takes it away.

use rusqlite::{OptionalExtension as _, params};

use super::{Fault, Store};

/// A named moment.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Moment {
    pub(crate) number: i64,
    pub(crate) name: String,
    /// Day and time by this machine's clock.
    pub(crate) when: String,
}

impl Store {
    /// Keeps the quilt as it stands under a name.
    pub(crate) fn name_moment(&self, id: i64, name: &str) -> Result<(), Fault> {
        let changed = self.connection().execute(
            "INSERT INTO moment (quilt, number, name, plan)
             SELECT ?1, (SELECT coalesce(max(number), 0) + 1 FROM moment WHERE quilt = ?1), ?2, plan
             FROM step WHERE quilt = ?1 AND plan <> ''
             AND number <= (SELECT stands FROM quilt WHERE id = ?1)
             ORDER BY number DESC LIMIT 1",
            params![id, name],
        )?;
        if changed == 1 {
            Ok(())
        } else {
            Err(Fault::NotThere)
        }
    }

    /// The named moments, the latest first.
    pub(crate) fn moments(&self, id: i64) -> Result<Vec<Moment>, Fault> {
        let connection = self.connection();
        let mut asked = connection.prepare(
            "SELECT number, name, strftime('%Y-%m-%d %H:%M', kept, 'unixepoch', 'localtime')
             FROM moment WHERE quilt = ?1 ORDER BY number DESC",
        )?;
        let moments = asked.query_map([id], |row| {
            Ok(Moment {
                number: row.get(0)?,
                name: row.get(1)?,
                when: row.get(2)?,
            })
        })?;
        Ok(moments.collect::<Result<_, _>>()?)
    }

    /// A named moment: its name, and its plan file.
    pub(crate) fn moment(&self, id: i64, number: i64) -> Result<(String, String), Fault> {
        let found = self
            .connection()
            .query_row(
                "SELECT name, plan FROM moment WHERE quilt = ?1 AND number = ?2",
                [id, number],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()?;
        found.ok_or(Fault::NotThere)
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::super::Mark;
    use super::*;

    #[test]
    fn a_named_moment_outlives_undo_and_what_follows() {
        let store = Store::open(Path::new(":memory:")).unwrap();
        let id = store.begin("Begin", "one").unwrap();
        store.add(id, 0, "Second", "two").unwrap();
        // Whatever is ticked off meanwhile, it is the plan that is kept.
        let ticked = Mark {
            list: "cut",
            line: "a strip".to_owned(),
            done: 1,
        };
        store.mark(id, "Tick", &[ticked]).unwrap();
        store.name_moment(id, "with two").unwrap();
        store.go_to(id, 2, 1).unwrap();
        store.add(id, 3, "Other", "three").unwrap();
        store.name_moment(id, "with three").unwrap();
        let names: Vec<String> = store
            .moments(id)
            .unwrap()
            .into_iter()
            .map(|moment| moment.name)
            .collect();
        assert_eq!(names, ["with three", "with two"]);
        assert_eq!(
            store.moment(id, 1).unwrap(),
            ("with two".to_owned(), "two".to_owned())
        );
        assert!(matches!(store.moment(id, 3), Err(Fault::NotThere)));
        assert!(matches!(
            store.name_moment(id + 1, "x"),
            Err(Fault::NotThere)
        ));
    }
}
