//! Draws everything into PNG files, to look at: `look FOLDER FONT.ttf BOLD.ttf [PLAN.toml …]`.
//!
//! Each is drawn at the size it has in print, 200 dots an inch.

#[path = "../tests/kit/mod.rs"]
#[allow(dead_code, unreachable_pub, reason = "the tests use the rest")]
mod kit;

use std::path::PathBuf;

use picture::{Drawing, Palette, svg};
use quilt::plan::{BlockId, Plan};
use resvg::tiny_skia::{self, Pixmap};
use resvg::usvg;

struct Looker {
    folder: PathBuf,
    options: usvg::Options<'static>,
    palette: Palette,
}

impl Looker {
    /// The drawing in dots, as printed so wide.
    fn dots(&self, name: &str, drawing: &Drawing, width_in: f64) -> Pixmap {
        let text = svg(drawing, &self.palette, width_in);
        std::fs::write(self.folder.join(format!("{name}.svg")), &text)
            .expect("the folder can be written");
        let tree = usvg::Tree::from_str(&text, &self.options).expect("our SVG reads back");
        let zoom = (200.0 * width_in) as f32 / tree.size().width();
        let [w, h] = [tree.size().width(), tree.size().height()].map(|x| (x * zoom).ceil() as u32);
        let mut pixels = Pixmap::new(w, h).expect("a size");
        pixels.fill(tiny_skia::Color::from_rgba8(0xfb, 0xfa, 0xf7, 0xff));
        resvg::render(
            &tree,
            tiny_skia::Transform::from_scale(zoom, zoom),
            &mut pixels.as_mut(),
        );
        println!("{name}: {} bytes, {w} × {h} dots", text.len());
        pixels
    }

    fn show(&self, name: &str, drawing: &Drawing, width_in: f64) {
        self.sheet(name, 1, &[(drawing.clone(), width_in)]);
    }

    /// Several drawings side by side in rows, in one file.
    fn sheet(&self, name: &str, columns: usize, drawings: &[(Drawing, f64)]) {
        let gap = 24;
        let all: Vec<Pixmap> = drawings
            .iter()
            .enumerate()
            .map(|(i, (d, w))| self.dots(&format!("{name}-{i}"), d, *w))
            .collect();
        let rows: Vec<&[Pixmap]> = all.chunks(columns).collect();
        let width = rows
            .iter()
            .map(|r| r.iter().map(|p| p.width() + gap).sum::<u32>())
            .max()
            .unwrap_or(1);
        let tall = |r: &[Pixmap]| r.iter().map(|p| p.height() + gap).max().unwrap_or(0);
        let mut page = Pixmap::new(width, rows.iter().map(|r| tall(r)).sum()).expect("a size");
        page.fill(tiny_skia::Color::WHITE);
        let mut y = 0;
        for row in rows {
            let mut x = 0;
            for p in row {
                let (at, plain) = (
                    tiny_skia::Transform::identity(),
                    tiny_skia::PixmapPaint::default(),
                );
                page.draw_pixmap(x, y, p.as_ref(), &plain, at, None);
                x += (p.width() + gap) as i32;
            }
            y += tall(row) as i32;
        }
        page.save_png(self.folder.join(format!("{name}.png")))
            .expect("the folder can be written");
    }
}

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [folder, regular, bold, plans @ ..] = &args[..] else {
        eprintln!("look FOLDER FONT.ttf BOLD.ttf [PLAN.toml …]");
        return;
    };
    let mut options = usvg::Options::default();
    for font in [regular, bold] {
        options
            .fontdb_mut()
            .load_font_data(std::fs::read(font).expect("a font file"));
    }
    let family = options
        .fontdb
        .faces()
        .next()
        .map_or(String::new(), |f| f.families[0].0.clone());
    std::fs::create_dir_all(folder).expect("the folder can be made");
    let plan = kit::plan();
    let mut looker = Looker {
        folder: folder.into(),
        options,
        palette: Palette::of(&plan, &family),
    };
    the_kit(&looker, &plan);
    large(&looker);
    for path in plans {
        let text = std::fs::read_to_string(path).expect("a plan file");
        let plan = planfile::read(path, &text).expect("a sound plan");
        let name = std::path::Path::new(path)
            .file_stem()
            .map_or(String::new(), |n| n.to_string_lossy().into_owned());
        looker.palette = Palette::of(&plan, &family);
        whole_plan(&looker, &name, &plan);
    }
}

/// Everything of a real plan.
fn whole_plan(looker: &Looker, name: &str, plan: &Plan) {
    let blocks = &kit::blocks(plan)[..];
    let counts: Vec<usize> = blocks.iter().flatten().map(|b| b.patches.len()).collect();
    let top = &quilt::setting::work_out(plan, &counts).expect("rows that fit");
    let sewing = quilt::sewing::work_out(plan, blocks, top);
    let cutting = quilt::cutting::work_out(plan, blocks, top, &kit::finishing(plan, top));
    looker.show(
        &format!("{name}-quilt"),
        &picture::quilt(plan, blocks, top),
        5.0,
    );
    looker.show(
        &format!("{name}-lines"),
        &picture::quilt_lines(plan, blocks, top),
        6.5,
    );
    looker.show(
        &format!("{name}-chart"),
        &picture::setting_chart(plan, blocks, top),
        5.0,
    );
    let steps: Vec<_> = sewing
        .blocks
        .iter()
        .flat_map(|s| {
            let block = blocks[s.block.0]
                .as_deref()
                .expect("sewn blocks are drafted");
            (0..s.steps.len())
                .filter_map(|i| picture::step(plan, block, s, i, None))
                .collect::<Vec<_>>()
        })
        .map(|d| (d, 2.0))
        .collect();
    looker.sheet(&format!("{name}-steps"), 5, &steps);
    let steps: Vec<_> = sewing
        .top
        .iter()
        .map(|s| (picture::top_step(plan, blocks, top, s), 2.0))
        .collect();
    looker.sheet(&format!("{name}-top"), 5, &steps);
    let layouts: Vec<_> = cutting
        .iter()
        .flat_map(|c| c.sheets.iter().map(move |sheet| (c, sheet)))
        .map(|(c, sheet)| (picture::cloth_layout(plan, blocks, c, sheet), 5.5))
        .collect();
    looker.sheet(&format!("{name}-layouts"), 2, &layouts);
}

