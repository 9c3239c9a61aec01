//! Published figures and proved instances, through the real cutting.

use geometry::Surd;
use quilt::plan::Direction;

use super::checks::sound;
use super::plans::{Bench, bench, inches, plain};

/// The rows of a handbook table: comma between cells, `#` before remarks, titles first.
pub fn rows(text: &str) -> Vec<Vec<&str>> {
    let lines = text
        .lines()
        .filter(|line| !line.starts_with('#') && !line.is_empty());
    lines
        .skip(1)
        .map(|line| line.split(',').collect())
        .collect()
}

/// So many squares or rectangles of this *cut* size (height, width), a quarter-inch seam
/// taken off; on a two-way print, so that none may be turned, or on a free one.
pub fn pieces(width: Surd, turns: bool, sizes: &[(Surd, Surd, u32)]) -> Bench {
    let seams = Surd::ratio(1, 2);
    let blocks = sizes
        .iter()
        .enumerate()
        .map(|(index, (height, across, count))| {
            let name = format!("size {index}");
            (plain(&name, across - &seams, height - &seams), *count)
        });
    let direction = if turns {
        Direction::Free
    } else {
        Direction::TwoWay
    };
    bench(width, direction, blocks.collect())
}

fn needs(bench: &Bench) -> Surd {
    let cutting = bench.only();
    sound(bench, &cutting);
    bench.plan.ruler.length(cutting.needs)
}

#[test]
fn published_yardage() {
    let text = include_str!("../../../../fixtures/handbook/yardage.csv");
    let mut seen = 0;
    for row in rows(text) {
        let [
            id,
            count,
            width,
            height,
            across,
            _,
            strips,
            length,
            loss,
            _,
            buy,
            status,
            ..,
        ] = row.as_slice()
        else {
            panic!("a row of yardage.csv has twelve cells or more: {row:?}");
        };
        // Y5 is bought by another rule: its cloth is what the maker happened to have.
        if *status != "AGREE" || *id == "Y5" {
            continue;
        }
        let size = (inches(height), inches(width), count.parse().unwrap());
        let mut bench = pieces(inches(across), false, &[size]);
        bench.plan.buying.step = Surd::ratio(9, 2);
        if !loss.is_empty() {
            bench.plan.buying.shrinkage = inches(loss) - Surd::ONE;
        }
        let cutting = bench.only();
        assert_eq!(
            bench.plan.ruler.length(cutting.needs),
            inches(length),
            "{id}: length"
        );
        assert_eq!(
            cutting.strips().count(),
            strips.parse::<usize>().unwrap(),
            "{id}: strips"
        );
        assert_eq!(cutting.at_least, cutting.needs as f64, "{id}: proved");
        if !buy.is_empty() {
            assert_eq!(cutting.buy, inches(buy), "{id}: to buy");
        }
        seen += 1;
    }
    assert!(
        seen >= 6,
        "the table has rows Y1, Y2, Y4, PX1 to PX3 and BI6, found {seen}"
    );
}

/// A cloth gives `count` squares when that many fit its length and one more does not.
#[test]
fn squares_from_a_piece_of_cloth() {
    let text = include_str!("../../../../fixtures/handbook/squares-per-cut.csv");
    let (mut agree, mut slips) = (0, 0);
    for row in rows(text) {
        let [
            table,
            square,
            across,
            length,
            published,
            formula,
            status,
            ..,
        ] = row.as_slice()
        else {
            panic!("a row of squares-per-cut.csv has seven cells or more: {row:?}");
        };
        let fits = |count: u32| {
            let bench = pieces(
                inches(across),
                true,
                &[(inches(square), inches(square), count)],
            );
            bench.plan.ruler.length(bench.only().needs) <= inches(length)
        };
        let name = format!("{table}: {square} in squares from {across} × {length}");
        let published: u32 = published.parse().unwrap();
        let gives = |count: u32| fits(count) && !fits(count + 1);
        if *status == "SLIP" {
            assert!(
                !gives(published),
                "{name}: {published} contradicts its own rule"
            );
            assert!(
                gives(formula.parse().unwrap()),
                "{name}: {formula} by the rule"
            );
            slips += 1;
        } else {
            assert!(gives(published), "{name}: {published}");
            agree += 1;
        }
    }
    assert!(
        agree > 80 && slips >= 4,
        "{agree} rows agree, {slips} slips"
    );
}

