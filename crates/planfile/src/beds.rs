//! Standard mattresses by their trade names.
//!
//! **Units.** As the trade gives them: inches in the United States, centimetres
//! elsewhere; [`Bed`] holds exact inches.
//!
//! Where sources disagree, the figure that most of them print is taken. Mattresses of
//! the same name differ by an inch or two from maker to maker; a plan can give its own
//! size instead of a name.

use geometry::Surd;
use quilt::measure::Measure;
use quilt::plan::Bed;

/// A mattress: trade name, unit, width, length (in tenths of the unit), where the
/// figures are printed.
type Row = (&'static str, Measure, i64, i64, &'static str);

const IN: Measure = Measure::Inch;
const CM: Measure = Measure::Centimetre;

const GUILD: &str = "Standard Mattress Dimensions (Country Crossroads Quilters guild)";
const CRAFTS: &str = "Standard Mattress Sizes (The Spruce Crafts)";
const COUNTRIES: &str = "Mattress size guide by country (a furniture shop)";
const LINEN: &str = "Bedding sizes (a linen maker), and the size guide by country";
const AUSTRALIA: &str = "Mattress Size Guide, Australia (a furniture shop)";

/// The table. A long twin is 39 in wide; 36 in, found on older pages, is an error that
/// was widely copied. Some kings are 78 in wide.
const BEDS: [Row; 25] = [
    ("crib", IN, 280, 520, GUILD),
    ("twin", IN, 390, 750, GUILD),
    ("twin long", IN, 390, 800, CRAFTS),
    ("full", IN, 540, 750, GUILD),
    ("queen", IN, 600, 800, GUILD),
    ("king", IN, 760, 800, GUILD),
    ("California king", IN, 720, 840, GUILD),
    ("UK small single", CM, 750, 1800, COUNTRIES),
    ("UK single", CM, 900, 1900, LINEN),
    ("UK small double", CM, 1200, 1900, COUNTRIES),
    ("UK double", CM, 1350, 1900, LINEN),
    ("UK king", CM, 1500, 2000, LINEN),
    ("UK super king", CM, 1800, 2000, COUNTRIES),
    ("Europe single", CM, 900, 2000, COUNTRIES),
    ("Europe double", CM, 1400, 2000, LINEN),
    ("Europe super", CM, 1800, 2000, LINEN),
    ("AU cot", CM, 690, 1300, AUSTRALIA),
    ("AU single", CM, 920, 1880, AUSTRALIA),
    ("AU king single", CM, 1070, 2030, AUSTRALIA),
    ("AU double", CM, 1370, 1870, COUNTRIES),
    ("AU queen", CM, 1530, 2030, AUSTRALIA),
    ("AU king", CM, 1830, 2030, COUNTRIES),
    ("Canada twin", CM, 965, 1890, COUNTRIES),
    ("Canada double", CM, 1345, 1890, COUNTRIES),
    ("Canada queen", CM, 1525, 2020, COUNTRIES),
];

/// The names of all standard mattresses.
#[must_use]
pub fn bed_names() -> Vec<&'static str> {
    BEDS.iter().map(|row| row.0).collect()
}

/// Where the figures of this standard mattress are printed: title and publisher.
#[must_use]
pub fn bed_source(name: &str) -> Option<&'static str> {
    row(name).map(|row| row.4)
}

/// The standard mattress of this name, small and capital letters alike.
#[must_use]
pub fn bed(name: &str) -> Option<Bed> {
    let &(name, unit, width, length, _) = row(name)?;
    let inches = |tenths| unit.inches(&Surd::ratio(tenths, 10));
    Some(Bed {
        name: name.into(),
        width: inches(width),
        length: inches(length),
    })
}

fn row(name: &str) -> Option<&'static Row> {
    let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
    BEDS.iter().find(|row| row.0.eq_ignore_ascii_case(&name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mattresses_are_as_printed() {
        let size = |name: &str| {
            let bed = bed(name).unwrap();
            Measure::Inch.size(&bed.width, &bed.length)
        };
        assert_eq!(size("Queen"), "60 × 80 in");
        assert_eq!(size("twin  long"), "39 × 80 in", "not 36, the copied error");
        assert_eq!(size("california king"), "72 × 84 in");
        let double = bed("UK double").unwrap();
        assert_eq!(
            Measure::Centimetre.size(&double.width, &double.length),
            "135 × 190 cm"
        );
        assert!(bed("double").is_none(), "which country's?");
        assert!(
            bed_names()
                .iter()
                .all(|n| bed_source(n).is_some_and(|s| !s.is_empty()))
        );
    }
}
