//! From text to expression: a reader of one function a level.

use super::token::{Placed, Token, tokens};
use super::{Expr, Statement, SyntaxError};

/// Brackets within brackets at most; more would be a slip, and the reader calls itself for each.
const DEEPEST: usize = 60;

/// Reads a line: `never …`, `name := …`, or an expression by itself.
///
/// # Errors
/// [`SyntaxError`] with the character and what was expected there.
pub fn parse(text: &str) -> Result<Statement, SyntaxError> {
    let tokens = tokens(text)?;
    let mut reader = Reader::new(text, &tokens);
    let statement = match (reader.peek(), tokens.get(1).map(|p| &p.token)) {
        (Some(Token::Key("never")), _) => {
            reader.at += 1;
            Statement::Never(reader.any()?)
        }
        (Some(Token::Name(name)), Some(Token::Becomes)) => {
            let name = name.clone();
            reader.at += 2;
            Statement::Define {
                name,
                expr: reader.any()?,
            }
        }
        _ => Statement::Plain(reader.any()?),
    };
    reader.end()?;
    Ok(statement)
}

/// Reads an expression by itself.
///
/// # Errors
/// As [`parse`].
pub fn parse_expr(text: &str) -> Result<Expr, SyntaxError> {
    let tokens = tokens(text)?;
    let mut reader = Reader::new(text, &tokens);
    let expr = reader.any()?;
    reader.end()?;
    Ok(expr)
}

struct Reader<'t> {
    tokens: &'t [Placed],
    at: usize,
    length: usize,
    depth: usize,
}

impl<'t> Reader<'t> {
    fn new(text: &str, tokens: &'t [Placed]) -> Self {
        Self {
            tokens,
            at: 0,
            length: text.chars().count(),
            depth: 0,
        }
    }

    fn peek(&self) -> Option<&'t Token> {
        self.tokens.get(self.at).map(|placed| &placed.token)
    }

    fn takes(&mut self, token: &Token) -> bool {
        let is = self.peek() == Some(token);
        self.at += usize::from(is);
        is
    }

    fn wrong<T>(&self, expected: &str) -> Result<T, SyntaxError> {
        let placed = self.tokens.get(self.at);
        Err(SyntaxError {
            at: placed.map_or(self.length, |p| p.at),
            found: placed.map(|p| p.written.clone()).unwrap_or_default(),
            expected: expected.to_owned(),
        })
    }

    fn end(&self) -> Result<(), SyntaxError> {
        match self.peek() {
            None => Ok(()),
            Some(Token::Close) => self.wrong("no more ), since every bracket is closed already"),
            Some(_) => self.wrong("and, or, or the end"),
        }
    }

    /// What is joined by `or`.
    fn any(&mut self) -> Result<Expr, SyntaxError> {
        let first = self.all()?;
        let mut parts = vec![first];
        while self.takes(&Token::Key("or")) {
            parts.push(self.all()?);
        }
        Ok(one_or(parts, Expr::Or))
    }

    /// What is joined by `and`, which binds closer.
    fn all(&mut self) -> Result<Expr, SyntaxError> {
        let first = self.one()?;
        let mut parts = vec![first];
        while self.takes(&Token::Key("and")) {
            parts.push(self.one()?);
        }
        Ok(one_or(parts, Expr::And))
    }

    fn one(&mut self) -> Result<Expr, SyntaxError> {
        if self.depth >= DEEPEST {
            return self.wrong("fewer brackets and nots within each other");
        }
        if self.takes(&Token::Key("not")) {
            self.depth += 1;
            let inner = self.one()?;
            self.depth -= 1;
            return Ok(Expr::Not(Box::new(inner)));
        }
        if self.takes(&Token::Open) {
            self.depth += 1;
            let inner = self.any()?;
            self.depth -= 1;
            return if self.takes(&Token::Close) {
                Ok(inner)
            } else {
                self.wrong("and, or, or ) to close the bracket")
            };
        }
        match self.peek() {
            Some(Token::Name(name)) => {
                self.at += 1;
                self.positioned(name.clone())
            }
            Some(Token::Key("never")) => self.wrong("a name, not or (; never stands at the beginning only"),
            Some(Token::Key(key)) => self.wrong(&format!(
                "a name, not or (; a thing called {key} is written [{key}]"
            )),
            _ => self.wrong("a name, not or ("),
        }
    }

    fn positioned(&mut self, name: String) -> Result<Expr, SyntaxError> {
        if !self.takes(&Token::Key("is")) {
            return Ok(Expr::Name(name));
        }
        match self.peek() {
            Some(Token::Name(position)) => {
                self.at += 1;
                Ok(Expr::Is {
                    name,
                    position: position.clone(),
                })
            }
            Some(Token::Key("not")) => self.wrong("a position; write: not name is position"),
            _ => self.wrong("a position"),
        }
    }
}

fn one_or(mut parts: Vec<Expr>, many: fn(Vec<Expr>) -> Expr) -> Expr {
    match (parts.len(), parts.pop()) {
        (1, Some(only)) => only,
        (_, last) => {
            parts.extend(last);
            many(parts)
        }
    }
}
