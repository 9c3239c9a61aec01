//! What each command does.

use std::io::{self, IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};
use std::time::Duration;

use booklet::{Booklet, Parts};
use indicatif::{ProgressBar, ProgressStyle};
use picture::Palette;
use planfile::LoadFault;
use quilt::cloth::Values;
use quilt::findings::Weight;
use quilt::plan::Plan;
use quilt::results::{self, Results};
use quilt::setting::{small_plan, small_size};

use crate::{cut_true, photos, ramps, report, settings, values};

/// Why a command stopped, for standard error, and its exit code.
pub(crate) struct Stop {
    /// Whole lines; may be empty when everything was said on the way.
    pub(crate) text: String,
    /// See the executable's documentation.
    pub(crate) code: u8,
}

impl Stop {
    pub(crate) fn mend(text: impl Into<String>) -> Self {
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

/// `booklet PLAN [-o FILE] [--small NAME] [--parts PARTS]`.
pub(crate) fn booklet(
    path: &Path,
    output: Option<PathBuf>,
    small: Option<&str>,
    parts: Option<Parts>,
) -> Result<(), Stop> {
    let plan = piece(read(path)?, small)?;
    let progress = progress("Working out the quilt");
    let results = results::work_out(&plan, None);
    stop_if_unmakeable(&results)?;
    progress.set_message("Setting the booklet in type");
    let pdf = Booklet::set(&plan, &results, &parts.unwrap_or_else(Parts::all))
        .and_then(|set| set.pdf())
        .map_err(|trouble| Stop::mend(format!("The booklet could not be made: {trouble}\n")))?;
    progress.finish_and_clear();
    let beside = match small {
        None => path.with_extension("pdf"),
        Some(name) => {
            let stem = path.file_stem().unwrap_or_default().to_string_lossy();
            path.with_file_name(format!("{stem}, {name}.pdf"))
        }
    };
    let output = output.unwrap_or(beside);
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

/// `report PLAN [--json] [--small NAME]`.
pub(crate) fn report(path: &Path, json: bool, small: Option<&str>) -> Result<(), Stop> {
    let plan = piece(read(path)?, small)?;
    let results = results::work_out(&plan, None);
    let text = if json {
        report::json(&plan, &results)
            .map_err(|error| Stop::file(format!("The report could not be written: {error}\n")))?
    } else {
        report::text(&plan, &results)
    };
    say(&text)
}

/// The plan itself, or that of one of its small pieces.
fn piece(plan: Plan, small: Option<&str>) -> Result<Plan, Stop> {
    let Some(name) = small else { return Ok(plan) };
    let Some(piece) = plan.small.iter().find(|piece| piece.name == name) else {
        let names: Vec<&str> = plan.small.iter().map(|piece| piece.name.as_str()).collect();
        let known = if names.is_empty() {
            "it has none; write one under a heading like [small.Cushion]".into()
        } else {
            format!("it has {}", names.join(", "))
        };
        return Err(Stop::mend(format!(
            "There is no small piece “{name}” in this plan: {known}.\n"
        )));
    };
    small_plan(&plan, piece).ok_or_else(|| {
        let why = match small_size(&plan, piece) {
            Some(Err(finding)) => finding.text,
            _ => "The blocks of the plan do not fit one another; see `piecewright check`.".into(),
        };
        Stop::mend(format!("{why}\n"))
    })
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
        save(file, &shown.picture)?;
    }
    say(&shown.text)
}

/// `values PLAN [--groups N] [--picture FILE] [--view …]`.
pub(crate) fn values(
    path: &Path,
    groups: Option<u32>,
    picture: Option<(&Path, values::Look)>,
) -> Result<(), Stop> {
    let mut plan = read(path)?;
    if let Some(groups) = groups {
        plan.choosing.groups = groups;
        plan.refill();
    }
    let Some((file, look)) = picture else {
        let values = Values::of(&plan.cloths, plan.choosing.groups);
        return say(&values::text(&plan, &values));
    };
    let results = results::work_out(&plan, None);
    stop_if_unmakeable(&results)?;
    if let Some(drawn) = values::picture(&plan, &results, &results.values, look) {
        save(file, &drawn)?;
    }
    say(&values::text(&plan, &results.values))
}

/// `ramps PLAN [--lay]`.
pub(crate) fn ramps(path: &Path, lay: bool) -> Result<(), Stop> {
    let (text, plan) = load(path)?;
    let results = results::work_out(&plan, None);
    stop_if_unmakeable(&results)?;
    if lay {
        let laid = ramps::laid(&plan, &results)
            .map_err(|why| Stop::mend(format!("The ramps were not laid. {why}\n")))?;
        let changed = planfile::write_change(&text, &plan, &laid).map_err(|trouble| {
            Stop::mend(planfile::render(
                &path.display().to_string(),
                &text,
                &[trouble],
                coloured(),
            ))
        })?;
        save(path, &changed)?;
    }
    say(&ramps::text(&plan, &results))
}

fn save(file: &Path, text: &str) -> Result<(), Stop> {
    planfile::save_whole(file, text.as_bytes()).map_err(|error| {
        Stop::file(format!(
            "{} could not be written: {error}\n",
            file.display()
        ))
    })
}

/// `cloth PHOTO… [--crop …] [--json]`.
pub(crate) fn cloth(
    paths: &[PathBuf],
    said: &photos::Said,
    swatch: Option<&Path>,
    json: bool,
) -> Result<(), Stop> {
    let asked = said.asked().map_err(|why| Stop {
        text: format!("{why}\n"),
        code: 2,
    })?;
    if swatch.is_some() && paths.len() > 1 {
        return Err(Stop {
            text: "--swatch takes the cloth of one picture; name one.\n".into(),
            code: 2,
        });
    }
    let mut all = Vec::new();
    for path in paths {
        let photo = photograph(path)?;
        let told =
            |fault: photo::MeasureFault| Stop::mend(format!("{}: {fault}.\n", path.display()));
        let found = photo::measure(&photo, &asked).map_err(told)?;
        if let Some(file) = swatch {
            let cloth = photo::swatch(&photo, &asked).map_err(told)?;
            write_png(file, (cloth.width, cloth.height), &cloth.rgb)?;
        }
        all.push(photos::Read { path, found });
    }
    if json {
        let text = photos::json(&all)
            .map_err(|error| Stop::file(format!("The result could not be written: {error}\n")))?;
        say(&text)
    } else {
        say(&photos::text(&all))
    }
}

/// A photograph from the disk.
pub(crate) fn photograph(path: &Path) -> Result<photo::Photo, Stop> {
    let failed =
        |error: io::Error| Stop::file(format!("{} could not be read: {error}\n", path.display()));
    let told = |fault: photo::ReadFault| Stop::mend(format!("{}: {fault}.\n", path.display()));
    // Before anything is read: a file may be larger than memory, or no file at all.
    let about = std::fs::metadata(path).map_err(failed)?;
    if about.len() > photo::LARGEST_FILE as u64 {
        return Err(told(photo::ReadFault::LargeFile));
    }
    let bytes = std::fs::read(path).map_err(failed)?;
    photo::read(&bytes).map_err(told)
}

/// Writes a picture whole or not at all.
pub(crate) fn write_png(path: &Path, size: (usize, usize), rgb: &[u8]) -> Result<(), Stop> {
    let png = photo::cut_true::png(size.0, size.1, rgb)
        .ok_or_else(|| Stop::file("The picture could not be packed.\n"))?;
    planfile::save_whole(path, &png).map_err(|error| {
        Stop::file(format!(
            "{} could not be written: {error}\n",
            path.display()
        ))
    })
}

/// `picture PLAN [--cut-true] [--photo …] -o FILE`.
pub(crate) fn picture(
    path: &Path,
    output: &Path,
    cut_true: Option<(&[String], usize)>,
) -> Result<(), Stop> {
    let plan = read(path)?;
    let results = results::work_out(&plan, None);
    stop_if_unmakeable(&results)?;
    let Some(top) = results.top.as_deref() else {
        return Err(Stop::mend("There is no top to draw yet.\n"));
    };
    let ending = output.extension().and_then(|e| e.to_str()).unwrap_or("");
    let (other, way_out) = match cut_true {
        None => (
            "png",
            "A picture in cloth is SVG: name a file that ends in .svg, or add --cut-true for PNG.",
        ),
        Some(_) => (
            "svg",
            "A picture cut true is PNG: name a file that ends in .png.",
        ),
    };
    if ending.eq_ignore_ascii_case(other) {
        return Err(Stop {
            text: format!("{way_out}\n"),
            code: 2,
        });
    }
    let Some((given, width)) = cut_true else {
        let drawing = picture::quilt(&plan, &results.blocks, top);
        let svg = picture::svg(&drawing, &Palette::of(&plan, "sans-serif"), SHOWN);
        return planfile::save_whole(output, svg.as_bytes()).map_err(|error| {
            Stop::file(format!(
                "{} could not be written: {error}\n",
                output.display()
            ))
        });
    };
    let cloths = cut_true::cloths(&plan, path.parent().unwrap_or(Path::new("")), given)?;
    let cuttings = results.cutting.as_deref().map_or(&[][..], Vec::as_slice);
    let patches = photo::cut_true::shown(&plan, &results.blocks, top, cuttings);
    let size = [top.width.to_f64(), top.height.to_f64()];
    let (height, rgb) = photo::cut_true::paint(&patches, &cloths.painted, size, width);
    write_png(output, (width, height), &rgb)?;
    say(&cut_true::says(&plan, &patches, &cloths, output))
}

/// How wide a drawing of the top is, inches: a tablet held across.
const SHOWN: f64 = 10.6;

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
    let brought = plan
        .map(|path| load(path).map(|(text, plan)| studio::Brought { text, plan }))
        .transpose()?;
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
    load(path).map(|(_, plan)| plan)
}

/// The text of a plan file and the plan in it.
fn load(path: &Path) -> Result<(String, Plan), Stop> {
    planfile::load(path).map_err(|fault| match fault {
        LoadFault::Disk(error) => {
            Stop::file(format!("{} could not be read: {error}\n", path.display()))
        }
        LoadFault::Plan {
            name,
            text,
            troubles,
        } => Stop::mend(planfile::render(&name, &text, &troubles, coloured())),
    })
}

/// Whether troubles may be told in colour.
fn coloured() -> bool {
    io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none()
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
