//! Commands and the open report of the one executable: reads a plan, works everything
//! out, writes what was asked for.
//!
//! Results go to standard output, everything else to standard error. No colour unless
//! standard error is a terminal and `NO_COLOR` is not set.
//!
//! Exit codes: 0 done; 1 the plan needs mending; 2 the command was not understood; 3 a
//! file could not be read or written.

mod commands;
mod cut_true;
mod photos;
mod ramps;
pub mod report;
mod settings;
mod values;

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
        /// Of this small piece of the plan instead of the quilt
        #[arg(long, value_name = "NAME")]
        small: Option<String>,
        /// Only these parts behind the cover, a comma between two: cloth, choosing, cutting,
        /// blocks, sewing, setting, turns, finishing, colouring, templates
        #[arg(long, value_name = "PARTS", value_parser = booklet::Parts::read)]
        parts: Option<booklet::Parts>,
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
        /// Of this small piece of the plan instead of the quilt
        #[arg(long, value_name = "NAME")]
        small: Option<String>,
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
        /// Allow mirrored blocks too: they are other blocks to sew
        #[arg(long)]
        mirrored: bool,
    },
    /// Sort the plan's cloths by value, and look at the top in other ways
    ///
    /// The groups are the best there are: no other limits leave the cloths of a group more
    /// alike. Cloths near a limit are named with what it costs to count them elsewhere. A
    /// cloth to which the plan gives a value stays where the plan puts it.
    Values {
        /// The plan file
        plan: PathBuf,
        /// Into how many groups; as the plan says unless given
        #[arg(long, value_parser = clap::value_parser!(u32).range(2..=9))]
        groups: Option<u32>,
        /// Also draw the top (SVG)
        #[arg(long, value_name = "FILE")]
        picture: Option<PathBuf>,
        /// How the top is looked at
        #[arg(long, value_enum, default_value = "grey")]
        view: values::Look,
    },
    /// Lay the plan's ramps: even runs from dark to light, matched round by round
    ///
    /// Of all ways to lay the cloths the plan names, the one nearest to the marks is shown;
    /// where none is near enough, what to look for. The plan is not changed unless asked.
    Ramps {
        /// The plan file
        plan: PathBuf,
        /// Also lay the cloths in the plan file
        #[arg(long)]
        lay: bool,
    },
    /// Measure cloth in photographs: value, colours, print, repeat, direction
    ///
    /// Reads PNG, JPEG and WebP. Photograph cloth flat and from straight above, selvages
    /// left and right, a ruler or a coin and a grey card beside it. What is said about the
    /// picture holds for every picture named. Without a card the value is relative.
    Cloth {
        /// The pictures
        #[arg(required = true)]
        photos: Vec<PathBuf>,
        #[command(flatten)]
        said: photos::Said,
        /// Also write the cloth alone, upright and in true light (PNG); one picture only
        #[arg(long, value_name = "FILE")]
        swatch: Option<PathBuf>,
        /// Print one JSON object for other programs
        #[arg(long)]
        json: bool,
    },
    /// Draw the top: in its cloths (SVG), or cut true from photographs (PNG)
    ///
    /// Cut true, every patch shows the very part of its cloth that the cutting plan cuts it
    /// from, so a print of many colours shows another bit in every patch. A cloth without a
    /// photograph is painted in its colour.
    Picture {
        /// The plan file
        plan: PathBuf,
        /// Paint every patch from a photograph of its cloth
        #[arg(long)]
        cut_true: bool,
        /// A photograph that shows only cloth, upright, and how wide the cloth shown is:
        /// "navy=navy.png=18 in"; once for every cloth
        #[arg(long, value_name = "CLOTH=FILE=LENGTH", requires = "cut_true")]
        photo: Vec<String>,
        /// How many pixels wide
        #[arg(long, default_value_t = 2000, requires = "cut_true",
              value_parser = clap::value_parser!(u16).range(100..=10_000))]
        pixels: u16,
        /// Where to write the picture
        #[arg(short, long, value_name = "FILE")]
        output: PathBuf,
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
        Command::Booklet {
            plan,
            output,
            small,
            parts,
        } => commands::booklet(&plan, output, small.as_deref(), parts),
        Command::Report { plan, json, small } => commands::report(&plan, json, small.as_deref()),
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
            mirrored,
        } => {
            let asked = settings::Asked {
                ask,
                of,
                number,
                repeat: repeat.into(),
                show,
                drawn,
                mirrored,
            };
            commands::settings(&plan, &asked, picture.as_deref())
        }
        Command::Values {
            plan,
            groups,
            picture,
            view,
        } => commands::values(&plan, groups, picture.as_deref().map(|file| (file, view))),
        Command::Ramps { plan, lay } => commands::ramps(&plan, lay),
        Command::Cloth {
            photos,
            said,
            swatch,
            json,
        } => commands::cloth(&photos, &said, swatch.as_deref(), json),
        Command::Picture {
            plan,
            cut_true,
            photo,
            pixels,
            output,
        } => {
            let how = cut_true.then_some((photo.as_slice(), usize::from(pixels)));
            commands::picture(&plan, &output, how)
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
