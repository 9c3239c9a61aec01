//! Published figures of backing, batting, binding, sleeve and thread.
//!
//! AGREE rows must come out as printed; OVERSIZE rows must not be smaller than ours; SLIP
//! rows must *not* come out, and the test says why. Each names its source.
#![allow(
    clippy::unwrap_used,
    reason = "a test may panic, in its helpers as well"
)]

#[path = "support/plans.rs"]
mod plans;
mod support;

use geometry::Surd;
use quilt::finishing::{backing, batting, binding, sleeve, thread};
use quilt::measure::Measure;
use support::handbook::{Row, rows};

macro_rules! table {
    ($name:literal) => {
        rows(include_str!(concat!(
            "../../../fixtures/handbook/",
            $name,
            ".csv"
        )))
    };
}

fn count(row: &Row, column: &str) -> Option<u32> {
    let text = row.text(column);
    (!text.is_empty()).then(|| text.parse().unwrap())
}

#[test]
fn backing_lengths() {
    for row in table!("backing") {
        let size = |column| row.size(column).unwrap();
        let yards = row.text("yards");
        if row.status() == "MODEL" {
            // The rule by area buys 5 1/2 yd, where lengths ask for two of 94 in and more.
            let by_area = (size("span") * size("each")).over(36 * 36) + Surd::ratio(1, 2);
            assert_eq!(by_area, size("yards"), "{}", row.why());
            continue;
        }
        let [way, _] = backing::ways(
            &size("span"),
            &size("each"),
            &size("cloth_width"),
            &size("seam"),
        );
        assert_eq!(Some(way.lengths), count(&row, "lengths"), "{}", row.why());
        assert_eq!(way.total, size("total"), "{}", row.why());
        if let Some(step) = row.size("step") {
            let mut buying = plans::plain(Surd::ONE, 1, 1).buying;
            buying.step = step.times(36);
            let bought = backing::to_buy(&way.total, &buying);
            assert_eq!(bought, size("yards").times(36), "{}", row.why());
        } else {
            let printed: f64 = yards.parse().unwrap();
            let ours = way.total.to_f64() / 36.0;
            assert!((ours - printed).abs() < 0.005, "{}: {ours}", row.why());
        }
    }
}

#[test]
fn batting_packages() {
    for row in table!("batting") {
        let (width, length) = (row.size("width").unwrap(), row.size("length").unwrap());
        let (name, ..) = batting::package(&width, &length)
            .or_else(|| batting::package(&(&width - &Surd::int(4)), &length))
            .unwrap();
        match row.status() {
            // Exactly its own size fits in it, and a hair more asks for the next.
            "AGREE" => {
                assert_eq!(name, row.text("name"), "{}", row.why());
                let hair = Surd::ratio(1, 64);
                let more = batting::package(&(&width + &hair), &(&length + &hair));
                assert_ne!(more.map(|p| p.0), Some(name), "{}", row.why());
            }
            // The larger of two published: we never promise that one.
            "MODEL" => {
                let ours = batting::PACKAGES.iter().find(|p| p.0 == row.text("name"));
                let (_, w, l) = ours.unwrap();
                assert!(
                    Surd::int(*w) <= width && Surd::int(*l) <= length,
                    "{}",
                    row.why()
                );
            }
            other => panic!("{other}"),
        }
    }
}

#[test]
fn binding_strips() {
    for row in table!("binding") {
        let size = |column| row.size(column);
        if let (Some(width), Some(height)) = (size("width"), size("height")) {
            let length = binding::length(&width, &height, &size("extra").unwrap());
            assert_eq!(Some(&length), size("length").as_ref(), "{}", row.why());
            if let (Some(cloth), Some(join)) = (size("cloth_width"), size("join")) {
                let strips = binding::strips_needed(&length, &cloth, &join);
                assert_eq!(Some(strips), count(&row, "strips"), "{}", row.why());
            }
        }
        let (Some(strips), Some(strip), Some(cloth)) =
            (count(&row, "strips"), size("strip"), size("cloth"))
        else {
            continue;
        };
        let ours = strip.times(i64::from(strips));
        if row.status() == "SLIP" {
            assert!(ours > cloth, "{}", row.why());
            println!("not reproduced: {}: ours {ours}", row.why());
        } else {
            assert_eq!(ours, cloth, "{}", row.why());
        }
        if let Some(bought) = size("buy") {
            let mut buying = plans::plain(Surd::ONE, 1, 1).buying;
            buying.step = Surd::int(18);
            assert_eq!(backing::to_buy(&ours, &buying), bought, "{}", row.why());
        }
    }
}

#[test]
fn bias_binding() {
    for row in table!("bias") {
        let size = |column| row.size(column).unwrap();
        let (length, side, strip) = (size("length"), size("side"), size("strip"));
        if row.text("given") == "side" {
            let ours = binding::bias_yield(&side, &strip);
            assert_eq!(ours, Some(length), "{}", row.why());
            continue;
        }
        let inch = Measure::Inch;
        let ours = binding::bias_square(&length, &strip, &Surd::ZERO, inch);
        assert_eq!(ours, side, "{}", row.why());
        // The seam that joins the halves does not change these.
        let safe = binding::bias_square(&length, &strip, &Surd::ratio(1, 4), inch);
        assert_eq!(safe, side, "{}", row.why());
    }
}

#[test]
fn hanging_sleeves() {
    let seam = Surd::ratio(1, 4);
    let quilt = Surd::int(50);
    for row in table!("sleeve") {
        if let (Some(depth), Some(published)) = (row.size("depth"), row.size("cut_depth")) {
            let ours = sleeve::cut_depth(&depth, &seam);
            match row.status() {
                "OVERSIZE" => assert!(published >= ours, "{}", row.why()),
                _ => assert_eq!(ours, published, "{}", row.why()),
            }
        }
        let cut = sleeve::cut_length(&quilt, Measure::Inch);
        if let Some(longer) = row.size("longer") {
            assert_eq!(cut, &quilt + &longer, "{}", row.why());
        }
        if let Some(shorter) = row.size("shorter") {
            let finished = &cut - &sleeve::hem(Measure::Inch).times(2);
            assert_eq!(finished, &quilt - &shorter, "{}", row.why());
        }
    }
}

#[test]
fn thread_for_a_seam() {
    for row in table!("thread") {
        let published = row.decimal("per_inch").unwrap();
        match (row.decimal("thickness"), row.decimal("stitches")) {
            (Some(thickness), Some(stitches)) => {
                let ours = thread::per_inch(thickness, stitches);
                assert!((ours - published).abs() < 1e-9, "{}: {ours}", row.why());
            }
            // The customary ratio lies within our forecast, waste left out and put in.
            _ => {
                let ours = thread::per_inch(thread::THICKNESS, thread::STITCHES);
                assert!(ours <= published && published <= ours * (1.0 + thread::WASTE));
            }
        }
    }
}
