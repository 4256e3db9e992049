//! What each sensor reads wrong in a state, by how much its return stands above its reader's.

use super::track::tracks;
use crate::{
    analysis::{Snapshot, StateResult},
    model::{Cavity, Id, Part},
};

/// A ratiometric sensor or potentiometer and how wrong its reader reads it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SensorError {
    /// The sensor.
    pub part: Id<Part>,
    /// The cavity that reads it.
    pub reader: Id<Cavity>,
    /// Its return above the reader's, V.
    pub lift_v: f64,
    /// How much is read wrong at rest, V.
    pub at_rest_v: f64,
    /// How much is read wrong at full travel, V.
    pub at_full_v: f64,
    /// What the reader takes for the span from rest to full, V; none: not known.
    pub span_v: Option<f64>,
}

impl SensorError {
    /// The greater error as a share of the span, percent.
    pub fn percent(&self) -> Option<f64> {
        let most_v = self.at_rest_v.abs().max(self.at_full_v.abs());
        self.span_v.map(|span_v| most_v / span_v * 100.0)
    }
}

/// Every sensor that is fed in a state and whose reader is known.
pub fn sensor_errors(see: &Snapshot, of: &StateResult) -> Vec<SensorError> {
    tracks(see)
        .into_iter()
        .filter_map(|track| {
            let lift_v = track.lift_v(of)?;
            Some(SensorError {
                part: track.part,
                reader: track.reader,
                lift_v,
                at_rest_v: track.error_v(lift_v, 0.0),
                at_full_v: track.error_v(lift_v, 1.0),
                span_v: track.span_v(see),
            })
        })
        .collect()
}