/// Border strips cut across and joined. Source: "How to calculate quilt borders",
/// Generations Quilt Patterns: a 56 × 61 top, 5 in strips, cloth of 42 in: 7 strips; the
/// page adds up 56 + 61 + 56 + 61 + 4 × 5 = 254 in.
#[test]
fn a_published_border_takes_seven_strips() {
    use quilt::setting::{PartKind, PartShape};
    let mut bench = bench(Surd::int(42), Direction::Free, Vec::new());
    let (side, end) = (PartKind::BorderSide(0), PartKind::BorderEnd(0));
    // Sides as long as the top, ends 4 1/2 in longer at both corners together.
    for x in [0, 65] {
        bench.part(
            side,
            PartShape::Rectangle,
            &[(x, 0), (x + 4, 0), (x + 4, 61), (x, 61)],
        );
    }
    for y in [0, 70] {
        bench.part(
            end,
            PartShape::Rectangle,
            &[(0, y), (65, y), (65, y + 4), (0, y + 4)],
        );
    }
    for part in &mut bench.top.parts {
        part.width = Surd::ratio(9, 2);
    }
    let cutting = bench.only();
    sound(&bench, &cutting);
    assert_eq!(
        cutting.demands.len(),
        1,
        "sides and ends come from one long strip"
    );
    assert_eq!(cutting.demands[0].count, 7);
    assert_eq!(bench.plan.ruler.length(cutting.needs), Surd::int(35));
}

/// Instances solved to the optimum by an integer program (own runs); the level bound and
/// first fit by hand-checked code. Cloth 40 in wide; height × width × count.
#[test]
fn proved_instances() {
    check(
        "A",
        "4 1/2 × 4 1/2 × 48, 3 7/8 × 3 7/8 × 40, 2 1/2 × 4 1/2 × 48",
        "55 57 1/2 54 57 1/2",
    );
    check(
        "B",
        "2 1/2 × 2 1/2 × 144, 2 1/2 × 4 1/2 × 36, 4 1/2 × 4 1/2 × 9",
        "41 1/2 41 1/2 38 1/2 41 1/2",
    );
    check(
        "C",
        "6 1/2 × 6 1/2 × 20, 3 1/2 × 3 1/2 × 80, 3 1/2 × 6 1/2 × 40, 12 1/2 × 12 1/2 × 4",
        "90 93 1/2 90 93 1/2",
    );
    check(
        "D",
        "3 1/2 × 12 1/2 × 24, 3 1/2 × 6 1/2 × 24, 6 1/2 × 6 1/2 × 12, 3 7/8 × 3 7/8 × 48, 2 1/2 × 18 1/2 × 8",
        "80 7/8 84 3/8 82 3/4 84 3/8",
    );
    check(
        "E",
        "5 1/2 × 5 1/2 × 35, 3 × 5 1/2 × 28, 3 × 3 × 64, 8 1/2 × 8 1/2 × 6",
        "68 1/2 68 1/2 68 71 1/2",
    );
    check(
        "F",
        "4 1/2 × 8 1/2 × 18, 4 1/2 × 6 1/2 × 18, 4 1/2 × 4 1/2 × 18, 4 1/2 × 2 1/2 × 18",
        "45 45 45 49 1/2",
    );
}

/// `known`: level bound, optimum as the pieces lie, optimum with turning, first fit.
fn check(name: &str, items: &str, known: &str) {
    let sizes: Vec<(Surd, Surd, u32)> = items
        .split(", ")
        .map(|item| {
            let parts: Vec<&str> = item.split(" × ").collect();
            (
                inches(parts[0]),
                inches(parts[1]),
                parts[2].parse().unwrap(),
            )
        })
        .collect();
    let mut values: Vec<Surd> = Vec::new();
    for word in known.split(' ') {
        match values.last_mut() {
            Some(last) if word.contains('/') => *last += inches(word),
            _ => values.push(inches(word)),
        }
    }
    let [level, fixed, turning, first_fit] = values.as_slice() else {
        panic!("{name}: four lengths");
    };
    for (turns, optimum) in [(false, fixed), (true, turning)] {
        let bench = pieces(Surd::int(40), turns, &sizes);
        let mut bench = bench;
        let cutting = bench.only();
        let found = needs(&bench);
        assert!(
            found <= *first_fit,
            "{name}: {found}, first fit {first_fit}"
        );
        assert_eq!(&found, optimum, "{name}, turning {turns}");
        assert_eq!(
            cutting.at_least, cutting.needs as f64,
            "{name}, turning {turns}: proved"
        );
        assert!(cutting.buy_proved);
        let known = if turns { 0.0 } else { 8.0 * level.to_f64() };
        assert!(cutting.at_least >= known, "{name}: below the level bound");
        // Sold by the eighth of a yard: as short a plan is known and as little is bought.
        bench.plan.buying.step = Surd::ratio(9, 2);
        let sold = bench.only();
        sound(&bench, &sold);
        assert_eq!(sold.shortest, cutting.needs, "{name}");
        let bought = optimum.checked_div(&Surd::ratio(9, 2)).unwrap().ceil();
        assert_eq!(sold.buy, Surd::ratio(9, 2).times(bought), "{name}");
        assert!(sold.buy_proved);
    }
}
