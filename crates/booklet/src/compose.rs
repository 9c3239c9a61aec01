//! Puts the booklet together: chapters as data, drawings as files, pages set.

use std::ops::ControlFlow;

use quilt::findings::Weight;
use quilt::plan::Plan;
use quilt::results::Results;

use crate::chapters::{self, Desk};
use crate::engine::{Fault, Head, Imprint, SANS, Trouble, TypesetDocument, typeset};
use crate::gallery::Gallery;
use crate::pages;
use crate::parts::{Part, Parts};
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
    Booklet::set(plan, results, &Parts::all())?.pdf()
}

/// A booklet whose pages are set: to print, or to look through first.
pub struct Booklet {
    set: TypesetDocument,
    /// What the document is known by: everything it says, drawings aside.
    ident: String,
}

/// What a page is.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Leaf {
    /// The part it belongs to; the cover to none.
    pub part: Option<Part>,
    /// What its heading says, or the last heading before it; then the chapters that begin
    /// further down on it.
    pub title: String,
}

impl Booklet {
    /// Sets the parts that are wanted.
    ///
    /// # Errors
    ///
    /// As [`pdf`].
    pub fn set(plan: &Plan, results: &Results, parts: &Parts) -> Result<Self, Trouble> {
        let go_on = |_, _| ControlFlow::Continue(());
        let set = Self::set_watched(plan, results, parts, &go_on)?;
        // Nobody said stop.
        set.ok_or_else(|| unmade(results))
    }

    /// The same for someone who waits: `watch` is told how many steps of how many are
    /// done, and may stop the work, which then gives `None`.
    ///
    /// # Errors
    ///
    /// As [`pdf`].
    pub fn set_watched(
        plan: &Plan,
        results: &Results,
        parts: &Parts,
        watch: &dyn Fn(usize, usize) -> ControlFlow<()>,
    ) -> Result<Option<Self>, Trouble> {
        if results.top.is_none() {
            return Err(unmade(results));
        }
        let mut desk = Desk {
            plan,
            results,
            gallery: Gallery::new(picture::Palette::of(plan, SANS)),
            room: Room::of(plan.paper),
        };
        // Setting the type takes about as long as writing all the chapters.
        let halfway = |done: usize, of: usize| watch(done, 2 * of);
        let Some(data) = chapters::data(&mut desk, parts, &halfway) else {
            return Ok(None);
        };
        if watch(1, 2).is_break() {
            return Ok(None);
        }
        let ident = data.to_string();
        let mut files = desk.gallery.into_files();
        files.extend(
            pages::BOOKLET
                .iter()
                .map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec())),
        );
        files.insert("data.json".to_owned(), ident.clone().into_bytes());
        let set = typeset(pages::MAIN, files)?;
        Ok(Some(Self { set, ident }))
    }

    /// The pages as a tagged PDF (PDF/UA-1).
    ///
    /// # Errors
    ///
    /// As [`pdf`].
    pub fn pdf(&self) -> Result<Vec<u8>, Trouble> {
        self.set.pdf(&Imprint {
            ident: self.ident.clone(),
            day: None,
        })
    }

    /// Every page, in order.
    #[must_use]
    pub fn leaves(&self) -> Vec<Leaf> {
        let mut leaf = Leaf {
            part: None,
            title: "Cover".into(),
        };
        let heads = self.set.heads();
        let leaves = (0..self.set.page_count()).map(|page| {
            // A page is called by the first heading on it, and goes on with the last.
            let mut on_page = heads.iter().filter(|head| head.page == page);
            let of = |head: &Head| Leaf {
                part: Part::named(&head.mark),
                title: head.text.clone(),
            };
            let mut here = on_page.next().map_or_else(|| leaf.clone(), of);
            leaf = here.clone();
            for head in on_page {
                leaf = of(head);
                // A chapter that begins further down is told too.
                if head.level == 1 {
                    here.title = format!("{} · {}", here.title, head.text);
                }
            }
            here
        });
        leaves.collect()
    }

    /// A page as a picture (PNG), so many pixels an inch; `None` if there is no such page.
    ///
    /// # Errors
    ///
    /// [`Trouble`] if the picture cannot be written.
    pub fn png(&self, page: usize, pixels: f64) -> Result<Option<Vec<u8>>, Trouble> {
        self.set.png(page, pixels)
    }
}

impl std::fmt::Debug for Booklet {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Booklet of {} pages", self.set.page_count())
    }
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
                let set = Booklet::set(&plan, &results, &Parts::all()).unwrap().set;
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
    fn every_page_knows_its_part() {
        let (plan, results) = demo("night-ferry.toml");
        let whole = Booklet::set(&plan, &results, &Parts::all()).unwrap();
        let leaves = whole.leaves();
        assert_eq!(leaves.len(), whole.set.page_count());
        let parts: Vec<Option<Part>> = leaves.iter().map(|leaf| leaf.part).collect();
        assert!(parts.is_sorted(), "{leaves:?}");
        assert_eq!((parts[0], leaves[0].title.as_str()), (None, "Cover"));
        assert_eq!(parts.last(), Some(&Some(Part::Templates)));
        let png = whole.png(0, 40.0).unwrap().unwrap();
        assert_eq!(&png[1..4], b"PNG");
        // Width in pixels: bytes 16 to 20 of the header.
        let wide = u32::from_be_bytes(png[16..20].try_into().unwrap());
        assert_eq!(
            wide,
            if plan.paper == Paper::Letter {
                340
            } else {
                331
            }
        );
        assert!(whole.png(leaves.len(), 40.0).unwrap().is_none());
    }

    #[test]
    fn each_part_can_be_printed_alone_and_each_left_out() {
        let (plan, results) = demo("harbour-lights.toml");
        let whole = Booklet::set(&plan, &results, &Parts::all()).unwrap();
        for part in Part::ALL {
            let alone = Booklet::set(&plan, &results, &Parts::from_iter([part])).unwrap();
            let rest = Part::ALL
                .into_iter()
                .filter(|&other| other != part)
                .collect();
            let rest = Booklet::set(&plan, &results, &rest).unwrap();
            for set in [&alone, &rest] {
                assert!(
                    set.set.warnings.is_empty(),
                    "{part:?}: {:?}",
                    set.set.warnings
                );
                set.pdf().unwrap();
            }
            let there = whole.leaves().iter().any(|leaf| leaf.part == Some(part));
            assert!(
                alone.leaves()[1..]
                    .iter()
                    .all(|leaf| leaf.part == Some(part))
            );
            assert!(!there || alone.set.page_count() > 1, "{part:?}");
            assert!(rest.leaves().iter().all(|leaf| leaf.part != Some(part)));
        }
    }

    #[test]
    fn whoever_waits_can_stop_the_work() {
        let (plan, results) = demo("night-ferry.toml");
        let asked = std::cell::Cell::new(0);
        let watch = |done: usize, of: usize| {
            assert!(done < of);
            asked.set(asked.get() + 1);
            if asked.get() > 3 {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        };
        let set = Booklet::set_watched(&plan, &results, &Parts::all(), &watch);
        assert!(set.unwrap().is_none());
        assert_eq!(asked.get(), 4);
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
