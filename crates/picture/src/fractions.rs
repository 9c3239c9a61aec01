//! Fractions in the words of a drawing, set as a printer sets them.

use crate::drawing::{Drawing, Item};

/// The drawing with the fractions of its labels as one sign each: `2 5/8` becomes `2⅝`.
#[must_use]
pub fn typeset(drawing: &Drawing) -> Drawing {
    let mut drawing = drawing.clone();
    for item in &mut drawing.items {
        if let Item::Label(label) = item {
            label.text = fractions(&label.text);
            label.under = fractions(&label.under);
        }
    }
    drawing
}

/// `4 7/8` as `4⅞`, `3 3/16` as `3³⁄₁₆`; whatever else stands there stays.
fn fractions(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let run = |from: usize| {
        let figures = letters[from..].iter().take_while(|c| c.is_ascii_digit());
        from + figures.count()
    };
    let (mut out, mut i) = (String::new(), 0);
    while i < letters.len() {
        let top = run(i);
        let slash = top > i && letters.get(top) == Some(&'/');
        let under = if slash { run(top + 1) } else { i };
        if !slash || out.ends_with('/') || under == top + 1 || letters.get(under) == Some(&'/') {
            let next = top.max(i + 1);
            out.extend(&letters[i..next]);
            i = next;
            continue;
        }
        let word = |from: usize, to: usize| letters[from..to].iter().collect::<String>();
        // The whole number before it stands close.
        let mut before = out.chars().rev();
        if before.next() == Some(' ') && before.next().is_some_and(|c| c.is_ascii_digit()) {
            out.pop();
        }
        out.push_str(&one_fraction(&word(i, top), &word(top + 1, under)));
        i = under;
    }
    out
}

fn one_fraction(top: &str, under: &str) -> String {
    let known = match (top, under) {
        ("1", "2") => "½",
        ("1", "3") => "⅓",
        ("2", "3") => "⅔",
        ("1", "4") => "¼",
        ("3", "4") => "¾",
        ("1", "8") => "⅛",
        ("3", "8") => "⅜",
        ("5", "8") => "⅝",
        ("7", "8") => "⅞",
        _ => "",
    };
    if !known.is_empty() {
        return known.into();
    }
    let set = |figures: &str, row: &str| -> String {
        let row: Vec<char> = row.chars().collect();
        let digits = figures.chars().filter_map(|c| c.to_digit(10));
        digits.filter_map(|d| row.get(d as usize)).collect()
    };
    format!("{}⁄{}", set(top, "⁰¹²³⁴⁵⁶⁷⁸⁹"), set(under, "₀₁₂₃₄₅₆₇₈₉"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_are_one_sign_and_the_rest_stays() {
        for (plain, set) in [
            ("4 7/8 in", "4⅞ in"),
            ("3 3/16 × 12", "3³⁄₁₆ × 12"),
            ("1/2", "½"),
            ("cut 3 of 1 1/2", "cut 3 of 1½"),
            ("A/B 1/", "A/B 1/"),
            ("2026/11/28", "2026/11/28"),
            ("", ""),
            ("2 5/8", "2⅝"),
            ("6 × 4 1/2 in", "6 × 4½ in"),
            ("3/16", "³⁄₁₆"),
            ("15 15/16 in", "15¹⁵⁄₁₆ in"),
            ("FS A", "FS A"),
            ("and/or 1/ /2", "and/or 1/ /2"),
        ] {
            assert_eq!(fractions(plain), set);
        }
    }
}
