//! Whatever leaves the studio as a file: pictures, templates, the page for a tablet.
//!
//! **Units.** SVG in inches at true size where it says so; DXF in millimetres with y up,
//! as that format has it.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use picture::{Drawing, Palette};
use quilt::block::Template;
use quilt::block::drafting::constructions::Construction;
use quilt::plan::{BlockId, ClothId, Edit, Plan};
use quilt::results::Results;

use crate::html::{El, Node, el};
use crate::look::Look;
use crate::steps::{self, Line, List};

/// The typeface the pages use; elsewhere the reader's own.
const LETTERS: &str = "Inter, sans-serif";
/// Width of a picture, inches; screens scale it.
const WIDE: f64 = 7.5;
/// Width of a drawing of one block, inches: shown some 420 pixels wide, its letters of
/// eleven points are twenty pixels high.
const ON_THE_BOARD: f64 = 3.0;

fn palette(plan: &Plan) -> Palette {
    Palette::of(plan, LETTERS)
}

/// The quilt in its cloth; while it is not whole, words that say so.
pub(crate) fn picture(plan: &Plan, look: &Look) -> String {
    let Some(top) = look.top() else {
        return format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 200 200\" font-family=\"{LETTERS}\" font-size=\"22\" text-anchor=\"middle\">\
             <title>No picture yet: the quilt is not whole.</title>\
             <path d=\"M3 3h194v194h-194z\" fill=\"#fff\" stroke=\"#6b6b6b\" stroke-width=\"2\" stroke-dasharray=\"8 6\"/>\
             <g fill=\"#1b1b1b\"><text x=\"100\" y=\"92\">not whole yet:</text><text x=\"100\" y=\"122\">no picture</text></g></svg>\n"
        );
    };
    let drawing = picture::quilt(plan, &look.laid.blocks, top);
    picture::svg(&drawing, &palette(plan), WIDE)
}

/// The quilt in outline.
pub(crate) fn lines(plan: &Plan, look: &Look) -> Option<String> {
    let drawing = picture::quilt_lines(plan, &look.laid.blocks, look.top()?);
    Some(picture::svg(&drawing, &palette(plan), WIDE))
}

/// The cloths from light to dark.
pub(crate) fn values(plan: &Plan, results: &Results) -> String {
    picture::svg(
        &picture::value_strip(plan, &results.values),
        &palette(plan),
        6.0,
    )
}

/// The backing from behind: the way that takes less cloth, or the other.
pub(crate) fn backing(plan: &Plan, results: &Results, other: bool) -> Option<String> {
    let (top, made) = (results.top.as_deref()?, results.finishing.as_deref()?);
    let back = &made.backing;
    let way = if other { &back.other } else { &back.chosen };
    let drawing = picture::backing(plan, back, way, top);
    Some(on_screen(plan, &drawing, 300, 300).0)
}

/// The top over the bed or the size it is made for.
pub(crate) fn bed(plan: &Plan, look: &Look) -> Option<String> {
    let top = look.top()?;
    let drawing = picture::over_bed(plan, top, &quilt::setting::on_bed(plan, top)?);
    Some(on_screen(plan, &drawing, 400, 360).0)
}

/// A piece of one cloth.
pub(crate) fn swatch(plan: &Plan, cloth: usize) -> Option<String> {
    (cloth < plan.cloths.len())
        .then(|| picture::svg(&picture::swatch(plan, ClothId(cloth)), &palette(plan), 1.5))
}

/// One block in its cloth, with the letters of its templates.
pub(crate) fn block(plan: &Plan, look: &Look, index: usize) -> Option<String> {
    let block = look.laid.blocks.get(index)?.as_deref()?;
    let drawing = picture::block_letters(plan, BlockId(index), block);
    Some(picture::svg(&drawing, &palette(plan), ON_THE_BOARD))
}

/// A block of the plan as this construction would draw it, small.
pub(crate) fn construction(plan: &Plan, which: &str) -> Option<String> {
    let (block, rest) = which.split_once('-')?;
    let id = BlockId(block.parse().ok().filter(|i| *i < plan.blocks.len())?);
    // Keys have hyphens of their own; the pulls are what is figures at the end.
    let pulls = rest
        .find(|c: char| c.is_ascii_digit())
        .unwrap_or(rest.len());
    let (key, values) = rest.split_at(pulls);
    let kind = Construction::named(key.trim_end_matches('-'))?;
    let block = kind.laid(&crate::deeds::pulls_in(values), plan, plan.block(id));
    let plan = plan.with(&Edit::SetBlock(id, block)).ok()?;
    let worked = quilt::block::work_out(plan.block(id), &plan.seam, &plan.ruler).ok()?;
    let drawing = picture::block(&plan, id, &worked, None, 0);
    Some(picture::svg(&drawing, &palette(&plan), 2.0))
}

