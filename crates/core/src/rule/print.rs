//! From expression to text, so that reading it gives the same expression.

use std::fmt::{self, Display, Formatter};

use super::token::{is_plain, keyword};
use super::{Expr, Statement};

/// A name as it is written: in square brackets where it is no plain word.
struct Written<'n>(&'n str);

impl Display for Written<'_> {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        // A `:` at the end would run together with `=`.
        let plain = !self.0.is_empty() && self.0.chars().all(is_plain) && !self.0.ends_with(':');
        if plain && keyword(self.0).is_none() {
            f.write_str(self.0)
        } else {
            write!(f, "[{}]", self.0.replace(']', "]]"))
        }
    }
}

impl Display for Expr {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::Name(name) => Written(name).fmt(f),
            Self::Is { name, position } => write!(f, "{} is {}", Written(name), Written(position)),
            Self::Not(inner) => {
                f.write_str("not ")?;
                part(inner, matches!(**inner, Self::And(_) | Self::Or(_)), f)
            }
            Self::And(parts) => joined(parts, " and ", |p| matches!(p, Self::And(_) | Self::Or(_)), f),
            Self::Or(parts) => joined(parts, " or ", |p| matches!(p, Self::Or(_)), f),
        }
    }
}

impl Display for Statement {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::Never(expr) => write!(f, "never {expr}"),
            Self::Define { name, expr } => write!(f, "{} := {expr}", Written(name)),
            Self::Plain(expr) => expr.fmt(f),
        }
    }
}

fn joined(parts: &[Expr], word: &str, bracket: fn(&Expr) -> bool, f: &mut Formatter<'_>) -> fmt::Result {
    for (at, one) in parts.iter().enumerate() {
        if at > 0 {
            f.write_str(word)?;
        }
        part(one, bracket(one), f)?;
    }
    Ok(())
}

fn part(expr: &Expr, bracket: bool, f: &mut Formatter<'_>) -> fmt::Result {
    if bracket {
        write!(f, "({expr})")
    } else {
        expr.fmt(f)
    }
}
