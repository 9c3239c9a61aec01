//! Made prints photographed and read back.
//!
//! Print any figure that is wrong: every test first gathers all misses, then tells them.

mod support;

use photo::{Asked, Card, Crop, MeasureFault, Measured, Photo, Rect, Scale, ScaleFault, measure};
use quilt::colour;
use quilt::plan::{Direction, Print as Kind};
use support::camera::{Camera, Thing};
use support::made::{Made, SORTS, made};
use support::{Dice, Drawn, Print};

/// A picture that shows a dozen figures or so each way.
fn usual(made: &Made, seed: u64) -> Camera {
    let scale = made.scale.unwrap_or(1.0);
    let mut camera = Camera::plain(520, 500, 520.0 / (11.0 * scale));
    camera.looks = 1;
    camera.noise = 2.0;
    camera.blur = 0.7;
    camera.seed = seed;
    camera
}

fn read(photo: &Photo, camera: &Camera) -> Measured {
    let asked = Asked {
        scale: Some(Scale::Width(camera.width as f64 / camera.per_inch)),
        ..Asked::default()
    };
    measure(photo, &asked).expect("a picture that can be measured")
}

fn told(misses: &[String], of: usize) {
    println!("{} of {of} missed\n{}", misses.len(), misses.join("\n"));
}

/// How far the steps found are from those made, as a share: every step made must be a
/// whole combination of the found ones and the cells must have the same area.
fn off(found: &[[f64; 2]], made: &[[f64; 2]]) -> f64 {
    let length = |v: &[f64; 2]| v[0].hypot(v[1]);
    match (found, made) {
        ([one], [wanted]) => (length(one) / length(wanted) - 1.0).abs(),
        ([a, b], [_, _]) => {
            let below = a[0] * b[1] - a[1] * b[0];
            let area = |p: &[[f64; 2]]| (p[0][0] * p[1][1] - p[0][1] * p[1][0]).abs();
            let cells = (area(found) / area(made) - 1.0).abs();
            let miss = |w: &[f64; 2]| {
                let i = ((w[0] * b[1] - w[1] * b[0]) / below).round();
                let j = ((a[0] * w[1] - a[1] * w[0]) / below).round();
                let gap = [i * a[0] + j * b[0] - w[0], i * a[1] + j * b[1] - w[1]];
                length(&gap) / length(w)
            };
            made.iter().map(miss).fold(cells / 2.0, f64::max)
        }
        _ => f64::INFINITY,
    }
}

#[test]
fn scale_is_read_within_a_tenth_and_repeat_within_a_fiftieth() {
    let (mut misses, mut scales, mut repeats) = (Vec::new(), 0, 0);
    for seed in 0..3 {
        for sort in 1..SORTS {
            let made = made(sort, seed);
            let camera = usual(&made, seed);
            let found = read(&camera.take(&made.print), &camera);
            let wanted = made.scale.expect("not plain");
            scales += 1;
            let scale = found.figure.and_then(|f| f.inches).unwrap_or(0.0);
            if (scale / wanted - 1.0).abs() > 0.1 {
                misses.push(format!(
                    "{} {seed}: scale {scale:.3} for {wanted:.3}",
                    made.name
                ));
            }
            let steps: Vec<[f64; 2]> = found.repeat.iter().filter_map(|s| s.inches).collect();
            repeats += 1;
            let wrong = if made.steps.is_empty() {
                !steps.is_empty()
            } else {
                off(&steps, &made.steps) > 0.02
            };
            if wrong {
                misses.push(format!(
                    "{} {seed}: {steps:.3?} for {:.3?}",
                    made.name, made.steps
                ));
            }
        }
    }
    told(&misses, scales + repeats);
    assert!(misses.is_empty(), "{}", misses.len());
}

#[test]
fn direction_is_right_ninety_five_times_in_a_hundred() {
    let (mut misses, mut all) = (Vec::new(), 0);
    for seed in 10..17 {
        for sort in 0..SORTS {
            let made = made(sort, seed);
            let camera = usual(&made, seed);
            let found = read(&camera.take(&made.print), &camera);
            all += 1;
            if found.direction != Some(made.direction) {
                misses.push(format!(
                    "{} {seed}: {:?} ({:.2}) for {:?}",
                    made.name, found.direction, found.direction_sure, made.direction
                ));
            }
        }
    }
    told(&misses, all);
    assert!(misses.len() * 20 <= all, "{} of {all} wrong", misses.len());
}

