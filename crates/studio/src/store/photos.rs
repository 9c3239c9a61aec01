//! Photographs in the store: numbered in their quilt, never changed once they are there.
//!
//! A plan names a photograph of its cloth by the name [`file_name`](PhotoLine::file_name)
//! gives; going back in the history never loses one.

use std::collections::BTreeSet;

use rusqlite::{OptionalExtension as _, TransactionBehavior, params};

use super::{Fault, Store, begun};
use crate::bundle::Packed;

/// What a photograph is for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Kind {
    /// It shows cloth.
    Cloth,
    /// A block is traced from it.
    Tracing,
}

impl Kind {
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Cloth => "cloth",
            Self::Tracing => "tracing",
        }
    }

    pub(crate) fn named(word: &str) -> Option<Self> {
        [Self::Cloth, Self::Tracing]
            .into_iter()
            .find(|kind| kind.word() == word)
    }
}

/// A photograph to be kept.
#[derive(Clone, Debug)]
pub(crate) struct NewPhoto<'a> {
    pub(crate) name: &'a str,
    pub(crate) kind: Kind,
    pub(crate) kept: &'a photo::Kept,
}

/// One photograph, without its bytes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct PhotoLine {
    pub(crate) number: i64,
    pub(crate) name: String,
    pub(crate) wide: u32,
    pub(crate) high: u32,
    pub(crate) marks: String,
}

impl PhotoLine {
    /// What a plan calls it: made of its number and what its bytes are.
    pub(crate) fn file_name(number: i64, bytes: &[u8]) -> String {
        let ending = if bytes.starts_with(b"\x89PNG") {
            "png"
        } else {
            "jpg"
        };
        format!("photos/{number}.{ending}")
    }

    /// The number in such a name.
    pub(crate) fn number_in(name: &str) -> Option<i64> {
        let (number, ending) = name.strip_prefix("photos/")?.split_once('.')?;
        let plain = number.bytes().all(|b| b.is_ascii_digit()) && !number.starts_with('0');
        (plain && matches!(ending, "png" | "jpg"))
            .then(|| number.parse().ok())
            .flatten()
    }
}

/// Most photographs of one quilt.
pub(crate) const MOST_PHOTOS: i64 = 200;

impl Store {
    /// Keeps a photograph; its number. `None`: the quilt has as many as it may have.
    pub(crate) fn add_photo(&self, id: i64, new: &NewPhoto<'_>) -> Result<Option<i64>, Fault> {
        let mut connection = self.connection();
        let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let there: bool = change.query_row(
            "SELECT EXISTS (SELECT 1 FROM quilt WHERE id = ?1)",
            [id],
            |row| row.get(0),
        )?;
        if !there {
            return Err(Fault::NotThere);
        }
        let (last, count): (i64, i64) = change.query_row(
            "SELECT coalesce(max(number), 0), count(*) FROM photo WHERE quilt = ?1",
            [id],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )?;
        if count >= MOST_PHOTOS {
            return Ok(None);
        }
        put(&change, id, last + 1, new, "{}")?;
        change.commit()?;
        Ok(Some(last + 1))
    }

    /// The photographs of one kind that lie at hand, in their order.
    pub(crate) fn photos(&self, id: i64, kind: Kind) -> Result<Vec<PhotoLine>, Fault> {
        let connection = self.connection();
        let mut asked = connection.prepare(
            "SELECT number, name, wide, high, marks FROM photo
             WHERE quilt = ?1 AND kind = ?2 AND put_away = 0 ORDER BY number",
        )?;
        let lines = asked.query_map(params![id, kind.word()], line)?;
        Ok(lines.collect::<Result<_, _>>()?)
    }

    /// Which of these photographs there are.
    pub(crate) fn which_photos(
        &self,
        id: i64,
        named: &BTreeSet<i64>,
    ) -> Result<BTreeSet<i64>, Fault> {
        if named.is_empty() {
            return Ok(BTreeSet::new());
        }
        let connection = self.connection();
        let mut asked = connection.prepare("SELECT number FROM photo WHERE quilt = ?1")?;
        let numbers = asked.query_map([id], |row| row.get(0))?;
        let numbers: BTreeSet<i64> = numbers.collect::<Result<_, _>>()?;
        Ok(numbers.intersection(named).copied().collect())
    }

    /// One photograph with its bytes; `small`: the copy that is shown.
    pub(crate) fn photo(
        &self,
        id: i64,
        number: i64,
        small: bool,
    ) -> Result<Option<(PhotoLine, Vec<u8>)>, Fault> {
        let column = if small { "small" } else { "bytes" };
        let found = self
            .connection()
            .query_row(
                &format!(
                    "SELECT number, name, wide, high, marks, {column} FROM photo
                     WHERE quilt = ?1 AND number = ?2"
                ),
                [id, number],
                |row| Ok((line(row)?, row.get(5)?)),
            )
            .optional()?;
        Ok(found)
    }

    /// All that leave with a quilt: those on the table, and those a plan names.
    pub(crate) fn photos_to_pack(
        &self,
        id: i64,
        named: &BTreeSet<i64>,
    ) -> Result<Vec<Packed>, Fault> {
        let connection = self.connection();
        let mut asked = connection.prepare(
            "SELECT number, name, kind, marks, put_away, bytes FROM photo
             WHERE quilt = ?1 ORDER BY number",
        )?;
        let mut rows = asked.query([id])?;
        let mut out = Vec::new();
        while let Some(row) = rows.next()? {
            let (number, away): (i64, bool) = (row.get(0)?, row.get(4)?);
            if away && !named.contains(&number) {
                continue;
            }
            let kind: String = row.get(2)?;
            out.push(Packed {
                number,
                name: row.get(1)?,
                kind: Kind::named(&kind).unwrap_or(Kind::Cloth),
                marks: row.get(3)?,
                away,
                bytes: row.get(5)?,
            });
        }
        Ok(out)
    }

