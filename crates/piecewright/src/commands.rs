//! What each command does.

use std::io::{self, IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};
use planfile::LoadFault;
use quilt::findings::Weight;
use quilt::plan::Plan;
use quilt::results::{self, Results};

use crate::{report, settings};

/// Why a command stopped, for standard error, and its exit code.
pub(crate) struct Stop {
    /// Whole lines; may be empty when everything was said on the way.
    pub(crate) text: String,
    /// See the executable's documentation.
    pub(crate) code: u8,
}

impl Stop {
    fn mend(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            code: 1,
        }
    }

    fn file(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            code: 3,
        }
    }
}

/// `booklet PLAN [-o FILE]`.
pub(crate) fn booklet(path: &Path, output: Option<PathBuf>) -> Result<(), Stop> {
    let plan = read(path)?;
    let progress = progress("Working out the quilt");
    let results = results::work_out(&plan, None);
    stop_if_unmakeable(&results)?;
    progress.set_message("Setting the booklet in type");
    let pdf = booklet::pdf(&plan, &results)
        .map_err(|trouble| Stop::mend(format!("The booklet could not be made: {trouble}\n")))?;
    progress.finish_and_clear();
    let output = output.unwrap_or_else(|| path.with_extension("pdf"));
    planfile::save_whole(&output, &pdf).map_err(|error| {
        Stop::file(format!(
            "{} could not be written: {error}\n",
            output.display()
        ))
    })?;
    for finding in results.findings.iter().filter(|f| f.weight != Weight::Note) {
        eprintln!("{}: {}", report::weight(finding.weight), finding.text);
    }
    say(&format!("The booklet lies in {}\n", output.display()))
}

/// `report PLAN [--json]`.
pub(crate) fn report(path: &Path, json: bool) -> Result<(), Stop> {
    let plan = read(path)?;
    let results = results::work_out(&plan, None);
    let text = if json {
        report::json(&plan, &results)
            .map_err(|error| Stop::file(format!("The report could not be written: {error}\n")))?
    } else {
        report::text(&plan, &results)
    };
    say(&text)
}

/// `settings PLAN [--ask …] [--picture FILE]`.
pub(crate) fn settings(
    path: &Path,
    asked: &settings::Asked,
    picture: Option<&Path>,
) -> Result<(), Stop> {
    let plan = read(path)?;
    let results = results::work_out(&plan, None);
    stop_if_unmakeable(&results)?;
    let shown =
        settings::settings(&plan, &results, asked).map_err(|why| Stop::mend(format!("{why}\n")))?;
    if let Some(file) = picture {
        planfile::save_whole(file, shown.picture.as_bytes()).map_err(|error| {
            Stop::file(format!(
                "{} could not be written: {error}\n",
                file.display()
            ))
        })?;
    }
    say(&shown.text)
}

/// `check PLAN`.
pub(crate) fn check(path: &Path) -> Result<(), Stop> {
    let plan = read(path)?;
    let results = results::work_out(&plan, None);
    let mut text = report::summary(&plan, &results);
    for finding in &results.findings {
        text.push_str(&format!(
            "{}: {}\n",
            report::weight(finding.weight),
            finding.text
        ));
    }
    if results.findings.is_empty() {
        text.push_str("Nothing needs a look.\n");
    }
    say(&text)?;
    let stops = results
        .findings
        .iter()
        .filter(|f| f.weight == Weight::Stop)
        .count();
    if stops > 0 {
        Err(Stop::mend(""))
    } else {
        Ok(())
    }
}

/// `studio [PLAN] [--shelf FOLDER] [--no-browser]`.
pub(crate) fn studio(
    plan: Option<&Path>,
    shelf: Option<PathBuf>,
    browser: bool,
) -> Result<(), Stop> {
    let brought = plan.map(load).transpose()?;
    let folder = shelf.or_else(studio::usual_folder).ok_or_else(|| {
        Stop::file("This system names no folder for your own data; say one with --shelf FOLDER.\n")
    })?;
    let ready = |address: &str| {
        // Whoever started the program may have stopped listening; the studio runs on.
        let _ = say(&format!("The studio is open at {address}\n"));
        eprintln!("It answers on this machine only. Everything is kept at once; Ctrl-C ends it.");
        if browser && !shown(address) {
            eprintln!("No browser could be started; open the address above in one.");
        }
    };
    studio::serve(&folder, brought.as_ref(), ready)
        .map_err(|trouble| Stop::file(format!("{trouble}\n")))
}

/// Asks the system to show an address; whether it was taken.
fn shown(address: &str) -> bool {
    let (program, first): (&str, &[&str]) = if cfg!(target_os = "macos") {
        ("open", &[])
    } else if cfg!(windows) {
        ("rundll32", &["url.dll,FileProtocolHandler"])
    } else {
        ("xdg-open", &[])
    };
    std::process::Command::new(program)
        .args(first)
        .arg(address)
        .stdin(std::process::Stdio::null())
        .stdout(std::process::Stdio::null())
        .stderr(std::process::Stdio::null())
        .spawn()
        .is_ok()
}

/// `new PLAN`.
pub(crate) fn new(path: &Path) -> Result<(), Stop> {
    planfile::save_new(path, planfile::starter()).map_err(|error| {
        let why = if error.kind() == io::ErrorKind::AlreadyExists {
            "there is a file of that name already; choose another name, or move the old one".into()
        } else {
            error.to_string()
        };
        Stop::file(format!("{} was not written: {why}.\n", path.display()))
    })?;
    say(&format!("A starter plan lies in {}\n", path.display()))
}

fn read(path: &Path) -> Result<Plan, Stop> {
    load(path).map(|brought| brought.plan)
}

fn load(path: &Path) -> Result<studio::Brought, Stop> {
    planfile::load(path)
        .map(|(text, plan)| studio::Brought { text, plan })
        .map_err(|fault| match fault {
            LoadFault::Disk(error) => {
                Stop::file(format!("{} could not be read: {error}\n", path.display()))
            }
            LoadFault::Plan {
                name,
                text,
                troubles,
            } => {
                let colour = io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none();
                Stop::mend(planfile::render(&name, &text, &troubles, colour))
            }
        })
}

/// Findings that leave nothing to print.
fn stop_if_unmakeable(results: &Results) -> Result<(), Stop> {
    let stops: Vec<_> = results
        .findings
        .iter()
        .filter(|f| f.weight == Weight::Stop)
        .collect();
    if stops.is_empty() {
        return Ok(());
    }
    let lines: String = stops
        .iter()
        .map(|finding| format!("stop: {}\n", finding.text))
        .collect();
    Err(Stop::mend(format!(
        "{lines}The booklet waits until this is mended.\n"
    )))
}

/// A line of progress while someone watches; nothing when piped.
fn progress(message: &'static str) -> ProgressBar {
    if !io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new_spinner();
    if let Ok(style) = ProgressStyle::with_template("{spinner} {msg} … {elapsed}") {
        bar.set_style(style);
    }
    bar.set_message(message);
    bar.enable_steady_tick(Duration::from_millis(100));
    bar
}

/// Writes to standard output; a reader who stops listening (`| head`) is no error.
fn say(text: &str) -> Result<(), Stop> {
    match io::stdout().lock().write_all(text.as_bytes()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(Stop::file(format!(
            "The result could not be written: {error}\n"
        ))),
        _ => Ok(()),
    }
}
