//! Reads the tables of published figures in `fixtures/handbook`.

use std::collections::BTreeMap;

use geometry::Surd;

/// One row of a table: a cell by its column's name.
#[derive(Clone, Debug)]
pub struct Row {
    cells: BTreeMap<String, String>,
}

impl Row {
    /// The text of a cell, empty if nothing is given.
    pub fn text(&self, column: &str) -> &str {
        self.cells
            .get(column)
            .unwrap_or_else(|| panic!("no column {column} in {:?}", self.cells.keys()))
    }

    /// A size in inches, `3 7/8`; `None` if nothing is given.
    pub fn size(&self, column: &str) -> Option<Surd> {
        let text = self.text(column);
        (!text.is_empty()).then(|| {
            text.split_whitespace()
                .map(|part| match part.split_once('/') {
                    Some((n, d)) => Surd::ratio(n.parse().unwrap(), d.parse().unwrap()),
                    None => Surd::int(part.parse().unwrap()),
                })
                .sum()
        })
    }

    /// A decimal; `None` if nothing is given.
    pub fn decimal(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        (!text.is_empty()).then(|| text.parse().unwrap())
    }

    /// How the row is to be held against the program.
    pub fn status(&self) -> &str {
        self.text("status")
    }

    /// What to print when the row fails: its id, its source and its note.
    pub fn why(&self) -> String {
        format!(
            "{} [{}] {}",
            self.text("id"),
            self.text("source"),
            self.text("note")
        )
    }
}

/// The rows of a table; lines that begin with `#` explain it.
pub fn rows(csv: &str) -> Vec<Row> {
    let mut lines = csv
        .lines()
        .filter(|line| !line.starts_with('#') && !line.trim().is_empty());
    let heads: Vec<&str> = lines
        .next()
        .expect("a table has a head")
        .split(',')
        .collect();
    lines
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            assert_eq!(cells.len(), heads.len(), "{line}");
            let pairs = heads.iter().zip(cells);
            Row {
                cells: pairs
                    .map(|(h, c)| ((*h).to_string(), c.to_string()))
                    .collect(),
            }
        })
        .collect()
}