#[test]
fn the_kind_of_print_is_mostly_guessed() {
    let (mut misses, mut all) = (Vec::new(), 0);
    for seed in 30..32 {
        for sort in 0..SORTS {
            let made = made(sort, seed);
            let camera = usual(&made, seed);
            let found = read(&camera.take(&made.print), &camera);
            all += 1;
            if found.print != made.kind {
                let sure = found.print_sure;
                misses.push(format!(
                    "{} {seed}: {:?} ({sure:.2})",
                    made.name, found.print
                ));
            }
        }
    }
    told(&misses, all);
    assert!(misses.len() * 10 <= all, "{} of {all} wrong", misses.len());
}

/// The same prints turned a little on the table, in poor light, blurred and noisy.
#[test]
fn poor_pictures_are_still_read() {
    let (mut misses, mut all) = (Vec::new(), 0);
    for seed in 50..52 {
        for sort in 1..SORTS {
            let made = made(sort, seed);
            let mut camera = usual(&made, seed);
            camera.turned = 2.0;
            camera.noise = 8.0;
            camera.blur = 1.6;
            camera.fall = 0.3;
            let found = read(&camera.take(&made.print), &camera);
            all += 3;
            let wanted = made.scale.expect("not plain");
            let scale = found.figure.and_then(|f| f.inches).unwrap_or(0.0);
            if (scale / wanted - 1.0).abs() > 0.1 {
                misses.push(format!(
                    "{} {seed}: scale {scale:.3} for {wanted:.3}",
                    made.name
                ));
            }
            let (c, s) = (
                camera.turned.to_radians().cos(),
                camera.turned.to_radians().sin(),
            );
            let turned: Vec<[f64; 2]> = made
                .steps
                .iter()
                .map(|[x, y]| [x * c - y * s, x * s + y * c])
                .collect();
            let steps: Vec<[f64; 2]> = found.repeat.iter().filter_map(|s| s.inches).collect();
            if !made.steps.is_empty() && off(&steps, &turned) > 0.02 {
                misses.push(format!(
                    "{} {seed}: {steps:.3?} for {turned:.3?}",
                    made.name
                ));
            }
            if found.direction != Some(made.direction) {
                let sure = found.direction_sure;
                misses.push(format!(
                    "{} {seed}: {:?} ({sure:.2})",
                    made.name, found.direction
                ));
            }
        }
    }
    told(&misses, all);
    assert!(misses.len() * 20 <= all, "{} of {all} wrong", misses.len());
}

/// Four corners of a cloth seen aslant bring it upright.
#[test]
fn cloth_seen_aslant_is_read_between_its_corners() {
    for (sort, seed) in [(1, 3), (7, 5), (3, 2)] {
        let made = made(sort, seed);
        let mut camera = usual(&made, seed);
        let corners = [[60.0, 70.0], [460.0, 30.0], [500.0, 470.0], [25.0, 420.0]];
        camera.corners = Some(corners);
        camera.looks = 3;
        let photo = camera.take(&made.print);
        let size = [camera.width, camera.height].map(|side| side as f64 / camera.per_inch);
        let asked = Asked {
            crop: Crop::Corners(corners),
            scale: Some(Scale::Size(size[0], size[1])),
            card: None,
        };
        let found = measure(&photo, &asked).expect("a picture");
        let steps: Vec<[f64; 2]> = found.repeat.iter().filter_map(|s| s.inches).collect();
        assert!(
            off(&steps, &made.steps) < 0.02,
            "{steps:?} for {:?}",
            made.steps
        );
        assert_eq!(found.direction, Some(made.direction), "{}", made.name);
        let ruler = Scale::Ruler {
            from: [0.0; 2],
            to: [100.0; 2],
            inches: 1.0,
        };
        let aslant = Asked {
            scale: Some(ruler),
            ..asked
        };
        assert_eq!(
            measure(&photo, &aslant),
            Err(MeasureFault::Scale(ScaleFault::Aslant))
        );
    }
}

