//! Pages as text that cannot be broken by what a maker types.
//!
//! Words go in by [`El::text`] and are escaped there; nothing else takes text. A builder of
//! our own, since a page needs no more than elements, attributes and words.

use std::fmt::{Display, Write as _};

/// A finished piece of a page.
#[derive(Clone, Default, Debug)]
pub(crate) struct Node(String);

impl Node {
    pub(crate) fn into_text(self) -> String {
        self.0
    }

    /// Several pieces after one another.
    pub(crate) fn all(pieces: impl IntoIterator<Item = impl Into<Node>>) -> Self {
        Self(pieces.into_iter().map(|piece| piece.into().0).collect())
    }
}

/// An element being built.
#[derive(Clone, Debug)]
pub(crate) struct El {
    tag: &'static str,
    attributes: String,
    body: String,
}

/// Elements that have no body.
const HOLLOW: [&str; 6] = ["br", "img", "input", "link", "meta", "source"];

pub(crate) fn el(tag: &'static str) -> El {
    El {
        tag,
        attributes: String::new(),
        body: String::new(),
    }
}

impl El {
    pub(crate) fn attr(mut self, name: &'static str, value: impl Display) -> Self {
        // Writing to a String cannot fail.
        let _ = write!(self.attributes, " {name}=\"{}\"", escaped(&value));
        self
    }

    pub(crate) fn class(self, names: impl Display) -> Self {
        self.attr("class", names)
    }

    /// An attribute that is there or not.
    pub(crate) fn flag(mut self, name: &'static str, there: bool) -> Self {
        if there {
            let _ = write!(self.attributes, " {name}");
        }
        self
    }

    pub(crate) fn text(mut self, words: impl Display) -> Self {
        self.body.push_str(&escaped(&words));
        self
    }

    pub(crate) fn put(mut self, piece: impl Into<Node>) -> Self {
        self.body.push_str(&piece.into().0);
        self
    }

    pub(crate) fn put_all(mut self, pieces: impl IntoIterator<Item = impl Into<Node>>) -> Self {
        for piece in pieces {
            self.body.push_str(&piece.into().0);
        }
        self
    }
}

impl From<El> for Node {
    fn from(el: El) -> Self {
        let El {
            tag,
            attributes,
            body,
        } = el;
        if HOLLOW.contains(&tag) {
            Self(format!("<{tag}{attributes}>"))
        } else {
            Self(format!("<{tag}{attributes}>{body}</{tag}>"))
        }
    }
}

impl From<Option<Node>> for Node {
    fn from(piece: Option<Node>) -> Self {
        piece.unwrap_or_default()
    }
}

impl From<Option<El>> for Node {
    fn from(piece: Option<El>) -> Self {
        piece.map(Node::from).unwrap_or_default()
    }
}

fn escaped(value: &impl Display) -> String {
    let text = value.to_string();
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if c.is_control() && c != '\n' && c != '\t' => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_cannot_leave_their_place() {
        let page = Node::from(
            el("p")
                .attr("title", "\"><script>")
                .text("<b>&\u{0}")
                .put(el("br")),
        );
        assert_eq!(
            page.into_text(),
            "<p title=\"&quot;&gt;&lt;script&gt;\">&lt;b&gt;&amp; <br></p>"
        );
    }
}