/// Where a block asks for more than straight seams, or the seams that would spare it.
pub(crate) fn not_straight(plan: &Plan, look: &Look, which: &str) -> Option<String> {
    let (index, mended): (usize, bool) = match which.strip_suffix("-mended") {
        Some(index) => (index.parse().ok()?, true),
        None => (which.parse().ok()?, false),
    };
    let block = look.laid.blocks.get(index)?.as_deref()?;
    let id = BlockId(index);
    let drawing = if mended {
        picture::straightened(plan, id, block)?
    } else {
        picture::obstruction(plan, id, block)
    };
    Some(picture::svg(&drawing, &palette(plan), ON_THE_BOARD))
}

/// A CSS pixel is so many of an inch.
const PIXEL: f64 = 1.0 / 96.0;
/// The smallest letters on a screen, CSS pixels.
const READABLE: f64 = 18.0;

/// A drawing for a screen, at most so wide and about so high in CSS pixels, with letters
/// that can be read at arm's length; and how wide and high it is.
///
/// Letters of a drawing are as large as on paper, so it is set on smaller paper and shown
/// enlarged, until its smallest letters have [`READABLE`] pixels.
pub(crate) fn on_screen(
    plan: &Plan,
    drawing: &Drawing,
    wide: u32,
    high: u32,
) -> (String, [u32; 2]) {
    let (width, shown) = fitted(drawing, wide, high);
    let text = picture::svg(&picture::typeset(drawing), &palette(plan), width);
    (enlarged_to(&text, shown), shown)
}

/// On how wide a paper a drawing is set for the screen, inches, and how wide and high it is
/// shown, CSS pixels.
pub(crate) fn fitted(drawing: &Drawing, wide: u32, high: u32) -> (f64, [u32; 2]) {
    let enlarged = READABLE * PIXEL * 72.0 / picture::SMALLEST;
    let paper = |pixels: f64| pixels * PIXEL / enlarged;
    let (wide, high) = (f64::from(wide), f64::from(high));
    let fits = drawing.width_for_height(paper(high));
    // A tall drawing may be higher than asked for: narrow ones cannot be read.
    let width = fits.clamp(paper(wide.min(280.0)), paper(wide));
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a drawing is a few hundred pixels"
    )]
    let pixels = |paper: f64| (paper * enlarged / PIXEL).round() as u32;
    (width, [pixels(width), pixels(drawing.height_at(width))])
}

/// A drawing's text with its width and height on paper replaced by those on the screen.
fn enlarged_to(text: &str, [width, height]: [u32; 2]) -> String {
    let from = text.find(" width=\"");
    let (Some(from), Some(to)) = (from, text.find(" viewBox=\"")) else {
        return text.to_owned();
    };
    format!(
        "{} width=\"{width}\" height=\"{height}\"{}",
        &text[..from],
        &text[to..]
    )
}

/// A name for a file of this quilt, made by us: letters, figures and hyphens.
pub(crate) fn named(plan: &Plan, ending: &str) -> String {
    let lower = plan.title.to_lowercase();
    let parts: Vec<&str> = lower
        .split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|part| !part.is_empty())
        .collect();
    let stem: String = parts.join("-").chars().take(60).collect();
    if stem.is_empty() {
        format!("quilt.{ending}")
    } else {
        format!("{stem}.{ending}")
    }
}

/// Every template of a block below one another, at true size.
pub(crate) fn templates_svg(plan: &Plan, results: &Results, index: usize) -> Option<String> {
    let block = results.blocks.get(index)?.as_deref()?;
    let name = &plan.blocks.get(index)?.name;
    // A CSS inch is 96 of the outer units.
    const UNIT: f64 = 96.0;
    let (mut width, mut down, mut body) = (0.0_f64, 0.25 * UNIT, String::new());
    for template in &block.templates {
        let notes = [format!(
            "“{name}” {}: cut {} a block",
            template.letter, template.count
        )];
        let drawing = picture::template(template, &notes);
        let wide = drawing.true_width();
        let inner = picture::svg(&drawing, &palette(plan), wide);
        let start = inner.find("<svg ")?;
        // Writing to a String cannot fail.
        let _ = write!(
            body,
            "<svg x=\"{:.2}\" y=\"{down:.2}\" {}",
            0.25 * UNIT,
            &inner[start + 5..]
        );
        down += (drawing.height_at(wide) + 0.25) * UNIT;
        width = width.max((wide + 0.5) * UNIT);
    }
    Some(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{:.4}in\" height=\"{:.4}in\" viewBox=\"0 0 {width:.2} {down:.2}\">{body}</svg>\n",
        width / UNIT,
        down / UNIT
    ))
}

