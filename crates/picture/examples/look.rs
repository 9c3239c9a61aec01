//! Draws everything into PNG files, to look at: `look FOLDER FONT.ttf [BOLD.ttf]`.
//!
//! Each is drawn at the size it has in print, 200 dots an inch.

#[path = "../tests/kit/mod.rs"]
#[allow(dead_code, reason = "the tests use the rest")]
mod kit;

use std::path::PathBuf;

use picture::{Drawing, Palette, svg};
use quilt::plan::BlockId;
use resvg::{tiny_skia, usvg};

struct Looker {
    folder: PathBuf,
    options: usvg::Options<'static>,
    palette: Palette,
}

impl Looker {
    fn show(&self, name: &str, drawing: &Drawing, width_in: f64) {
        let text = svg(drawing, &self.palette, width_in);
        let tree = usvg::Tree::from_str(&text, &self.options).expect("our SVG reads back");
        let dots = 200.0 / 72.0;
        let size = tree.size();
        let zoom = dots * (width_in * 72.0) as f32 / size.width();
        let (w, h) = ((size.width() * zoom).ceil(), (size.height() * zoom).ceil());
        let mut pixels = tiny_skia::Pixmap::new(w as u32, h as u32).expect("a size");
        pixels.fill(tiny_skia::Color::from_rgba8(0xfb, 0xfa, 0xf7, 0xff));
        resvg::render(&tree, tiny_skia::Transform::from_scale(zoom, zoom), &mut pixels.as_mut());
        pixels.save_png(self.folder.join(format!("{name}.png"))).expect("the folder can be written");
        std::fs::write(self.folder.join(format!("{name}.svg")), &text).expect("the folder can be written");
        println!("{name}: {} bytes, {w} × {h} dots", text.len());
    }
}

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [folder, fonts @ ..] = &args[..] else {
        eprintln!("look FOLDER FONT.ttf [BOLD.ttf]");
        return;
    };
    let mut options = usvg::Options::default();
    for font in fonts {
        options.fontdb_mut().load_font_data(std::fs::read(font).expect("a font file"));
    }
    let family = options.fontdb.faces().next().map_or(String::new(), |f| f.families[0].0.clone());
    let plan = kit::plan();
    let looker = Looker { folder: folder.into(), options, palette: Palette::of(&plan, &family) };
    std::fs::create_dir_all(folder).expect("the folder can be made");
    let blocks = kit::blocks(&plan);
    let top = kit::top(&plan, &blocks);

    looker.show("quilt", &picture::quilt(&plan, &blocks, &top), 5.0);
    looker.show("quilt-lines", &picture::quilt_lines(&plan, &blocks, &top), 6.5);
    looker.show("chart", &picture::setting_chart(&plan, &blocks, &top), 5.0);
    for (i, block) in blocks.iter().enumerate() {
        let block = block.as_ref().expect("the kit's drafts are sound");
        let id = BlockId(i);
        looker.show(&format!("block-{i}"), &picture::block(&plan, id, block, None, 0), 2.5);
        looker.show(&format!("letters-{i}"), &picture::block_letters(&plan, id, block), 2.8);
        looker.show(&format!("numbers-{i}"), &picture::block_numbered(&plan, id, block, None, 0), 2.8);
        looker.show(&format!("apart-{i}"), &picture::block_exploded(&plan, id, block, None), 2.8);
        looker.show(&format!("stuck-{i}"), &picture::obstruction(&plan, id, block), 2.5);
    }
}
