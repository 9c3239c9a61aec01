//! The photograph that lies beneath a block while it is traced: which one, where its
//! corners are, how strongly it shows. It is no part of the plan.

use rusqlite::{OptionalExtension as _, params};

use super::{Fault, Store};

/// Corners of a photograph in ten-thousandths of its width and height: upper left, upper
/// right, lower right, lower left of the block in it.
pub(crate) type Corners = [[u32; 2]; 4];

/// What lies beneath a block.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Tracing {
    /// The photograph's number.
    pub(crate) photo: i64,
    /// Where the block's corners are in it; `None` until the maker has said so.
    pub(crate) corners: Option<Corners>,
    /// How strongly it shows, of a hundred.
    pub(crate) strength: u32,
}

impl Tracing {
    /// Corners as they are sent and kept: eight numbers.
    pub(crate) fn corners_in(text: &str) -> Option<Corners> {
        let numbers: Option<Vec<u32>> = text
            .split([',', ' '])
            .map(|part| part.parse().ok().filter(|n| *n <= 10_000))
            .collect();
        let pairs: [u32; 8] = numbers?.try_into().ok()?;
        let [a, b, c, d, e, f, g, h] = pairs;
        Some([[a, b], [c, d], [e, f], [g, h]])
    }

    pub(crate) fn corners_out(corners: &Corners) -> String {
        let numbers: Vec<String> = corners.iter().flatten().map(u32::to_string).collect();
        numbers.join(" ")
    }
}

impl Store {
    /// What lies beneath a block, if anything does.
    pub(crate) fn tracing(&self, id: i64, block: usize) -> Result<Option<Tracing>, Fault> {
        let found = self
            .connection()
            .query_row(
                "SELECT photo, corners, strength FROM tracing WHERE quilt = ?1 AND block = ?2",
                params![id, number(block)],
                |row| {
                    let corners: String = row.get(1)?;
                    Ok(Tracing {
                        photo: row.get(0)?,
                        corners: Tracing::corners_in(&corners),
                        strength: row.get(2)?,
                    })
                },
            )
            .optional()?;
        Ok(found)
    }

    /// Lays a photograph beneath a block, or changes how it lies.
    pub(crate) fn trace(&self, id: i64, block: usize, tracing: &Tracing) -> Result<(), Fault> {
        let corners = tracing.corners.as_ref();
        let corners = corners.map_or_else(String::new, Tracing::corners_out);
        self.connection().execute(
            "INSERT INTO tracing (quilt, block, photo, corners, strength)
             VALUES (?1, ?2, ?3, ?4, ?5)
             ON CONFLICT (quilt, block) DO UPDATE SET
                 photo = excluded.photo, corners = excluded.corners, strength = excluded.strength",
            params![id, number(block), tracing.photo, corners, tracing.strength],
        )?;
        Ok(())
    }

    /// Takes it away; the photograph itself is kept.
    pub(crate) fn untrace(&self, id: i64, block: usize) -> Result<(), Fault> {
        self.connection().execute(
            "DELETE FROM tracing WHERE quilt = ?1 AND block = ?2",
            params![id, number(block)],
        )?;
        Ok(())
    }
}

fn number(block: usize) -> i64 {
    i64::try_from(block).unwrap_or(i64::MAX)
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;

    #[test]
    fn what_lies_beneath_a_block_is_kept_and_taken_away() {
        let store = Store::open(Path::new(":memory:")).unwrap();
        let id = store.begin("Begin", "one").unwrap();
        assert_eq!(store.tracing(id, 0).unwrap(), None);
        let mut tracing = Tracing {
            photo: 3,
            corners: None,
            strength: 60,
        };
        store.trace(id, 0, &tracing).unwrap();
        tracing.corners = Tracing::corners_in("0,0,10000,12,9990,10000,7,9000");
        assert!(tracing.corners.is_some());
        store.trace(id, 0, &tracing).unwrap();
        assert_eq!(store.tracing(id, 0).unwrap(), Some(tracing));
        assert_eq!(store.tracing(id, 1).unwrap(), None);
        store.untrace(id, 0).unwrap();
        assert_eq!(store.tracing(id, 0).unwrap(), None);
        for odd in ["", "1,2", "0,0,10001,0,1,1,2,2", "a,0,0,0,0,0,0,0"] {
            assert_eq!(Tracing::corners_in(odd), None, "{odd}");
        }
    }
}