/// A grey or white card makes the value true whatever the light: within 1.5 L*.
#[test]
fn a_card_makes_the_value_true() {
    let casts = [
        [1.0, 0.8, 0.5],
        [0.5, 0.7, 0.9],
        [0.35, 0.35, 0.3],
        [0.9, 0.6, 0.75],
    ];
    for (i, cast) in casts.into_iter().enumerate() {
        for sort in [[0, 12], [1, 14], [3, 9], [5, 13]][i] {
            let made = made(sort, i as u64);
            let mut camera = usual(&made, 7);
            camera.cast = cast;
            camera.noise = 3.0;
            for (lightness, at) in [(Card::GREY, 20.0), (Card::WHITE, 120.0)] {
                let light = colour::light_of_lab([lightness, 0.0, 0.0])[1];
                let card = [at, 20.0, at + 80.0, 100.0];
                camera.things.push((Thing::Card(card), [light; 3]));
            }
            let photo = camera.take(&made.print);
            let wanted = {
                let crop = Camera {
                    things: Vec::new(),
                    cast: [1.0; 3],
                    noise: 0.0,
                    ..camera.clone()
                };
                let clean = crop.take(&made.print);
                mean_lightness(&clean, 120)
            };
            for (lightness, at) in [(Card::GREY, 30), (Card::WHITE, 130)] {
                let asked = Asked {
                    crop: Crop::Rect(Rect {
                        x: 0,
                        y: 120,
                        width: 520,
                        height: 380,
                    }),
                    scale: None,
                    card: Some(Card {
                        area: Rect {
                            x: at,
                            y: 30,
                            width: 60,
                            height: 60,
                        },
                        lightness,
                    }),
                };
                let found = measure(&photo, &asked).expect("a picture");
                let gap = found.value.mean - wanted;
                assert!(
                    gap.abs() < 1.5,
                    "{} under {cast:?}: off by {gap:.2}",
                    made.name
                );
                assert!(found.value.absolute);
            }
            let bare = measure(&photo, &Asked::default()).expect("a picture");
            assert!(!bare.value.absolute);
            assert!(bare.notes.iter().any(|note| note.contains("relative")));
        }
    }
}

fn mean_lightness(photo: &Photo, from: usize) -> f64 {
    let mut sum = [0.0; 3];
    for y in from..photo.height {
        for x in 0..photo.width {
            for (sum, part) in sum.iter_mut().zip(photo.pixel(x, y)) {
                *sum += colour::light(part);
            }
        }
    }
    let all = (photo.width * (photo.height - from)) as f64;
    colour::lab_of_light(sum.map(|s| s / all))[0]
}

/// The spread, the colours and their shares of a cloth of known bands.
#[test]
fn colours_and_their_shares_are_read() {
    let colours = [[0.6, 0.55, 0.5], [0.05, 0.1, 0.3], [0.5, 0.05, 0.04]];
    let bands = vec![(0.0, 0.3, 1), (0.6, 0.75, 2)];
    let print = Print::new(
        colours.to_vec(),
        Drawn::Woven {
            along: (1.0, bands),
            across: None,
        },
    );
    let camera = Camera::plain(600, 600, 60.0);
    let found = read(&camera.take(&print), &camera);
    let shares: Vec<f64> = found.shades.iter().map(|s| s.share).collect();
    for (share, wanted) in shares.iter().zip([0.55, 0.3, 0.15]) {
        assert!((share - wanted).abs() < 0.02, "{shares:?}");
    }
    for (shade, light) in found.shades.iter().zip(colours) {
        let gap = colour::difference(shade.lab, colour::lab_of_light(light));
        assert!(gap < 2.0, "{:?} is {gap:.1} off", shade.colour);
    }
    assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-9);
    let ends = [colours[1], colours[0]].map(|light| colour::lab_of_light(light)[0]);
    assert!((found.value.low - ends[0]).abs() < 1.0, "{:?}", found.value);
    assert!(
        (found.value.high - ends[1]).abs() < 1.0,
        "{:?}",
        found.value
    );
}

/// A small print is busier than the same print large, and a plain cloth is calm.
#[test]
fn small_strong_prints_are_busy() {
    let busy = |sort: usize, scale: f64| {
        let made = made(sort, 4);
        // Shown as if it were `scale` inches from figure to figure.
        let per_inch = 60.0 * scale / made.scale.unwrap_or(1.0);
        let photo = Camera::plain(600, 600, per_inch).take(&made.print);
        let asked = Asked {
            scale: Some(Scale::Width(600.0 / 60.0)),
            ..Asked::default()
        };
        let found = measure(&photo, &asked).expect("a picture");
        found.busy.expect("a scale")
    };
    let (small, large, plain) = (busy(1, 0.3), busy(1, 3.0), busy(0, 1.0));
    assert!(
        small > 2.0 * large && large > 4.0 * plain,
        "{small} {large} {plain}"
    );
}

