//! Commands and the open report of the one executable: reads a plan, works everything
//! out, writes what was asked for.
//!
//! Results go to standard output, everything else to standard error. No colour unless
//! standard error is a terminal and `NO_COLOR` is not set.
//!
//! Exit codes: 0 done; 1 the plan needs mending; 2 the command was not understood; 3 a
//! file could not be read or written.

mod commands;
pub mod report;
mod settings;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

/// Plans pieced quilts: from one plan file to templates, cloth to buy, cutting, sewing
/// order and a printed booklet at true size.
#[derive(Parser)]
#[command(version, about, long_about = None, after_help = AFTER_HELP)]
struct Line {
    #[command(subcommand)]
    command: Command,
}

const AFTER_HELP: &str = "\
A first quilt:
  piecewright new my-quilt.toml       write a small plan that explains itself
  piecewright check my-quilt.toml     see what it makes, and what needs a look
  piecewright booklet my-quilt.toml   print it

Exit codes: 0 done, 1 the plan needs mending, 2 the command was not understood,
3 a file could not be read or written.";

#[derive(Subcommand)]
enum Command {
    /// Make the printed booklet (PDF) of a plan
    ///
    /// Cover, cloth to buy, cutting chart, the block, sewing steps, setting, finishing, a
    /// page to colour, and every template at true size. Print it at 100 %; a check square
    /// on the template pages tells whether the printer kept the size.
    Booklet {
        /// The plan file
        plan: PathBuf,
        /// Where to write the booklet; beside the plan, ending in .pdf, unless given
        #[arg(short, long, value_name = "FILE")]
        output: Option<PathBuf>,
    },
    /// Print everything worked out from a plan, to read or as JSON
    ///
    /// The JSON form is a public promise, described in docs/report.md: inches as decimal
    /// numbers, x right, y down, one object.
    Report {
        /// The plan file
        plan: PathBuf,
        /// Print one JSON object for other programs
        #[arg(long)]
        json: bool,
    },
    /// Check a plan: is it well written, can it be made, what deserves a look
    Check {
        /// The plan file
        plan: PathBuf,
    },
    /// Show the other settings of the plan's blocks, counted and compared
    ///
    /// Tries every distinct repeat of the blocks by turning alone on the plan's own number
    /// of rows and columns, and lists the best by the question asked. Settings with the same
    /// counts are listed once.
    Settings {
        /// The plan file
        plan: PathBuf,
        /// What to ask of a setting
        #[arg(long, value_enum, default_value = "alike")]
        ask: settings::Ask,
        /// With `--ask whole` and `--ask middle`: the family of colour in question
        #[arg(long, value_name = "FAMILY")]
        of: Option<String>,
        /// With `--ask surprise`: the number they are drawn by, the same each time
        #[arg(long, default_value_t = 1)]
        number: u64,
        /// Blocks along each side of the repeat
        #[arg(long, default_value_t = 2, value_parser = clap::value_parser!(u8).range(1..=4))]
        repeat: u8,
        /// How many settings to list
        #[arg(long, default_value_t = 12)]
        show: usize,
        /// Also draw them side by side (SVG)
        #[arg(long, value_name = "FILE")]
        picture: Option<PathBuf>,
        /// How to draw them
        #[arg(long, value_enum, default_value = "cloth")]
        drawn: settings::Drawn,
    },
    /// Open the studio: the whole plan in your browser, on this machine only
    ///
    /// Everything you do is kept at once, and every step can be taken back, also after the
    /// program has ended. Press Ctrl-C to end it.
    Studio {
        /// A plan file to put on the shelf and open; the file itself is not changed
        plan: Option<PathBuf>,
        /// Where the quilts are kept, unless in the usual place for your own data
        #[arg(long, value_name = "FOLDER")]
        shelf: Option<PathBuf>,
        /// Print the address only; open no browser
        #[arg(long)]
        no_browser: bool,
    },
    /// Write a small starter plan that explains every field
    New {
        /// The file to write; it must not exist yet
        plan: PathBuf,
    },
}

/// Runs one command line to its exit code.
#[must_use]
pub fn run() -> ExitCode {
    let outcome = match Line::parse().command {
        Command::Booklet { plan, output } => commands::booklet(&plan, output),
        Command::Report { plan, json } => commands::report(&plan, json),
        Command::Check { plan } => commands::check(&plan),
        Command::Settings {
            plan,
            ask,
            of,
            number,
            repeat,
            show,
            picture,
            drawn,
        } => {
            let asked = settings::Asked {
                ask,
                of,
                number,
                repeat: repeat.into(),
                show,
                drawn,
            };
            commands::settings(&plan, &asked, picture.as_deref())
        }
        Command::Studio {
            plan,
            shelf,
            no_browser,
        } => commands::studio(plan.as_deref(), shelf, !no_browser),
        Command::New { plan } => commands::new(&plan),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(stop) => {
            if !stop.text.is_empty() {
                eprint!("{}", stop.text);
            }
            ExitCode::from(stop.code)
        }
    }
}