/// Every template of a block beside one another, as DXF (the ASCII drawing interchange
/// format, release 12): closed polylines on the layers CUT and SEAM, the grain as a line on
/// GRAIN, the letter as text on MARK. Millimetres.
pub(crate) fn templates_dxf(results: &Results, index: usize) -> Option<String> {
    let block = results.blocks.get(index)?.as_deref()?;
    let mut out = String::from(
        "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1009\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n",
    );
    let mut right = 0.0;
    for template in &block.templates {
        right += dxf_template(&mut out, template, right) + 10.0;
    }
    out.push_str("0\nENDSEC\n0\nEOF\n");
    Some(out)
}

/// Millimetres of an inch.
const MM: f64 = 25.4;

/// Writes one template with its left edge at `right`; how wide it is.
fn dxf_template(out: &mut String, template: &Template, right: f64) -> f64 {
    let all = template.trimmed.iter();
    let (mut low, mut high) = ([f64::MAX; 2], [f64::MIN; 2]);
    for point in all {
        for axis in 0..2 {
            low[axis] = low[axis].min(point[axis]);
            high[axis] = high[axis].max(point[axis]);
        }
    }
    let at = |p: [f64; 2]| [right + (p[0] - low[0]) * MM, (high[1] - p[1]) * MM];
    let mut ring = |layer: &str, points: &mut dyn Iterator<Item = [f64; 2]>| {
        let _ = write!(out, "0\nPOLYLINE\n8\n{layer}\n66\n1\n70\n1\n");
        for point in points {
            let [x, y] = at(point);
            let _ = write!(out, "0\nVERTEX\n8\n{layer}\n10\n{x:.4}\n20\n{y:.4}\n");
        }
        let _ = write!(out, "0\nSEQEND\n8\n{layer}\n");
    };
    ring("CUT", &mut template.trimmed.iter().copied());
    ring(
        "SEAM",
        &mut template.finished.points().iter().map(|p| p.to_f64()),
    );
    let middle = template.finished.inner_point().to_f64();
    let turn = template.grain.to_radians();
    let half = 0.3;
    let ends = [-half, half].map(|t| at([middle[0] + t * turn.cos(), middle[1] + t * turn.sin()]));
    let _ = write!(
        out,
        "0\nLINE\n8\nGRAIN\n10\n{:.4}\n20\n{:.4}\n11\n{:.4}\n21\n{:.4}\n",
        ends[0][0], ends[0][1], ends[1][0], ends[1][1]
    );
    let [x, y] = at(middle);
    let _ = write!(
        out,
        "0\nTEXT\n8\nMARK\n10\n{:.4}\n20\n{y:.4}\n40\n5\n1\n{}\n",
        x + 2.0,
        template.letter
    );
    (high[0] - low[0]) * MM
}

/// The work as one page that needs neither this program nor a network: for a tablet that
/// stands beside the table or the machine. The ticks stay on the tablet.
pub(crate) fn away(plan: &Plan, results: &Results) -> String {
    let mut drawings = BTreeMap::new();
    let mut body = el("main");
    for (list, title) in [
        (List::Cut, "At the cutting table"),
        (List::Sew, "At the machine"),
    ] {
        let lines = steps::lines(list, plan, results);
        let items = lines.iter().map(|line| {
            let drawing = line.drawing(plan, results).map(|drawing| {
                let next = drawings.len();
                let number = *drawings
                    .entry(on_screen(plan, &drawing, 600, 420).0)
                    .or_insert(next);
                (number, drawing.says)
            });
            away_line(line, drawing)
        });
        let items: Vec<El> = items.collect();
        body = body.put(
            el("section")
                .attr("data-list", list.word())
                .put(el("h2").text(title))
                .put(el("ol").put_all(items)),
        );
    }
    let page = el("body")
        .put(el("header").put(el("h1").text(&plan.title)))
        .put(body)
        .put(el("p").class("care").text(
            "Care: close a rotary blade whenever you put it down, cut away from yourself, keep fingers clear of the needle and never leave a hot iron standing. Your workroom's own rules come first.",
        ));
    let mut shelf: Vec<(usize, String)> = drawings.into_iter().map(|(t, n)| (n, t)).collect();
    shelf.sort_unstable();
    let shelf: String = shelf
        .into_iter()
        .map(|(number, text)| format!("<template id=\"d{number}\">{}</template>\n", inline(&text)))
        .collect();
    format!(
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:\">\
         <title>{}</title><style>{}</style></head>\n{}{shelf}<script>{}</script></html>\n",
        Node::from(el("b").text(&plan.title))
            .into_text()
            .trim_start_matches("<b>")
            .trim_end_matches("</b>"),
        include_str!("../assets/away.css"),
        Node::from(page).into_text(),
        include_str!("../assets/away.js"),
    )
}