#[test]
fn a_ruler_or_a_coin_tells_the_scale() {
    let made = made(12, 2);
    let mut dice = Dice::new(5);
    for _ in 0..12 {
        let per_inch = dice.between(40.0, 90.0);
        let mut camera = Camera::plain(700, 600, per_inch);
        camera.noise = 3.0;
        camera.blur = 1.0;
        let diameter = 0.955; // inches; as large as a common coin
        let (x, y) = (dice.between(150.0, 500.0), dice.between(150.0, 400.0));
        let radius = diameter / 2.0 * per_inch;
        let silver = [0.55, 0.54, 0.5];
        camera.things.push((Thing::Coin([x, y, radius]), silver));
        let photo = camera.take(&made.print);
        let loose = dice.between(1.1, 1.5) * radius;
        let shift = [
            dice.between(-0.1, 0.1) * radius,
            dice.between(-0.1, 0.1) * radius,
        ];
        let within = Rect {
            x: (x + shift[0] - loose) as usize,
            y: (y + shift[1] - loose) as usize,
            width: (2.0 * loose) as usize,
            height: (2.0 * loose) as usize,
        };
        let coin = Scale::Coin {
            within,
            inches: diameter,
        };
        let ruler = Scale::Ruler {
            from: [20.0, 580.0],
            to: [20.0 + 6.0 * per_inch, 580.0],
            inches: 6.0,
        };
        for scale in [coin, ruler] {
            let asked = Asked {
                scale: Some(scale),
                ..Asked::default()
            };
            let found = measure(&photo, &asked)
                .expect("a scale")
                .per_inch
                .expect("a scale");
            let off = found / per_inch - 1.0;
            assert!(off.abs() < 0.02, "{scale:?}: {found} for {per_inch}");
        }
    }
}

#[test]
fn what_cannot_be_true_is_refused_in_words() {
    let made = made(1, 1);
    let photo = usual(&made, 1).take(&made.print);
    let rect = |x, y, width, height| Rect {
        x,
        y,
        width,
        height,
    };
    let crop = |crop| Asked {
        crop,
        ..Asked::default()
    };
    let scale = |scale| Asked {
        scale: Some(scale),
        ..Asked::default()
    };
    let card = |area, lightness| Asked {
        card: Some(Card { area, lightness }),
        ..Asked::default()
    };
    let outside = MeasureFault::OutsideCloth(520, 500);
    let back = [[10.0, 10.0], [10.0, 500.0], [500.0, 500.0], [500.0, 10.0]];
    let far = [[10.0, 10.0], [900.0, 10.0], [500.0, 500.0], [10.0, 500.0]];
    let table = [
        (crop(Crop::Rect(rect(600, 0, 41, 40))), outside.clone()),
        (
            crop(Crop::Rect(rect(0, usize::MAX, 41, 40))),
            outside.clone(),
        ),
        (
            crop(Crop::Rect(rect(0, 0, 31, 500))),
            MeasureFault::TooSmall,
        ),
        (crop(Crop::Corners(back)), MeasureFault::Corners),
        (crop(Crop::Corners([[f64::NAN; 2]; 4])), outside.clone()),
        (crop(Crop::Corners(far)), outside),
        (
            scale(Scale::Width(0.0)),
            MeasureFault::Scale(ScaleFault::NoLength),
        ),
        (
            scale(Scale::Width(f64::NAN)),
            MeasureFault::Scale(ScaleFault::NoLength),
        ),
        (
            scale(Scale::Width(1e9)),
            MeasureFault::Scale(ScaleFault::Unlikely),
        ),
        (
            scale(Scale::Ruler {
                from: [1.0; 2],
                to: [2.0; 2],
                inches: 1.0,
            }),
            MeasureFault::Scale(ScaleFault::MarksTogether),
        ),
        (
            scale(Scale::Coin {
                within: rect(500, 450, 100, 100),
                inches: 1.0,
            }),
            MeasureFault::Scale(ScaleFault::CoinOutside),
        ),
        (card(rect(0, 490, 20, 20), 50.0), MeasureFault::CardOutside),
        (card(rect(0, 0, 20, 20), 0.0), MeasureFault::CardLightness),
        (card(rect(0, 0, 300, 300), 50.0), MeasureFault::CardUneven),
    ];
    for (asked, wanted) in table {
        let fault = measure(&photo, &asked).expect_err("cannot be true");
        assert_eq!(fault, wanted);
        assert!(fault.to_string().len() > 20);
    }
    let white = Photo {
        rgb: vec![255; photo.rgb.len()],
        ..photo
    };
    let burnt = measure(&white, &card(rect(0, 0, 20, 20), 50.0));
    assert_eq!(burnt, Err(MeasureFault::CardBurnt));
}

