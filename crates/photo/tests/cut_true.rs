//! The top painted from photographs, held against the cutting plan.

use std::collections::BTreeSet;
use std::path::Path;

use photo::Photo;
use photo::cut_true::{From, Lay, Painted, Shown, Swatch, paint, png, shown};
use quilt::cutting::{ClothCutting, Use};
use quilt::plan::{ClothId, Direction, Kind, Plan};
use quilt::results::{Results, work_out};

const DEMOS: [&str; 4] = [
    "harbour-lights",
    "night-ferry",
    "orchard-at-dusk",
    "saltmarsh",
];

fn demo(name: &str) -> (Plan, Results) {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../examples/{name}.toml"));
    let (_, plan) = planfile::load(&file).expect("a demo");
    let results = work_out(&plan, None);
    (plan, results)
}

fn patches(plan: &Plan, results: &Results) -> Vec<Shown> {
    let top = results.top.as_ref().expect("a top");
    shown(
        plan,
        &results.blocks,
        top,
        results.cutting.as_ref().expect("cutting"),
    )
}

/// Every outline of the cloth's pieces, on the cloth from its first sheet on. On a turned
/// sheet x runs along the cloth, and y from the right selvage to the left.
fn pieces(plan: &Plan, cutting: &ClothCutting) -> Vec<(Use, Vec<[f64; 2]>)> {
    let mark = plan.ruler.mark().to_f64();
    let mut end = 0.0;
    let mut all = Vec::new();
    for sheet in &cutting.sheets {
        let [wide, long] = [sheet.width, sheet.length].map(|side| side as f64 * mark);
        let on_cloth = |[x, y]: &[f64; 2]| {
            if sheet.turned {
                [long - y, x + end]
            } else {
                [*x, y + end]
            }
        };
        for laid in &sheet.pieces {
            all.push((laid.usage, laid.outline.iter().map(on_cloth).collect()));
        }
        end += if sheet.turned { wide } else { long };
    }
    all
}

/// How far inside an outline without inward corners a point lies; negative outside.
fn depth(outline: &[[f64; 2]], p: [f64; 2]) -> f64 {
    let n = outline.len();
    let doubled: f64 = (0..n)
        .map(|i| outline[i][0] * outline[(i + 1) % n][1] - outline[i][1] * outline[(i + 1) % n][0])
        .sum();
    (0..n)
        .map(|i| {
            let (a, b) = (outline[i], outline[(i + 1) % n]);
            let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
            (dx * (p[1] - a[1]) - dy * (p[0] - a[0])) * doubled.signum() / dx.hypot(dy)
        })
        .fold(f64::INFINITY, f64::min)
}

fn middle(patch: &Shown) -> [f64; 2] {
    let n = patch.outline.len() as f64;
    let mean = [0, 1].map(|i| patch.outline.iter().map(|p| p[i]).sum::<f64>() / n);
    patch.to_cloth.point(mean)
}

/// Every patch lies in a piece that the plan cuts, with its seam allowance round it, and
/// no two patches lie in the same piece.
#[test]
fn every_patch_shows_a_piece_of_its_own() {
    for name in DEMOS {
        let (plan, results) = demo(name);
        let all = patches(&plan, &results);
        let cuttings = results.cutting.as_ref().expect("cutting");
        let (mut found, mut taken) = (0, BTreeSet::new());
        for patch in all.iter().filter(|patch| patch.from == From::Piece) {
            let cutting = cuttings
                .iter()
                .find(|c| c.cloth == patch.cloth)
                .expect("its cloth");
            let middle = middle(patch);
            let pieces = pieces(&plan, cutting);
            let home = pieces
                .iter()
                .position(|(_, outline)| depth(outline, middle) > 0.0);
            let home = home.unwrap_or_else(|| panic!("{name}: {middle:?} lies in no piece"));
            let border = matches!(pieces[home].0, Use::Part(_));
            if !border {
                let seam = plan.seam.to_f64();
                for &corner in &patch.outline {
                    let depth = depth(&pieces[home].1, patch.to_cloth.point(corner));
                    // Cut sizes are rounded to the ruler, up or to the nearest mark.
                    assert!((depth - seam).abs() < 0.13, "{name}: {depth} for {seam}");
                }
            }
            assert!(
                taken.insert((patch.cloth, home)),
                "{name}: a piece is shown twice"
            );
            found += 1;
        }
        println!("{name}: {found} of {}", all.len());
        let units = all.iter().filter(|patch| patch.from == From::Unit).count();
        assert!(
            found + units >= all.len() * 9 / 10,
            "{name}: {found} of {}",
            all.len()
        );
        assert!(found > 0);
    }
}

