//! Verdicts in words, for findings and screens alike.

use crimpbook_core::fuse::{FarEnd, FarEndOutcome, WireOverload};

use crate::check::words::{celsius, number, time};

/// Why a wire is or is not too thin for the fuse above it: what may flow for how long, and what the wire bears.
pub fn reason(verdict: &WireOverload, class_c: f64) -> String {
    match verdict.margin.filter(|m| m.ratio < 1.0) {
        Some(margin) => format!(
            "at {} A it may take {}, the wire bears that {}",
            number(margin.current_a),
            time(margin.fuse_longest_s),
            time(margin.wire_bears_s),
        ),
        None => {
            let limit = if verdict.lasting_c > verdict.limit_c {
                format!("it bears {} for hours at most", celsius(verdict.limit_c))
            } else {
                format!("its class is {}", celsius(class_c))
            };
            format!(
                "{} A may flow for ever and bring it to {}, {limit}",
                number(verdict.lasting_a),
                celsius(verdict.lasting_c),
            )
        }
    }
}

/// What a short at the far end of a wire comes to.
pub fn far_end_words(verdict: &FarEnd) -> String {
    match verdict.outcome {
        FarEndOutcome::OpensInTime => "the fuse opens in time".to_owned(),
        FarEndOutcome::WireBearsIt => "the wire bears it for ever".to_owned(),
        FarEndOutcome::WireAges => "the wire ages before the fuse opens".to_owned(),
        FarEndOutcome::WireIsHurt => "the wire may be hurt before the fuse opens".to_owned(),
        FarEndOutcome::CannotCheck { missing } => format!("cannot check: missing {missing}"),
    }
}
