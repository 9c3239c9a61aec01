//! Small pieces of English: counts, lists, capitals.

/// `1 block`, `36 blocks`.
pub(crate) fn count(n: usize, one: &str, more: &str) -> String {
    format!("{} {}", grouped(n), if n == 1 { one } else { more })
}

/// A number with its thousands set apart: `5,184`.
pub(crate) fn grouped(n: usize) -> String {
    let digits = n.to_string();
    let mut out = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// `A`, `A and B`, `A, B and C`.
pub(crate) fn list<S: AsRef<str>>(items: &[S]) -> String {
    match items {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [rest @ .., last] => {
            let rest: Vec<&str> = rest.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", rest.join(", "), last.as_ref())
        }
    }
}

/// The same words with a capital first letter.
pub(crate) fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_put_together_as_one_says_them() {
        assert_eq!(count(1, "block", "blocks"), "1 block");
        assert_eq!(count(5184, "patch", "patches"), "5,184 patches");
        assert_eq!(
            [999, 1000, 1_234_567].map(grouped),
            ["999", "1,000", "1,234,567"]
        );
        assert_eq!(list::<&str>(&[]), "");
        assert_eq!(list(&["A", "B"]), "A and B");
        assert_eq!(list(&["A", "B", "C"]), "A, B and C");
        assert_eq!(capital("épée"), "Épée");
    }
}
