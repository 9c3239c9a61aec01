//! How fast a photograph is read and measured, and a top painted from photographs.
//!
//! Made prints in place of photographs: what is in them decides nothing about the time.

#[path = "../tests/support/mod.rs"]
mod support;

use std::sync::LazyLock;

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder};
use photo::cut_true::{From, Lay, Painted, Shown, Swatch, paint};
use photo::{Asked, Photo, Scale, measure, read};
use quilt::plan::ClothId;
use support::camera::Camera;
use support::made::made;

fn main() {
    divan::main();
}

/// Twelve megapixels of strewn tulips.
static LARGE: LazyLock<Photo> = LazyLock::new(|| {
    let mut camera = Camera::plain(4000, 3000, 300.0);
    camera.looks = 1;
    camera.noise = 2.0;
    camera.take(&made(14, 1).print)
});

static JPEG: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let mut out = Vec::new();
    let written = JpegEncoder::new_with_quality(&mut out, 90).write_image(
        &LARGE.rgb,
        4000,
        3000,
        ExtendedColorType::Rgb8,
    );
    assert!(written.is_ok());
    out
});

#[divan::bench(sample_count = 10)]
fn read_twelve_megapixels() -> usize {
    read(divan::black_box(&JPEG)).map_or(0, |photo| photo.width)
}

#[divan::bench(sample_count = 10)]
fn measure_twelve_megapixels() -> bool {
    let asked = Asked {
        scale: Some(Scale::Width(13.3)),
        ..Asked::default()
    };
    measure(divan::black_box(&LARGE), &asked).is_ok()
}

/// 10,000 squares of eight photographs, turned all ways, 2,000 pixels wide.
#[divan::bench(sample_count = 10)]
fn paint_ten_thousand_patches(bencher: divan::Bencher) {
    let cloths: Vec<Painted> = (0..8)
        .map(|seed| {
            let mut camera = Camera::plain(1500, 1200, 100.0);
            camera.looks = 1;
            let photo = camera.take(&made(7 + seed as usize, seed).print);
            Painted::Photo(Box::new(Swatch::new(&photo, 100.0, None)))
        })
        .collect();
    let patches: Vec<Shown> = (0..10_000)
        .map(|i| {
            let (x, y) = (f64::from(i % 100), f64::from(i / 100));
            let (s, c) = (f64::from(i) * 0.37).sin_cos();
            Shown {
                cloth: ClothId(i as usize % 8),
                outline: vec![[x, y], [x + 1.0, y], [x + 1.0, y + 1.0], [x, y + 1.0]],
                to_cloth: Lay {
                    at: [f64::from(i % 40), f64::from(i % 71)],
                    x: [c, s],
                    y: [-s, c],
                },
                from: From::Piece,
            }
        })
        .collect();
    bencher.bench_local(|| paint(&patches, &cloths, [100.0; 2], 2000).0);
}