/// A print with a direction is never turned against its block.
#[test]
fn directed_prints_stay_upright() {
    let mut seen = 0;
    for (name, direction) in DEMOS
        .into_iter()
        .flat_map(|name| [(name, Direction::TwoWay), (name, Direction::OneWay)])
    {
        let (mut plan, _) = demo(name);
        for cloth in &mut plan.cloths {
            cloth.direction = direction;
        }
        let results = work_out(&plan, None);
        let top = results.top.as_ref().expect("a top");
        // On point the blocks themselves stand aslant.
        let straight = plan.setting.kind == Kind::Straight
            && top.blocks.iter().all(|block| block.turn % 4 == 0);
        if !straight {
            continue;
        }
        // Borders are cut along their length, whichever way they lie in the top.
        for patch in patches(&plan, &results).into_iter().skip(top.parts.len()) {
            if patch.from != From::Piece {
                continue;
            }
            let Lay { x, .. } = patch.to_cloth;
            let level = x[1].abs() < 1e-6 && (direction == Direction::TwoWay || x[0] > 0.0);
            // Where the print follows the grain arrow, it lies aslant.
            let aslant = x[1].abs() > 0.1 && x[0].abs() > 0.1;
            assert!(level || aslant, "{name}: turned to {x:?}");
            seen += usize::from(level);
        }
    }
    assert!(seen > 0, "some demo has a print with a direction");
}

/// A cloth whose colour tells the place: red across, green down.
fn map_of_places(per_inch: f64) -> Photo {
    let (width, height) = ((44.0 * per_inch) as usize, (44.0 * per_inch) as usize);
    let mut rgb = Vec::new();
    for y in 0..height {
        for x in 0..width {
            rgb.extend([level(x as f64 / per_inch), level(y as f64 / per_inch), 0]);
        }
    }
    Photo {
        width,
        height,
        rgb,
        notes: Vec::new(),
    }
}

fn level(inches: f64) -> u8 {
    (inches * 5.0) as u8
}

/// The painted picture shows in the middle of every patch the place on the cloth that the
/// plan cuts it from.
#[test]
fn pixels_come_from_where_the_plan_cuts() {
    let (plan, results) = demo("harbour-lights");
    let all = patches(&plan, &results);
    let map = map_of_places(20.0);
    let cloths: Vec<Painted> = plan
        .cloths
        .iter()
        .map(|_| Painted::Photo(Box::new(Swatch::new(&map, 20.0, None))))
        .collect();
    let top = results.top.as_ref().expect("a top");
    let size = [top.width.to_f64(), top.height.to_f64()];
    let (width, per_inch) = (1440, 1440.0 / size[0]);
    let (height, rgb) = paint(&all, &cloths, size, width);
    assert_eq!(rgb.len(), 3 * width * height);
    let mut looked = 0;
    for patch in &all {
        let n = patch.outline.len() as f64;
        let mean = [0, 1].map(|i| patch.outline.iter().map(|p| p[i]).sum::<f64>() / n);
        let place = patch.to_cloth.point(mean);
        if place.iter().any(|v| !(1.0..43.0).contains(v)) {
            continue;
        }
        let [x, y] = mean.map(|v| (v * per_inch) as usize);
        let pixel = &rgb[3 * (y * width + x)..][..3];
        for (part, inches) in pixel.iter().zip(place) {
            assert!(part.abs_diff(level(inches)) <= 2, "{pixel:?} at {place:?}");
        }
        looked += 1;
    }
    assert!(looked > all.len() / 2, "{looked} of {}", all.len());
    let file = png(width, height, &rgb).expect("a picture");
    let again = photo::read(&file).expect("a picture");
    assert_eq!((again.width, again.height, again.rgb), (width, height, rgb));
}