fn away_line(line: &Line, drawing: Option<(usize, String)>) -> El {
    let mut item = el("li")
        .attr("data-line", &line.key)
        .attr("data-times", line.times)
        .put(el("p").class("under").text(&line.under))
        .put(el("p").class("text").text(&line.text))
        .put_all(
            line.notes
                .iter()
                .map(|note| el("p").class("note").text(note)),
        );
    if let Some((number, says)) = drawing {
        item = item.put(
            el("div")
                .class("drawing")
                .attr("data-drawing", number)
                .attr("role", "img")
                .attr("aria-label", says),
        );
    }
    item
}

/// A drawing to stand inside a page.
fn inline(text: &str) -> &str {
    text.find("<svg").map_or(text, |start| &text[start..])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn demo() -> (Plan, Results) {
        let (_, _, text) = crate::DEMOS[1];
        let plan = planfile::read("demo", text).unwrap();
        let results = quilt::results::work_out(&plan, None);
        (plan, results)
    }

    /// Reads group codes and values back, as any reader of the format does.
    fn pairs(text: &str) -> Vec<(i32, &str)> {
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines.len().is_multiple_of(2));
        lines
            .chunks(2)
            .map(|pair| (pair[0].parse().unwrap(), pair[1]))
            .collect()
    }

    #[test]
    fn the_cut_lines_have_their_true_area_in_millimetres() {
        let (_, results) = demo();
        let text = templates_dxf(&results, 0).unwrap();
        let pairs = pairs(&text);
        assert_eq!(pairs.last(), Some(&(0, "EOF")));
        let mut rings: Vec<Vec<[f64; 2]>> = Vec::new();
        let mut on_cut = false;
        for window in pairs.windows(4) {
            match window {
                [(0, "POLYLINE"), (8, layer), ..] => {
                    on_cut = *layer == "CUT";
                    if on_cut {
                        rings.push(Vec::new());
                    }
                }
                [(0, "VERTEX"), _, (10, x), (20, y)] if on_cut => {
                    let point = [x.parse().unwrap(), y.parse().unwrap()];
                    rings.last_mut().unwrap().push(point);
                }
                _ => {}
            }
        }
        let block = results.blocks[0].as_deref().unwrap();
        assert_eq!(rings.len(), block.templates.len());
        for (ring, template) in rings.iter().zip(&block.templates) {
            let wanted = area(&template.trimmed) * 25.4 * 25.4;
            assert!(
                (area(ring) - wanted).abs() < 0.5,
                "template {}",
                template.letter
            );
        }
    }

    fn area(ring: &[[f64; 2]]) -> f64 {
        let next = ring.iter().cycle().skip(1);
        let twice: f64 = ring
            .iter()
            .zip(next)
            .map(|(a, b)| a[0] * b[1] - b[0] * a[1])
            .sum();
        (twice / 2.0).abs()
    }

    #[test]
    fn the_page_for_a_tablet_asks_for_nothing_outside() {
        let (plan, results) = demo();
        let page = away(&plan, &results);
        assert!(page.contains("data-list=\"cut\"") && page.contains("data-list=\"sew\""));
        assert!(page.contains("<svg"));
        for outside in ["src=\"http", "href=\"http", "url(http", "@import", "<link"] {
            assert!(!page.contains(outside), "{outside}");
        }
    }

    #[test]
    fn letters_of_a_step_can_be_read() {
        let (plan, results) = demo();
        for list in [List::Cut, List::Sew] {
            for line in steps::lines(list, &plan, &results) {
                let Some(drawing) = line.drawing(&plan, &results) else {
                    continue;
                };
                for (wide, high) in [(600, 420), (280, 420)] {
                    let (text, [width, height]) = on_screen(&plan, &drawing, wide, high);
                    assert!(width <= wide && height > 0, "{} {width}", line.text);
                    // Points of the paper it is set on, shown on so many pixels.
                    let at = text.find("viewBox=\"0 0 ").unwrap() + 13;
                    let paper: f64 = text[at..].split(' ').next().unwrap().parse().unwrap();
                    let enlarged = f64::from(width) / paper;
                    let sizes = text.split("font-size=\"").skip(1);
                    for size in sizes {
                        let points: f64 = size.split('"').next().unwrap().parse().unwrap();
                        let pixels = points * enlarged;
                        assert!(pixels > 17.8, "{}: {pixels} px", line.text);
                    }
                }
            }
        }
    }

    #[test]
    fn names_of_files_are_ours() {
        let (mut plan, _) = demo();
        plan.title = "../../Ünder & \"Sea\"\r\n".into();
        assert_eq!(named(&plan, "pdf"), "nder-sea.pdf");
        plan.title = "日本".into();
        assert_eq!(named(&plan, "pdf"), "quilt.pdf");
    }
}
