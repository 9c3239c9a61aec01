//! Plan files on disk: read whole, written whole or not at all.

use std::fs::File;
use std::io::{self, Write};
use std::path::Path;

use quilt::plan::Plan;

use crate::trouble::{Trouble, render};

/// Why a plan file could not be opened.
#[derive(Debug)]
pub enum LoadFault {
    /// The file could not be read from the disk.
    Disk(io::Error),
    /// The file is no plan; the text is kept so that the troubles can be shown in it.
    Plan {
        /// The file's name as shown in the troubles.
        name: String,
        /// What stands in the file.
        text: String,
        /// Everything wrong with it.
        troubles: Vec<Trouble>,
    },
}

impl std::fmt::Display for LoadFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Disk(error) => write!(f, "The plan could not be read: {error}."),
            Self::Plan {
                name,
                text,
                troubles,
            } => f.write_str(render(name, text, troubles, false).trim_end()),
        }
    }
}

impl std::error::Error for LoadFault {}

/// Reads a plan file: its text and the plan in it.
///
/// # Errors
///
/// [`LoadFault::Disk`] if it cannot be read (or is not UTF-8 text), [`LoadFault::Plan`]
/// if it is no plan.
pub fn load(path: &Path) -> Result<(String, Plan), LoadFault> {
    let text = std::fs::read_to_string(path).map_err(LoadFault::Disk)?;
    let name = path
        .file_name()
        .unwrap_or(path.as_os_str())
        .to_string_lossy()
        .into_owned();
    match crate::read(&name, &text) {
        Ok(plan) => Ok((text, plan)),
        Err(troubles) => Err(LoadFault::Plan {
            name,
            text,
            troubles,
        }),
    }
}

/// Writes a file whole or not at all: the contents go to a new file beside it, are
/// brought safely to the disk, and only then take the old file's place.
///
/// # Errors
///
/// Whatever the disk says. The old file, if there was one, is then untouched, and no
/// other is left behind.
pub fn save_whole(path: &Path, contents: impl AsRef<[u8]>) -> io::Result<()> {
    save(path, contents.as_ref(), |beside| {
        std::fs::rename(beside, path)
    })
}

/// As [`save_whole`], but only where no file of that name stands yet.
///
/// # Errors
///
/// [`io::ErrorKind::AlreadyExists`] if there is one, or whatever the disk says.
pub fn save_new(path: &Path, contents: impl AsRef<[u8]>) -> io::Result<()> {
    // A link is made only if its name is free, so two writers cannot both succeed.
    save(path, contents.as_ref(), |beside| {
        std::fs::hard_link(beside, path)?;
        std::fs::remove_file(beside)
    })
}

/// Writes beside `path` and lets `place` put the file where it belongs.
fn save(
    path: &Path,
    contents: &[u8],
    place: impl FnOnce(&Path) -> io::Result<()>,
) -> io::Result<()> {
    let Some(name) = path.file_name() else {
        return Err(io::Error::new(
            io::ErrorKind::InvalidInput,
            "this names no file",
        ));
    };
    let mut beside = name.to_os_string();
    beside.push(format!(".{}.new", std::process::id()));
    let beside = path.with_file_name(beside);
    let written = write_through(&beside, contents).and_then(|()| place(&beside));
    if written.is_err() {
        // Nothing more can be done if even this fails; the first error is the one to tell.
        let _ = std::fs::remove_file(&beside);
    }
    written
}

fn write_through(path: &Path, contents: &[u8]) -> io::Result<()> {
    let mut file = File::create(path)?;
    file.write_all(contents)?;
    file.sync_all()
}
