//! The pages: the shelf, and seven screens that share one frame.
//!
//! ```text
//!   name · kept · shelf
//!   picture │ sheet        the same four regions on every screen, in this order in the
//!           │ card         document as on the screen
//!   tape: block, cloth, setting, cutting, sewing, finishing, booklet
//! ```
//!
//! Pages are written here, whole; the scripts only show the picture, send forms and put
//! fresh sheets in place of old ones.

mod bed;
mod block;
mod board;
mod booklet;
mod card;
mod cloth;
mod constructions;
mod finishing;
mod frame;
mod mending;
mod parts;
mod photos;
mod ramps;
mod setting;
mod shelf;
mod tracing;
mod values;
mod work;

use std::collections::BTreeMap;
use std::sync::Arc;

use ::booklet::Booklet;
use quilt::results::Results;

pub(crate) use board::ends;
pub(crate) use frame::{fragments, screen, trouble_page};
pub(crate) use photos::measured;
pub(crate) use setting::wall_svg;
pub(crate) use shelf::{Shelved, shelf};
pub(crate) use work::step_high;

use crate::html::Node;
use crate::marks::Marks;
use crate::quilts::Standing;
use crate::steps::{List, lines};
use crate::waits::Wall;

/// The seven screens, in the order of the work.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Screen {
    Block,
    Cloth,
    Setting,
    Cutting,
    Sewing,
    Finishing,
    Booklet,
}

impl Screen {
    pub(crate) const ALL: [Self; 7] = [
        Self::Block,
        Self::Cloth,
        Self::Setting,
        Self::Cutting,
        Self::Sewing,
        Self::Finishing,
        Self::Booklet,
    ];

    /// As it stands in the address.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Block => "block",
            Self::Cloth => "cloth",
            Self::Setting => "setting",
            Self::Cutting => "cutting",
            Self::Sewing => "sewing",
            Self::Finishing => "finishing",
            Self::Booklet => "booklet",
        }
    }

    pub(crate) fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|screen| screen.word() == word)
    }

    /// As the tape says it.
    fn name(self) -> &'static str {
        match self {
            Self::Block => "Block",
            Self::Cloth => "Cloth",
            Self::Setting => "Setting",
            Self::Cutting => "Cutting",
            Self::Sewing => "Sewing",
            Self::Finishing => "Finishing",
            Self::Booklet => "Booklet",
        }
    }

    /// How the picture is read there unless the maker says otherwise.
    fn reading(self) -> &'static str {
        match self {
            Self::Cutting => "cut",
            Self::Sewing => "sewn",
            _ => "cloth",
        }
    }

    fn list(self) -> Option<List> {
        match self {
            Self::Cutting => Some(List::Cut),
            Self::Sewing => Some(List::Sew),
            _ => None,
        }
    }
}

/// What is chosen in the picture.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Chosen {
    /// A patch or a part, by its number in the picture.
    Patch(usize),
    /// A block of the top.
    Block(usize),
}

/// What a page is asked for besides its screen.
#[derive(Clone, Debug, Default)]
pub(crate) struct Asking(BTreeMap<String, String>);

impl Asking {
    /// From the query of the address. Values are letters, figures and hyphens; whatever
    /// else is there counts as not asked.
    pub(crate) fn of(query: Option<&str>) -> Self {
        let plain = |text: &str| {
            text.chars()
                .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
        };
        let pairs = query.unwrap_or_default().split('&');
        Self(
            pairs
                .filter_map(|pair| pair.split_once('='))
                .filter(|(name, value)| plain(name) && plain(value) && !value.is_empty())
                .take(32)
                .map(|(name, value)| (name.to_owned(), value.to_owned()))
                .collect(),
        )
    }

    pub(crate) fn word(&self, name: &str) -> Option<&str> {
        self.0.get(name).map(String::as_str)
    }

    pub(crate) fn number(&self, name: &str) -> Option<usize> {
        self.word(name)?.parse().ok()
    }

    pub(crate) fn chosen(&self) -> Option<Chosen> {
        let (kind, number) = self.word("chosen")?.split_at_checked(1)?;
        let number = number.parse().ok()?;
        match kind {
            "p" => Some(Chosen::Patch(number)),
            "b" => Some(Chosen::Block(number)),
            _ => None,
        }
    }
}

/// Everything a screen is written from.
pub(crate) struct View {
    pub(crate) screen: Screen,
    pub(crate) now: Arc<Standing>,
    pub(crate) results: Arc<Results>,
    pub(crate) asking: Asking,
    pub(crate) marks: Marks,
    pub(crate) past: Vec<crate::store::PastStep>,
    pub(crate) moments: Vec<crate::store::Moment>,
    /// The photographs of cloth on the table; only for the screen that shows them.
    pub(crate) photos: Vec<crate::store::PhotoLine>,
    /// The wall of settings, once it is tried.
    pub(crate) wall: Option<Arc<Wall>>,
    /// The booklet, once its pages are set.
    pub(crate) booklet: Option<Arc<Booklet>>,
    pub(crate) beneath: Beneath,
}

/// Photographs to trace blocks from; empty but on the screen that shows them.
#[derive(Clone, Debug, Default)]
pub(crate) struct Beneath {
    /// What lies beneath which block.
    pub(crate) lies: BTreeMap<usize, crate::store::Tracing>,
    /// Those at hand.
    pub(crate) photos: Vec<crate::store::PhotoLine>,
}

impl View {
    fn sheet(&self) -> Node {
        match self.screen {
            Screen::Block => block::sheet(self),
            Screen::Cloth => cloth::sheet(self),
            Screen::Setting => setting::sheet(self),
            Screen::Cutting | Screen::Sewing => work::sheet(self),
            Screen::Finishing => finishing::sheet(self),
            Screen::Booklet => booklet::sheet(self),
        }
    }

    fn card(&self) -> Node {
        match self.screen {
            Screen::Block => block::card(self),
            Screen::Cutting | Screen::Sewing => work::card(self),
            Screen::Finishing => finishing::card(self),
            Screen::Booklet => booklet::card(self),
            Screen::Cloth => cloth::card(self),
            Screen::Setting => card::card(self),
        }
    }

    fn ticks(&self, list: List) -> &BTreeMap<String, u32> {
        self.marks.ticks(list)
    }

    fn lines(&self, list: List) -> Vec<crate::steps::Line> {
        lines(list, &self.now.plan, &self.results)
    }

    fn address(&self, rest: &str) -> String {
        format!("/quilt/{}/{rest}", self.now.kept.id)
    }
}
