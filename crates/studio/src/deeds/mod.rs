//! What a window asks for, turned into edits of the plan.
//!
//! A form of the page sends its fields as JSON; [`read`] makes a [`Deed`] of them: the
//! edits of one gesture and the words the history keeps. Nothing here changes a plan:
//! that is [`Plan::with`]'s alone. Troubles are whole sentences for the maker.

mod block;
mod breaks;
mod cloth;
mod finishing;
mod photo;
mod ramps;
mod reach;
mod setting;

#[cfg(test)]
mod tests;

use std::str::FromStr;

use geometry::Surd;
use quilt::plan::{BlockId, ClothId, Edit, Plan};
use serde_json::{Map, Value};

pub(crate) use block::{Board, fresh_block, pulls_in, repeat_word, repeat_words};
pub(crate) use breaks::breaks;
pub(crate) use photo::take;
pub(crate) use ramps::{arms, proposed};
pub(crate) use reach::{Reached, cloth_reaches, place_name, turn_reaches};
pub(crate) use setting::{main_block, repeat_of, written};

use crate::look::Look;

/// One gesture: its edits, and what was done in a few words.
#[derive(Clone, Debug)]
pub(crate) struct Deed {
    pub(crate) edits: Vec<Edit>,
    pub(crate) says: String,
}

impl Deed {
    fn one(edit: Edit, says: impl Into<String>) -> Self {
        Self {
            edits: vec![edit],
            says: says.into(),
        }
    }
}

/// The fields of a form.
#[derive(Clone, Debug)]
pub(crate) struct Asked(Map<String, Value>);

impl Asked {
    pub(crate) fn new(body: &[u8]) -> Result<Self, String> {
        match serde_json::from_slice(body) {
            Ok(Value::Object(fields)) => Ok(Self(fields)),
            _ => Err("What the page sent could not be read; load it again.".into()),
        }
    }

    #[cfg(test)]
    pub(crate) fn of(fields: &[(&str, &str)]) -> Self {
        let fields = fields.iter().map(|(k, v)| ((*k).into(), (*v).into()));
        Self(fields.collect())
    }

    pub(crate) fn fields(&self) -> &Map<String, Value> {
        &self.0
    }

    pub(crate) fn text(&self, name: &str) -> Option<&str> {
        self.0.get(name).and_then(Value::as_str).map(str::trim)
    }

    pub(crate) fn word(&self, name: &str) -> Result<&str, String> {
        self.text(name)
            .ok_or_else(|| format!("The page did not say “{name}”; load it again."))
    }

    pub(crate) fn number<T: FromStr>(&self, name: &str) -> Result<T, String> {
        let given = match self.0.get(name) {
            Some(Value::Number(number)) => number.to_string(),
            _ => self.word(name)?.to_owned(),
        };
        given
            .parse()
            .map_err(|_| format!("“{given}” is not a whole number that fits here."))
    }

    /// A field that was left empty, or a number.
    fn maybe<T: FromStr>(&self, name: &str) -> Result<Option<T>, String> {
        match self.text(name) {
            None | Some("") => Ok(None),
            Some(_) => self.number(name).map(Some),
        }
    }

    /// A length as a maker writes it, in the plan's unit unless it names another.
    pub(crate) fn length(&self, name: &str, plan: &Plan) -> Result<Surd, String> {
        let text = self.word(name)?;
        let read =
            planfile::quantity(text).map_err(|f| format!("“{text}”: {} {}", f.text, f.mend))?;
        match read.unit {
            None => Ok(plan.measure.inches(&read.value)),
            Some(unit) => unit
                .in_inches()
                .map(|inch| &read.value * &inch)
                .ok_or_else(|| format!("“{text}” is a share, not a length.")),
        }
    }

    fn cloth(&self, name: &str, plan: &Plan) -> Result<ClothId, String> {
        let index: usize = self.number(name)?;
        (index < plan.cloths.len())
            .then_some(ClothId(index))
            .ok_or_else(|| "There is no such cloth in the plan.".into())
    }

    fn maybe_cloth(&self, name: &str, plan: &Plan) -> Result<Option<ClothId>, String> {
        match self.text(name) {
            None | Some("") => Ok(None),
            Some(_) => self.cloth(name, plan).map(Some),
        }
    }

    fn block(&self, plan: &Plan) -> Result<BlockId, String> {
        let index: usize = self.number("block")?;
        (index < plan.blocks.len())
            .then_some(BlockId(index))
            .ok_or_else(|| "There is no such block in the plan.".into())
    }
}

/// The gesture that was asked for.
pub(crate) fn read(asked: &Asked, plan: &Plan, look: &Look) -> Result<Deed, String> {
    match asked.word("do")? {
        "turn" | "exchange" | "count" | "arrange" | "kind" | "sashing" | "no-sashing"
        | "add-border" | "border" | "no-border" | "lay-block" | "pin" | "unpin" | "aim"
        | "aim-size" => setting::read(asked, plan, look),
        "lay" | "replace" | "add-cloth" | "cloth" | "no-cloth" => cloth::read(asked, plan, look),
        "break" => breaks::read(asked, plan),
        "arms" | "ramp" | "lay-ramp" | "no-ramp" => ramps::read(asked, plan, look),
        "add-block" | "rename-block" | "size-block" | "line" | "no-line" | "all-quarters"
        | "by-hand" | "place" | "construct" | "straighten" | "join" | "drawing" | "copy-block" => {
            block::read(asked, plan, look)
        }
        "name" | "backing" | "binding" | "paper" | "measure" | "seam" => {
            finishing::read(asked, plan)
        }
        other => Err(format!("The studio does not know how to “{other}”.")),
    }
}
