//! Puts the booklet together: chapters as data, drawings as files, pages set.

use quilt::findings::Weight;
use quilt::plan::Plan;
use quilt::results::Results;

use crate::chapters::{self, Desk};
use crate::engine::{Fault, Imprint, SANS, Trouble, TypesetDocument, typeset};
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
    let (set, ident) = set(plan, results)?;
    set.pdf(&Imprint { ident, day: None })
}

/// The pages, and what the document is known by: everything it says, drawings aside.
fn set(plan: &Plan, results: &Results) -> Result<(TypesetDocument, String), Trouble> {
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
    files.extend(
        pages::BOOKLET
            .iter()
            .map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec())),
    );
    files.insert("data.json".to_owned(), data.clone().into_bytes());
    Ok((typeset(pages::MAIN, files)?, data))
}

/// Why there is no booklet yet.
fn unmade(results: &Results) -> Trouble {
    let fault = |message: String| Fault {
        message,
        file: None,
        line: None,
    };
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

#[cfg(test)]
mod tests {
    use std::path::Path;

    use quilt::plan::Paper;

    use super::*;

    fn demo(name: &str) -> (Plan, Results) {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../../examples")
            .join(name);
        let (_, plan) = planfile::load(&path).expect("the demo plans are sound");
        let results = quilt::results::work_out(&plan, None);
        (plan, results)
    }

    #[test]
    fn pages_settle_without_a_warning() {
        for name in [
            "harbour-lights.toml",
            "night-ferry.toml",
            "orchard-at-dusk.toml",
        ] {
            let (mut plan, results) = demo(name);
            for paper in [Paper::Letter, Paper::A4] {
                plan.paper = paper;
                let (set, _) = set(&plan, &results).unwrap();
                assert!(
                    set.warnings.is_empty(),
                    "{name} on {paper:?}: {:?}",
                    set.warnings
                );
                assert!(
                    (8..40).contains(&set.page_count()),
                    "{name}: {} pages",
                    set.page_count()
                );
            }
        }
    }

    #[test]
    fn a_top_that_cannot_be_laid_out_says_why() {
        let (plan, mut results) = demo("night-ferry.toml");
        results.top = None;
        results.findings = vec![quilt::findings::Finding::stop("The rows do not fit.")];
        let trouble = pdf(&plan, &results).unwrap_err().to_string();
        assert!(trouble.contains("The rows do not fit."), "{trouble}");
    }
}
