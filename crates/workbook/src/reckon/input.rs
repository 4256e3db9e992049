//! What a calculator is given: typed texts, read as figures.

use crimpbook_core::quantity::Kind;

/// One thing a calculator takes.
#[derive(Debug)]
pub struct Input {
    /// Stable name, for the command line.
    pub name: &'static str,
    /// Name for people.
    pub words: &'static str,
    /// What may stand in it.
    pub takes: Takes,
    /// What stands there where nobody says otherwise; empty: nothing.
    pub usual: &'static str,
}

/// What may stand in an input.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Takes {
    /// A figure with a unit.
    Figure(Kind),
    /// A number without a unit.
    Number,
    /// One of these words; the first letters are enough.
    OneOf(&'static [&'static str]),
}

impl Input {
    /// Reads a text: none where it is empty.
    ///
    /// # Errors
    /// A sentence: what is wrong and what may be written.
    pub fn read(&self, text: &str) -> Result<Option<f64>, String> {
        let text = text.trim();
        if text.is_empty() {
            return Ok(None);
        }
        match self.takes {
            Takes::Figure(kind) => kind.parse(text).map(Some).map_err(|e| e.to_string()),
            Takes::Number => {
                let value = text.replace(',', ".").parse().ok();
                let value = value.filter(|v: &f64| v.is_finite() && *v > 0.0 && *v < 1e6);
                value
                    .map(Some)
                    .ok_or_else(|| format!("`{text}` is no number above 0. Write it as 1.5."))
            }
            Takes::OneOf(all) => {
                let low = text.to_lowercase();
                let at = all.iter().position(|word| word.starts_with(&low));
                at.map(|at| Some(at as f64))
                    .ok_or_else(|| format!("`{text}` is none of {}.", all.join(", ")))
            }
        }
    }

    /// An example of what may be typed.
    pub fn example(&self) -> String {
        match self.takes {
            Takes::Figure(kind) => kind.symbol().to_owned(),
            Takes::Number => "number".to_owned(),
            Takes::OneOf(all) => all.join(" | "),
        }
    }
}

/// An input that has to be typed before there is an answer, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing(pub String);

/// What was read of a calculator's inputs.
#[derive(Debug)]
pub struct Values<'a> {
    inputs: &'static [Input],
    values: Vec<Option<f64>>,
    texts: &'a [String],
}

impl<'a> Values<'a> {
    /// Reads all texts, one an input.
    ///
    /// # Errors
    /// Which input cannot be read, and why.
    pub fn read(inputs: &'static [Input], texts: &'a [String]) -> Result<Self, (usize, String)> {
        let mut values = Vec::new();
        for (at, input) in inputs.iter().enumerate() {
            let text = texts.get(at).map_or("", String::as_str);
            values.push(input.read(text).map_err(|why| (at, why))?);
        }
        Ok(Self {
            inputs,
            values,
            texts,
        })
    }

    /// The figure of an input, if there is one.
    pub fn get(&self, name: &str) -> Option<f64> {
        self.values.get(self.at(name)?).copied().flatten()
    }

    /// A share as part of one, where it is typed in per cent.
    pub fn share(&self, name: &str) -> Option<f64> {
        Some(self.get(name)? / 100.0)
    }

    /// The figure of an input.
    ///
    /// # Errors
    /// The input in words, where nothing is typed.
    pub fn need(&self, name: &str) -> Result<f64, Missing> {
        self.get(name).ok_or_else(|| {
            let words = self.at(name).and_then(|at| self.inputs.get(at));
            Missing(words.map_or(name, |input| input.words).to_owned())
        })
    }

    /// The same, above nothing.
    ///
    /// # Errors
    /// The input in words, where nothing is typed or it is zero.
    pub fn need_above_0(&self, name: &str) -> Result<f64, Missing> {
        let value = self.need(name)?;
        if value > 0.0 {
            Ok(value)
        } else {
            let words = self.at(name).and_then(|at| self.inputs.get(at));
            let words = words.map_or(name, |input| input.words);
            Err(Missing(format!("{words} above 0")))
        }
    }

    /// As it was typed.
    pub fn text(&self, name: &str) -> &str {
        let text = self.at(name).and_then(|at| self.texts.get(at));
        text.map_or("", |text| text.trim())
    }

    fn at(&self, name: &str) -> Option<usize> {
        self.inputs.iter().position(|input| input.name == name)
    }
}