fn square(at: [f64; 2], size: f64) -> Shown {
    let [x, y] = at;
    Shown {
        cloth: ClothId(0),
        outline: vec![[x, y], [x + size, y], [x + size, y + size], [x, y + size]],
        to_cloth: Lay::STILL,
        from: From::Piece,
    }
}

/// Patches that meet inside a pixel leave no gap and no seam of paper, and a patch that
/// covers a pixel in part leaves the rest to the paper.
#[test]
fn pixels_are_shared_by_area() {
    let flat = [Painted::Flat([100, 50, 0])];
    let meeting = [square([0.0, 0.0], 0.53), square([0.53, 0.0], 0.53)];
    let (height, rgb) = paint(&meeting, &flat, [1.0, 0.5], 10);
    assert_eq!(height, 5);
    assert!(
        rgb.chunks_exact(3).all(|pixel| pixel == [100, 50, 0]),
        "{rgb:?}"
    );
    let (_, rgb) = paint(&[square([0.0, 0.0], 0.25)], &flat, [1.0, 1.0], 10);
    // The third pixel is half covered: halfway between the cloth and white paper.
    assert_eq!(&rgb[6..9], [178, 153, 128]);
    assert_eq!(&rgb[9..12], [255; 3]);
}

/// Beyond its photograph a print goes on by whole repeats, or by its mirror image.
#[test]
fn a_print_goes_on_beyond_its_photograph() {
    // Three and a half repeats of a ramp, one inch each.
    let (per_inch, width) = (40, 140);
    let row: Vec<u8> = (0..width)
        .flat_map(|x| [(x % per_inch * 6) as u8; 3])
        .collect();
    let photo = Photo {
        width,
        height: 80,
        rgb: row.repeat(80),
        notes: Vec::new(),
    };
    let red_at = |repeat, x: f64| {
        let cloths = [Painted::Photo(Box::new(Swatch::new(&photo, 40.0, repeat)))];
        let mut patch = square([0.0, 0.0], 1.0);
        patch.to_cloth.at = [x, 0.5];
        paint(&[patch], &cloths, [1.0, 1.0], 40).1[3 * 20]
    };
    let repeat = Some([1.0, 1.0]);
    for x in [3.0, 7.0, 12.0, -2.0] {
        assert!(red_at(repeat, x).abs_diff(red_at(repeat, 0.0)) <= 2, "{x}");
    }
    // Mirrored about 3 1/2 inches: 3 inches further is 4 back.
    assert!(red_at(None, 3.1).abs_diff(red_at(None, 2.86)) <= 12);
}

/// Shapes outside the picture, thin as a thread or without area are no trouble.
#[test]
fn odd_shapes_are_painted_without_fuss() {
    let outlines: [&[[f64; 2]]; 5] = [
        &[],
        &[[0.2, 0.2]],
        &[[0.0, 0.0], [1.0, 1.0], [0.0, 0.0]],
        &[[-5.0, -5.0], [9.0, -5.0], [9.0, 9.0], [-5.0, 9.0]],
        &[[3.0, 3.0], [4.0, 3.0], [4.0, 4.0]],
    ];
    for outline in outlines {
        let patch = Shown {
            outline: outline.to_vec(),
            ..square([0.0, 0.0], 1.0)
        };
        let (height, rgb) = paint(&[patch], &[Painted::Flat([9; 3])], [1.0, 2.0], 7);
        assert_eq!((height, rgb.len()), (14, 3 * 7 * 14));
    }
}
