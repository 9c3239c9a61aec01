//! Counts and lists in words.

/// `1 block`, `5 blocks`.
pub(super) fn several(count: usize, one: &str) -> String {
    match count {
        1 => format!("1 {one}"),
        n => format!("{n} {}", plural(one)),
    }
}

/// The plural of a thing of the trade.
pub(super) fn plural(one: &str) -> String {
    match one {
        "sash" => "sashes".into(),
        "long sash" => "long sashes".into(),
        _ => format!("{one}s"),
    }
}

/// `1`, `1 and 3`, `1, 3 and 5`.
pub(in crate::sewing) fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// `Row 1`, `Rows 1, 3 and 5`, for numbers from 1.
pub(super) fn rows(what: &str, numbers: &[usize]) -> String {
    let words: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    let what = if numbers.len() == 1 {
        what.into()
    } else {
        plural(what)
    };
    let mut letters = what.chars();
    let first = letters
        .next()
        .map(|letter| letter.to_uppercase().to_string());
    format!(
        "{}{} {}",
        first.unwrap_or_default(),
        letters.as_str(),
        list(&words)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_and_lists_read_as_one_speaks() {
        assert_eq!(several(1, "block"), "1 block");
        assert_eq!(several(4, "sash"), "4 sashes");
        assert_eq!(rows("row", &[2]), "Row 2");
        assert_eq!(rows("diagonal row", &[1, 3, 5]), "Diagonal rows 1, 3 and 5");
        assert_eq!(list(&[]), "");
    }
}