    /// A new quilt with its first plan and its photographs under their old numbers.
    pub(crate) fn begin_with(
        &self,
        says: &str,
        plan: &str,
        photos: &[(Packed, photo::Kept)],
    ) -> Result<i64, Fault> {
        let mut connection = self.connection();
        let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let id = begun(&change, says, plan)?;
        for (packed, kept) in photos {
            let new = NewPhoto {
                name: &packed.name,
                kind: packed.kind,
                kept,
            };
            put(&change, id, packed.number, &new, &packed.marks)?;
            if packed.away {
                change.execute(
                    "UPDATE photo SET put_away = 1 WHERE quilt = ?1 AND number = ?2",
                    [id, packed.number],
                )?;
            }
        }
        change.commit()?;
        Ok(id)
    }

    /// A new quilt from one there is: its photographs, and this plan.
    pub(crate) fn copy(&self, from: i64, says: &str, plan: &str) -> Result<i64, Fault> {
        let mut connection = self.connection();
        let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let id = begun(&change, says, plan)?;
        change.execute(
            "INSERT INTO photo (quilt, number, name, kind, wide, high, bytes, small, marks, put_away)
             SELECT ?2, number, name, kind, wide, high, bytes, small, marks, put_away
             FROM photo WHERE quilt = ?1",
            [from, id],
        )?;
        change.execute(
            "INSERT INTO tracing (quilt, block, photo, corners, strength)
             SELECT ?2, block, photo, corners, strength FROM tracing WHERE quilt = ?1",
            [from, id],
        )?;
        change.commit()?;
        Ok(id)
    }

    /// Keeps what the maker said about a photograph.
    pub(crate) fn mark_photo(&self, id: i64, number: i64, marks: &str) -> Result<(), Fault> {
        let changed = self.connection().execute(
            "UPDATE photo SET marks = ?3 WHERE quilt = ?1 AND number = ?2",
            params![id, number, marks],
        )?;
        (changed == 1).then_some(()).ok_or(Fault::NotThere)
    }

    /// Takes a photograph from the table, or brings it back; it stays where a plan names it.
    pub(crate) fn put_photo_away(&self, id: i64, number: i64, away: bool) -> Result<(), Fault> {
        let changed = self.connection().execute(
            "UPDATE photo SET put_away = ?3 WHERE quilt = ?1 AND number = ?2",
            params![id, number, away],
        )?;
        (changed == 1).then_some(()).ok_or(Fault::NotThere)
    }
}

fn line(row: &rusqlite::Row<'_>) -> rusqlite::Result<PhotoLine> {
    Ok(PhotoLine {
        number: row.get(0)?,
        name: row.get(1)?,
        wide: row.get(2)?,
        high: row.get(3)?,
        marks: row.get(4)?,
    })
}

pub(super) fn put(
    change: &rusqlite::Connection,
    id: i64,
    number: i64,
    new: &NewPhoto<'_>,
    marks: &str,
) -> Result<(), Fault> {
    change.execute(
        "INSERT INTO photo (quilt, number, name, kind, wide, high, bytes, small, marks)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
        params![
            id,
            number,
            new.name,
            new.kind.word(),
            new.kept.width,
            new.kept.height,
            new.kept.bytes,
            new.kept.small,
            marks
        ],
    )?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;

    #[test]
    fn photographs_keep_their_numbers_and_their_marks() {
        let store = Store::open(Path::new(":memory:")).unwrap();
        let id = store.begin("Begin", "one").unwrap();
        let kept = photo::Kept {
            width: 4,
            height: 3,
            bytes: vec![1, 2, 3],
            small: vec![4],
        };
        let new = |kind| NewPhoto {
            name: "a picture",
            kind,
            kept: &kept,
        };
        assert_eq!(store.add_photo(id, &new(Kind::Cloth)).unwrap(), Some(1));
        assert_eq!(store.add_photo(id, &new(Kind::Tracing)).unwrap(), Some(2));
        assert!(matches!(
            store.add_photo(id + 1, &new(Kind::Cloth)),
            Err(Fault::NotThere)
        ));
        store.mark_photo(id, 1, "{\"wide\":\"6\"}").unwrap();
        let (line, bytes) = store.photo(id, 1, false).unwrap().unwrap();
        assert_eq!((line.wide, line.marks.as_str()), (4, "{\"wide\":\"6\"}"));
        assert_eq!(bytes, [1, 2, 3]);
        assert_eq!(store.photo(id, 2, true).unwrap().unwrap().1, [4]);
        assert_eq!(store.photo(id, 3, true).unwrap(), None);
        store.put_photo_away(id, 1, true).unwrap();
        assert!(store.photos(id, Kind::Cloth).unwrap().is_empty());
        assert!(store.photo(id, 1, false).unwrap().is_some());
    }

    #[test]
    fn a_plan_names_a_photograph_by_its_number_alone() {
        let name = PhotoLine::file_name(12, b"\x89PNG\r\n");
        assert_eq!(name, "photos/12.png");
        assert_eq!(PhotoLine::number_in(&name), Some(12));
        for odd in [
            "photos/012.jpg",
            "photos/+1.jpg",
            "../photos/1.jpg",
            "photos/1",
            "photos/rust.jpg",
            "1.jpg",
        ] {
            assert_eq!(PhotoLine::number_in(odd), None, "{odd}");
        }
    }
}
