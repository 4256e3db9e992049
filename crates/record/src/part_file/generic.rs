//! Neutral parts of our own, embedded from `/assets/parts`.

/// A generic part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Generic {
    /// The name it is used by (`relay`).
    pub name: &'static str,
    /// The part file.
    pub text: &'static str,
}

macro_rules! parts {
    ($($name:literal,)*) => {
        const PARTS: &[Generic] = &[$(Generic {
            name: $name,
            text: include_str!(concat!("../../../../assets/parts/", $name, ".json")),
        },)*];
    };
}

parts! {
    "relay",
    "potentiometer",
    "dual-track-pedal",
    "brake-switch",
    "fuse-box",
    "can-terminator",
    "battery",
}

/// Every generic part.
pub fn generic() -> &'static [Generic] {
    PARTS
}
