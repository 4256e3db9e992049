//! What an expression is made of.

/// An expression over names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Expr {
    /// A name by itself: it holds.
    Name(String),
    /// A name in a position: `selector is forward`.
    Is {
        /// The name.
        name: String,
        /// The position.
        position: String,
    },
    /// It does not hold.
    Not(Box<Expr>),
    /// All hold; at least two.
    And(Vec<Expr>),
    /// At least one holds; at least two.
    Or(Vec<Expr>),
}

/// A whole line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Statement {
    /// `never …`: must not hold in any combination.
    Never(Expr),
    /// `x := …`: what a name stands for.
    Define {
        /// The name.
        name: String,
        /// What it stands for.
        expr: Expr,
    },
    /// An expression by itself.
    Plain(Expr),
}

impl Expr {
    /// Calls `see` for each name, with the position it is compared with, in the order written.
    pub fn names<'e>(&'e self, see: &mut dyn FnMut(&'e str, Option<&'e str>)) {
        match self {
            Self::Name(name) => see(name, None),
            Self::Is { name, position } => see(name, Some(position)),
            Self::Not(inner) => inner.names(see),
            Self::And(parts) | Self::Or(parts) => parts.iter().for_each(|part| part.names(see)),
        }
    }

    /// The same with every position replaced; `to` is given the name that it is compared with, and the position.
    #[must_use]
    pub fn repositioned(&self, to: &mut dyn FnMut(&str, &str) -> String) -> Self {
        match self {
            Self::Name(name) => Self::Name(name.clone()),
            Self::Is { name, position } => Self::Is {
                name: name.clone(),
                position: to(name, position),
            },
            Self::Not(inner) => Self::Not(Box::new(inner.repositioned(to))),
            Self::And(parts) => Self::And(parts.iter().map(|part| part.repositioned(to)).collect()),
            Self::Or(parts) => Self::Or(parts.iter().map(|part| part.repositioned(to)).collect()),
        }
    }

    /// The same with every name replaced.
    #[must_use]
    pub fn renamed(&self, to: &mut dyn FnMut(&str) -> String) -> Self {
        match self {
            Self::Name(name) => Self::Name(to(name)),
            Self::Is { name, position } => Self::Is {
                name: to(name),
                position: position.clone(),
            },
            Self::Not(inner) => Self::Not(Box::new(inner.renamed(to))),
            Self::And(parts) => Self::And(parts.iter().map(|part| part.renamed(to)).collect()),
            Self::Or(parts) => Self::Or(parts.iter().map(|part| part.renamed(to)).collect()),
        }
    }
}

impl Statement {
    /// The expression in it.
    #[must_use]
    pub fn expr(&self) -> &Expr {
        match self {
            Self::Never(expr) | Self::Plain(expr) | Self::Define { expr, .. } => expr,
        }
    }

    /// The same with every name of its expression replaced.
    #[must_use]
    pub fn renamed(&self, to: &mut dyn FnMut(&str) -> String) -> Self {
        self.with_expr(self.expr().renamed(to))
    }

    /// The same with every position of its expression replaced.
    #[must_use]
    pub fn repositioned(&self, to: &mut dyn FnMut(&str, &str) -> String) -> Self {
        self.with_expr(self.expr().repositioned(to))
    }

    fn with_expr(&self, expr: Expr) -> Self {
        match self {
            Self::Never(_) => Self::Never(expr),
            Self::Plain(_) => Self::Plain(expr),
            Self::Define { name, .. } => Self::Define {
                name: name.clone(),
                expr,
            },
        }
    }
}
