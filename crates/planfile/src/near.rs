//! Which of the words that are known did the maker mean?
//!
//! Counts single-letter slips (a letter left out, put in, changed, or two neighbours
//! swapped) and takes the known word with the fewest, if they are few for its length.

/// Words longer than this are not compared: nobody misspells them by hand.
const LONGEST: usize = 60;

/// How many known words a list shows before it says how many more there are.
const LISTED: usize = 24;

/// The known word that `word` most likely stands for.
#[must_use]
pub(crate) fn nearest<'k, S: AsRef<str>>(word: &str, known: &'k [S]) -> Option<&'k str> {
    let word = word.trim().to_lowercase();
    let allowed = match word.chars().count() {
        // One slip makes any letter of any other.
        0 | 1 => 0,
        length => (length / 3).max(1),
    };
    known
        .iter()
        .map(AsRef::as_ref)
        .map(|k| (slips(&word, &k.to_lowercase()), k))
        .filter(|&(slips, _)| slips <= allowed)
        .min_by_key(|&(slips, _)| slips)
        .map(|(_, k)| k)
}

/// What to do about a word that is not known: the nearest one, or the list of all.
#[must_use]
pub(crate) fn advice<S: AsRef<str>>(word: &str, known: &[S], of_what: &str) -> String {
    match nearest(word, known) {
        Some(k) if known.len() <= 8 => {
            format!("Did you mean “{k}”? The {of_what} are: {}.", list(known))
        }
        Some(k) => format!("Did you mean “{k}”?"),
        None if known.is_empty() => format!("There are no {of_what} here yet."),
        None => format!("The {of_what} are: {}.", list(known)),
    }
}

/// The words, separated by commas; a long list is cut short.
#[must_use]
pub(crate) fn list<S: AsRef<str>>(known: &[S]) -> String {
    let shown: Vec<&str> = known.iter().take(LISTED).map(AsRef::as_ref).collect();
    let more = known.len().saturating_sub(LISTED);
    let tail = if more > 0 {
        format!(" and {more} more")
    } else {
        String::new()
    };
    format!("{}{tail}", shown.join(", "))
}

/// The number of slips between two words (optimal string alignment distance).
fn slips(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    if a.len() > LONGEST || b.len() > LONGEST {
        return usize::MAX;
    }
    let mut rows = vec![vec![0; b.len() + 1]; a.len() + 1];
    for i in 0..=a.len() {
        for j in 0..=b.len() {
            rows[i][j] = if i == 0 || j == 0 {
                i + j
            } else {
                let change = rows[i - 1][j - 1] + usize::from(a[i - 1] != b[j - 1]);
                let best = change.min(rows[i - 1][j] + 1).min(rows[i][j - 1] + 1);
                let swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
                if swapped {
                    best.min(rows[i - 2][j - 2] + 1)
                } else {
                    best
                }
            };
        }
    }
    rows[a.len()][b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_counted_as_a_typist_makes_them() {
        for (a, b, n) in [
            ("rounds", "rounds", 0),
            ("ronds", "rounds", 1),
            ("roudns", "rounds", 1),
            ("navy", "nvay", 1),
            ("cloth", "clothes", 2),
            ("", "abc", 3),
        ] {
            assert_eq!(slips(a, b), n, "{a} {b}");
        }
    }

    #[test]
    fn only_a_near_word_is_offered() {
        let known = ["width", "cloth", "corner", "cut"];
        assert_eq!(nearest("widht", &known), Some("width"));
        assert_eq!(nearest("Corners", &known), Some("corner"));
        assert_eq!(nearest("cat", &known), Some("cut"));
        assert_eq!(nearest("batting", &known), None);
        assert_eq!(nearest("h", &["F", "H"]), Some("H"), "small for capital");
        assert_eq!(nearest("G", &["F", "H"]), None);
        assert_eq!(
            advice("x", &known, "fields"),
            "The fields are: width, cloth, corner, cut."
        );
    }
}