/// A quilt of more than 5,000 patches: does it stay light, and does the cloth show?
fn large(looker: &Looker) {
    let mut plan = kit::plan();
    (plan.setting.rows, plan.setting.columns) = (kit::MANY, kit::MANY);
    let blocks = kit::blocks(&plan);
    let top = kit::top(&plan, &blocks);
    looker.show("large", &picture::quilt(&plan, &blocks, &top), 5.0);
}

fn the_kit(looker: &Looker, plan: &Plan) {
    let blocks = kit::blocks(plan);
    let top = kit::top(plan, &blocks);

    looker.show("quilt", &picture::quilt(plan, &blocks, &top), 5.0);
    looker.show(
        "quilt-lines",
        &picture::quilt_lines(plan, &blocks, &top),
        6.5,
    );
    looker.show("chart", &picture::setting_chart(plan, &blocks, &top), 5.0);
    let each = |draw: &dyn Fn(BlockId, &quilt::block::Block) -> Drawing,
                width: f64|
     -> Vec<(Drawing, f64)> {
        blocks
            .iter()
            .enumerate()
            .filter_map(|(i, b)| Some((draw(BlockId(i), b.as_deref()?), width)))
            .collect()
    };
    looker.sheet(
        "block",
        4,
        &each(&|id, b| picture::block(plan, id, b, None, 0), 2.5),
    );
    looker.sheet(
        "letters",
        4,
        &each(&|id, b| picture::block_letters(plan, id, b), 2.8),
    );
    looker.sheet(
        "numbers",
        4,
        &each(&|id, b| picture::block_numbered(plan, id, b, None, 0), 2.8),
    );
    looker.sheet(
        "apart",
        4,
        &each(&|id, b| picture::block_exploded(plan, id, b, None), 2.8),
    );
    looker.sheet(
        "stuck",
        4,
        &each(&|id, b| picture::obstruction(plan, id, b), 2.5),
    );

    for (i, columns) in [(0, 4), (1, 5), (2, 5), (3, 5)] {
        let block = blocks[i].as_deref().expect("the kit's drafts are sound");
        let sewing = kit::sewing(BlockId(i), block);
        let steps: Vec<(Drawing, f64)> = (0..sewing.steps.len())
            .filter_map(|s| picture::step(plan, block, &sewing, s, None))
            .map(|d| {
                let width = d.width_for_height(1.2).min(2.2);
                (d, width)
            })
            .collect();
        looker.sheet(&format!("steps-{i}"), columns, &steps);
    }
    let mut templates = Vec::new();
    for i in [0, 2, 3, 5] {
        let block = blocks[i].as_deref().expect("the kit's drafts are sound");
        for t in &block.templates {
            let notes = [
                format!("{} of {}", t.count, plan.blocks[i].name),
                "seam 1/4 in".to_owned(),
            ];
            let drawing = picture::template(t, &notes);
            let width = drawing.true_width();
            templates.push((drawing, width));
        }
    }
    looker.sheet("templates", 5, &templates);
    looker.sheet(
        "templates-few",
        3,
        &[1, 9, 11].map(|i: usize| templates[i].clone()),
    );
    let large = &blocks[4]
        .as_deref()
        .expect("the kit's drafts are sound")
        .templates[1];
    let tiles = picture::tiles(
        &picture::template(large, &["4 of Whirligig Pier".to_owned()]),
        3.4,
        2.5,
        0.5,
    );
    let tiles: Vec<_> = tiles
        .into_iter()
        .map(|t| {
            let w = t.drawing.true_width();
            (t.drawing, w)
        })
        .collect();
    looker.sheet("tiles", 3, &tiles);
    let swatches: Vec<_> = (0..8)
        .map(|i| (picture::swatch(plan, quilt::plan::ClothId(i)), 1.0))
        .collect();
    looker.sheet("swatches", 4, &swatches);
    let check = picture::check_square();
    let width = check.true_width();
    looker.sheet(
        "small",
        1,
        &[
            (
                picture::value_strip(plan, &quilt::cloth::Values::of(&plan.cloths, 3)),
                5.0,
            ),
            (check, width),
        ],
    );
    let step = quilt::sewing::TopStep {
        text: "Join the 5 blocks of row 3.".into(),
        times: 6,
        seams: 24,
        seam: kit::inches(10),
        width: kit::inches(50),
        height: kit::inches(10),
        press: String::new(),
        blocks: (10..15).collect(),
        parts: vec![],
        cloths: vec![],
    };
    let borders = quilt::sewing::TopStep {
        blocks: vec![],
        parts: vec![0, 1],
        ..step.clone()
    };
    looker.sheet(
        "top",
        2,
        &[
            (picture::top_step(plan, &blocks, &top, &step), 2.5),
            (picture::top_step(plan, &blocks, &top, &borders), 2.5),
        ],
    );
}
