//! Puts the booklet together: chapters as data, drawings as files, pages set.

use quilt::findings::Weight;
use quilt::plan::Plan;
use quilt::results::Results;

use crate::chapters::{self, Desk};
use crate::engine::{Fault, Imprint, SANS, Trouble, typeset};
use crate::gallery::Gallery;
use crate::pages;
use crate::room::Room;

/// The whole booklet as a tagged PDF (PDF/UA-1), on the plan's paper.
///
/// The same plan gives the same bytes: the document carries no date, and is known by
/// what it says.
///
/// # Errors
///
/// [`Trouble`] while the top cannot be laid out (with the findings that stop it, each a
/// sentence for the maker), or if a page cannot be set.
pub fn pdf(plan: &Plan, results: &Results) -> Result<Vec<u8>, Trouble> {
    if results.top.is_none() {
        return Err(unmade(results));
    }
    let mut desk = Desk {
        plan,
        results,
        gallery: Gallery::new(picture::Palette::of(plan, SANS)),
        room: Room::of(plan.paper),
    };
    let data = chapters::data(&mut desk).to_string();
    let mut files = desk.gallery.into_files();
    files.extend(pages::BOOKLET.iter().map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec())));
    files.insert("data.json".to_owned(), data.clone().into_bytes());
    /*TEMP*/ if let Ok(dir) = std::env::var("BK_PAGES") { for (name, _) in pages::BOOKLET { files.insert(name.into(), std::fs::read(format!("{dir}/{name}")).unwrap()); } }
    typeset(pages::MAIN, files)?.pdf(&Imprint { ident: data, day: None })
}

/// Why there is no booklet yet.
fn unmade(results: &Results) -> Trouble {
    let fault = |message: String| Fault { message, file: None, line: None };
    let mut faults: Vec<Fault> = results
        .findings
        .iter()
        .filter(|finding| finding.weight == Weight::Stop)
        .map(|finding| fault(finding.text.clone()))
        .collect();
    if faults.is_empty() {
        faults.push(fault("the top is not laid out yet".into()));
    }
    Trouble { faults }
}
