//! The studio: the whole plan in a browser, on the maker's own machine.
//!
//! ```text
//!   browser ─▶ gate ─▶ rooms ─▶ quilts ─▶ deeds ─▶ Plan::with ─▶ store
//!      ▲                          │
//!      └── pages, pictures ◀── look, results
//! ```
//!
//! - [`serve`] opens the store, finds a free port on this machine and answers until the
//!   program ends; [`Studio`] is the same with a handle, for tests.
//! - `gate` decides who may come in; `rooms` says which address leads where.
//! - `store` keeps every gesture; `quilts` holds what is open; `deeds` turn forms into
//!   edits; `look` is the picture as the page draws it; `steps` the work as a list;
//!   `marks` what is ticked off, measured or cut again.
//! - `measuring` is what a maker says of a photograph, and what is read off it; `drawn`
//!   reads a drawing of a block.
//! - `waits` keeps the latest of what takes long; `errands` tells how far such work is and
//!   stops it.
//! - `pages` write the screens; `files` whatever leaves as a file; `bundle` a quilt whole.
//!
//! **What never happens here.** Sums: every number comes from `quilt`. Drawings come from
//! `picture`, all but the drawing board. The scripts in `assets` show and send; they know
//! no craft.
//!
//! **What always holds.** The server listens on this machine only. A gesture is in the
//! store before the page hears of it. Without scripts every page can be read; changing
//! needs them, since changes are taken as JSON only (see `gate`).

mod bundle;
mod deeds;
mod drawn;
mod errands;
mod files;
mod gate;
mod html;
mod look;
mod marks;
mod measuring;
mod pages;
mod quilts;
mod rooms;
mod steps;
mod store;
mod waits;

use std::fmt;
use std::io;
use std::net::Ipv4Addr;
use std::path::{Path, PathBuf};

use quilt::plan::Plan;
use tokio::net::TcpListener;

use crate::gate::Gate;
use crate::quilts::Quilts;
use crate::store::Store;

/// Finished quilts to look at: a short name, the title, the plan file.
const DEMOS: [(&str, &str, &str); 4] = [
    (
        "harbour-lights",
        "Harbour Lights",
        include_str!("../../../examples/harbour-lights.toml"),
    ),
    (
        "night-ferry",
        "Night Ferry",
        include_str!("../../../examples/night-ferry.toml"),
    ),
    (
        "orchard-at-dusk",
        "Orchard at Dusk",
        include_str!("../../../examples/orchard-at-dusk.toml"),
    ),
    (
        "saltmarsh",
        "Saltmarsh",
        include_str!("../../../examples/saltmarsh.toml"),
    ),
];

/// Why the studio could not be opened or had to stop.
#[derive(Debug)]
#[non_exhaustive]
pub enum Trouble {
    /// No port of this machine could be listened on, or the shelf's folder not be made.
    Machine(io::Error),
    /// What the maker keeps could not be opened; the sentence says why.
    Store(String),
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Machine(error) => write!(f, "The studio could not be opened: {error}."),
            Self::Store(words) => f.write_str(words),
        }
    }
}

impl std::error::Error for Trouble {}

impl From<io::Error> for Trouble {
    fn from(error: io::Error) -> Self {
        Self::Machine(error)
    }
}

/// A plan to put on the shelf and open first: its text as the maker wrote it, and what it
/// says.
#[derive(Clone, Debug)]
pub struct Brought {
    /// The plan file.
    pub text: String,
    /// The plan read from it.
    pub plan: Plan,
}

/// A studio that is open.
#[derive(Debug)]
pub struct Studio {
    listener: std::net::TcpListener,
    gate: Gate,
    quilts: Quilts,
    first: Option<i64>,
}

impl Studio {
    /// Opens the shelf in `folder` (made if it is not there) and takes a free port of this
    /// machine. On a shelf that was never used a finished demo quilt is laid.
    ///
    /// # Errors
    ///
    /// [`Trouble`], when the folder, the store or a port cannot be had.
    pub fn open(folder: &Path, brought: Option<&Brought>) -> Result<Self, Trouble> {
        own_folder(folder)?;
        let store = Store::open(&folder.join("shelf.db"))
            .map_err(|fault| Trouble::Store(fault.to_string()))?;
        let quilts = Quilts::new(store);
        let trouble = |fault: quilts::Trouble| Trouble::Store(fault.to_string());
        let new = quilts
            .store
            .is_new()
            .map_err(|fault| Trouble::Store(fault.to_string()))?;
        let mut first = None;
        if new && let Some((_, title, text)) = DEMOS.first() {
            let plan = planfile::read(title, text)
                .map_err(|_| Trouble::Store("A demo quilt could not be read.".into()))?;
            let says = format!("Look at {title}");
            first = Some(quilts.begin(&says, &plan, Some(text)).map_err(trouble)?);
        }
        if let Some(brought) = brought {
            let says = "Open a plan file";
            let id = quilts.begin(says, &brought.plan, Some(&brought.text));
            first = Some(id.map_err(trouble)?);
        }
        let listener = std::net::TcpListener::bind((Ipv4Addr::LOCALHOST, 0))?;
        listener.set_nonblocking(true)?;
        let gate = Gate::new(listener.local_addr()?.port())?;
        Ok(Self {
            listener,
            gate,
            quilts,
            first,
        })
    }

    /// The address that lets the maker's own browser in; good for this run only.
    #[must_use]
    pub fn address(&self) -> String {
        let door = self.gate.address();
        self.first
            .map_or_else(|| door.clone(), |id| format!("{door}&quilt={id}"))
    }

    /// Answers until the program ends.
    ///
    /// # Errors
    ///
    /// [`Trouble::Machine`] when the port is lost.
    pub fn run(self) -> Result<(), Trouble> {
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(2)
            .enable_io()
            .build()?;
        runtime.block_on(async move {
            let listener = TcpListener::from_std(self.listener)?;
            axum::serve(listener, rooms::rooms(self.quilts, self.gate)).await?;
            Ok(())
        })
    }
}

/// Opens the studio, tells its address to `ready`, and answers until the program ends.
///
/// # Errors
///
/// As [`Studio::open`] and [`Studio::run`].
pub fn serve(
    folder: &Path,
    brought: Option<&Brought>,
    ready: impl FnOnce(&str),
) -> Result<(), Trouble> {
    let studio = Studio::open(folder, brought)?;
    ready(&studio.address());
    studio.run()
}

/// Where the shelf lies unless the maker says otherwise: the usual folder of this system
/// for a program's own data. `None` when the system names no home.
#[must_use]
pub fn usual_folder() -> Option<PathBuf> {
    let named = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty());
    let home = || named("HOME").map(PathBuf::from);
    let base = if cfg!(windows) {
        named("APPDATA").map(PathBuf::from)
    } else if cfg!(target_os = "macos") {
        home().map(|home| home.join("Library/Application Support"))
    } else {
        // XDG Base Directory Specification.
        named("XDG_DATA_HOME")
            .map(PathBuf::from)
            .or_else(|| home().map(|home| home.join(".local/share")))
    };
    base.map(|base| base.join("piecewright"))
}

/// Makes the folder, for its owner alone.
fn own_folder(folder: &Path) -> io::Result<()> {
    let mut builder = std::fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::DirBuilderExt as _;
        builder.mode(0o700);
    }
    builder.create(folder)?;
    let file = folder.join("shelf.db");
    let mut options = std::fs::OpenOptions::new();
    options.create(true).append(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt as _;
        options.mode(0o600);
    }
    options.open(file).map(drop)
}
