/// What a verdict weighs, from nothing to the worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Grade {
    /// Nothing to say.
    Good,
    /// Worth knowing.
    Note,
    /// A figure is missing; nothing is proven either way.
    CannotCheck,
    /// Should be mended.
    Warning,
    /// Do not power up.
    Stop,
}

/// Within this share of a limit a figure is on the edge: neither side of it is certain.
pub(super) const EDGE: f64 = 0.03;

/// Whether a figure is within 3 % of its limit, on either side.
pub(super) fn on_the_edge(figure: f64, limit: f64) -> bool {
    (figure - limit).abs() <= EDGE * limit.abs()
}
