//! Elements of XHTML and SVG: well-formed by construction, every text escaped.

use crate::text::shown;

/// An element.
#[derive(Debug, Clone, PartialEq)]
pub struct Element {
    name: &'static str,
    attributes: Vec<(&'static str, String)>,
    inside: Vec<Inside>,
}

#[derive(Debug, Clone, PartialEq)]
enum Inside {
    Text(String),
    Element(Element),
}

/// An empty element.
pub fn el(name: &'static str) -> Element {
    Element {
        name,
        attributes: Vec::new(),
        inside: Vec::new(),
    }
}

impl Element {
    /// With an attribute; one that is there already is replaced.
    #[must_use]
    pub fn attr(mut self, name: &'static str, value: impl ToString) -> Self {
        match self.attributes.iter_mut().find(|(known, _)| *known == name) {
            Some((_, old)) => *old = value.to_string(),
            None => self.attributes.push((name, value.to_string())),
        }
        self
    }

    /// With a class.
    #[must_use]
    pub fn class(self, class: &'static str) -> Self {
        self.attr("class", class)
    }

    /// With text at its end; characters that act unseen are shown.
    #[must_use]
    pub fn text(mut self, text: impl AsRef<str>) -> Self {
        self.inside.push(Inside::Text(text.as_ref().to_owned()));
        self
    }

    /// With an element at its end.
    #[must_use]
    pub fn child(mut self, child: Element) -> Self {
        self.inside.push(Inside::Element(child));
        self
    }

    /// With elements at its end.
    #[must_use]
    pub fn children(mut self, children: impl IntoIterator<Item = Element>) -> Self {
        self.inside.extend(children.into_iter().map(Inside::Element));
        self
    }

    /// Whether nothing is in it.
    pub fn is_empty(&self) -> bool {
        self.inside.is_empty()
    }

    /// The element as text.
    pub fn render(&self) -> String {
        let mut out = String::new();
        self.write(&mut out, true);
        out
    }

    /// Writes the element; long words may be broken over lines where `breaks`.
    fn write(&self, out: &mut String, breaks: bool) {
        let breaks = breaks && !matches!(self.name, "svg" | "title" | "code");
        // A line before each block, so that the source can be read and compared.
        if is_block(self.name) && !out.ends_with('\n') {
            out.push('\n');
        }
        out.push('<');
        out.push_str(self.name);
        for (name, value) in &self.attributes {
            out.push(' ');
            out.push_str(name);
            out.push_str("=\"");
            escape(value, out);
            out.push('"');
        }
        if is_void(self.name) {
            out.push_str("/>");
            return;
        }
        out.push('>');
        for inside in &self.inside {
            match inside {
                // The one text that is ours and not data: entities are not read in a style sheet.
                Inside::Text(text) if self.name == "style" => out.push_str(text),
                Inside::Text(text) if breaks => escape_broken(text, out),
                Inside::Text(text) => escape(text, out),
                Inside::Element(element) => element.write(out, breaks),
            }
        }
        out.push_str("</");
        out.push_str(self.name);
        out.push('>');
    }
}

/// Elements that HTML closes by itself.
fn is_void(name: &str) -> bool {
    matches!(name, "meta" | "br" | "wbr")
}

fn is_block(name: &str) -> bool {
    matches!(
        name,
        "head"
            | "body"
            | "section"
            | "header"
            | "footer"
            | "main"
            | "nav"
            | "h1"
            | "h2"
            | "h3"
            | "h4"
            | "p"
            | "ul"
            | "ol"
            | "li"
            | "dl"
            | "dt"
            | "table"
            | "caption"
            | "thead"
            | "tbody"
            | "tr"
            | "figure"
            | "svg"
            | "g"
            | "style"
            | "meta"
            | "title"
            | "div"
    )
}

/// Longest word that is not broken.
const WORD: usize = 24;

/// Escapes, with a place to break after every so many characters of a word that would widen the page.
fn escape_broken(text: &str, out: &mut String) {
    let mut in_word = 0;
    let mut piece = String::new();
    for c in text.chars() {
        in_word = if c.is_whitespace() { 0 } else { in_word + 1 };
        piece.push(c);
        if in_word == WORD {
            escape(&piece, out);
            out.push_str("<wbr/>");
            piece.clear();
            in_word = 0;
        }
    }
    escape(&piece, out);
}

fn escape(text: &str, out: &mut String) {
    for c in shown(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::el;

    #[test]
    fn long_words_may_break() {
        let word = "x".repeat(30);
        assert_eq!(
            el("p").text(&word).render(),
            format!("\n<p>{}<wbr/>{}</p>", "x".repeat(24), "x".repeat(6))
        );
        assert_eq!(el("code").text(&word).render(), format!("<code>{word}</code>"));
    }

    #[test]
    fn texts_and_attributes_are_escaped() {
        let element = el("td")
            .attr("title", "a \"b\" <c>")
            .text("</td><script>alert('x') & \u{202e}")
            .child(el("br"));
        assert_eq!(
            element.render(),
            "<td title=\"a &quot;b&quot; &lt;c&gt;\">&lt;/td&gt;&lt;script&gt;alert(&#39;x&#39;) &amp; ⟨U+202E⟩<br/></td>"
        );
    }
}