/// Pictures of nothing: one colour, noise, one line, odd shapes.
#[test]
fn odd_pictures_are_measured_without_fuss() {
    let mut dice = Dice::new(9);
    for (width, height) in [(32, 32), (33, 700), (1500, 40), (100, 101)] {
        for kind in 0..4 {
            let rgb = (0..3 * width * height)
                .map(|i| match kind {
                    0 => 255,
                    1 => 0,
                    2 => (dice.next() % 256) as u8,
                    _ => u8::from((i / 3) % width == width / 2) * 200,
                })
                .collect();
            let photo = Photo {
                width,
                height,
                rgb,
                notes: Vec::new(),
            };
            let found = measure(&photo, &Asked::default()).expect("a picture");
            if kind < 2 {
                assert_eq!(found.print, Kind::Plain);
                assert_eq!(found.direction, Some(Direction::Free));
                assert!(found.repeat.is_empty() && found.figure.is_none());
            }
            assert!(found.value.mean.is_finite());
        }
    }
}

/// The rows of a print as the cutting table needs them.
#[test]
fn rows_are_told_along_and_across() {
    for (sort, half_drop) in [(7, false), (8, true)] {
        let made = made(sort, 6);
        let camera = usual(&made, 6);
        let found = read(&camera.take(&made.print), &camera);
        let rows = found.rows().expect("it lies straight");
        let scale = made.scale.expect("figures");
        let (across, along, offset) = if half_drop {
            let side = scale * std::f64::consts::SQRT_2;
            (side, side / 2.0, side / 2.0)
        } else {
            (scale, scale, 0.0)
        };
        for (found, wanted) in [(rows.across, across), (rows.along, along)] {
            assert!((found / wanted - 1.0).abs() < 0.02, "{rows:?}");
        }
        assert!((rows.offset - offset).abs() < 0.02 * across, "{rows:?}");
        let [wide, high] = found.upright_repeat().expect("it lies straight");
        let down = if half_drop { across } else { along };
        assert!((wide / across - 1.0).abs() < 0.02 && (high / down - 1.0).abs() < 0.02);
    }
}

/// The cloth alone in true light measures like the cloth in its picture with the card.
#[test]
fn a_swatch_needs_no_card_any_more() {
    let made = made(12, 8);
    let mut camera = usual(&made, 3);
    camera.cast = [0.9, 0.7, 0.5];
    let light = colour::light_of_lab([Card::GREY, 0.0, 0.0])[1];
    camera
        .things
        .push((Thing::Card([0.0, 0.0, 90.0, 90.0]), [light; 3]));
    let photo = camera.take(&made.print);
    let asked = Asked {
        crop: Crop::Rect(Rect {
            x: 100,
            y: 10,
            width: 400,
            height: 470,
        }),
        scale: None,
        card: Some(Card {
            area: Rect {
                x: 10,
                y: 10,
                width: 60,
                height: 60,
            },
            lightness: Card::GREY,
        }),
    };
    let there = measure(&photo, &asked).expect("a picture");
    let cloth = photo::swatch(&photo, &asked).expect("a picture");
    assert_eq!((cloth.width, cloth.height), (400, 470));
    let here = measure(&cloth, &Asked::default()).expect("a picture");
    assert!((there.value.mean - here.value.mean).abs() < 0.3);
    assert_eq!(there.direction, here.direction);
}

/// Real photographs (fixtures/photographs/README.md): what is read, and what fails.
///
/// - A brick wall seen aslant, courses upright: rightly two-way; its courses, 15 to 18
///   pixels apart by hand, are read as further apart, and as they draw together no repeat
///   is claimed.
/// - Gravel: rightly free, without a repeat.
/// - Grass: nothing in it recurs, and nothing is claimed.
#[test]
fn real_photographs_claim_nothing_that_is_not_there() {
    let folder =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/photographs");
    let read = |name: &str| {
        let bytes = std::fs::read(folder.join(name)).expect("a fixture");
        let photo = photo::read(&bytes).expect("a good picture");
        let found = measure(&photo, &Asked::default()).expect("a picture");
        let figure = found.figure.map(|f| f.pixels);
        println!("{name}: {:?} {figure:?} {:?}", found.print, found.direction);
        assert!(found.repeat.is_empty(), "{name}: {:?}", found.repeat);
        found
    };
    let brick = read("brick.png");
    assert_eq!(brick.direction, Some(Direction::TwoWay));
    let apart = brick.figure.expect("courses").pixels;
    assert!((14.0..22.0).contains(&apart), "{apart}");
    assert_eq!(read("gravel.png").direction, Some(Direction::Free));
    let grass = read("grass.png");
    assert!(
        grass.direction.is_none() || grass.direction_sure < 0.9,
        "{:?}",
        grass.direction
    );
}
