//! Whether two tracks of one pedal agree over the travel, from readings at rest, part-way and full.

/// Readings of one track, V.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Track {
    /// Foot off.
    pub rest_v: f64,
    /// Pedal held somewhere in between, the same place for both tracks.
    pub between_v: f64,
    /// Fully pressed.
    pub full_v: f64,
}

impl Track {
    /// Share of the travel that this track tells in between.
    pub fn share(&self) -> f64 {
        (self.between_v - self.rest_v) / (self.full_v - self.rest_v)
    }
}

/// How two tracks agree.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DualTrack {
    /// What each track tells of the travel in between.
    pub shares: [f64; 2],
    /// By how much they disagree there, a share of the travel.
    pub apart: f64,
    /// If both go on as from rest to there: which track stands still before full, and what that makes of it.
    pub stands_still: Option<StandsStill>,
}

/// A track that reaches its last voltage before the pedal reaches its end: it clips.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandsStill {
    /// Which track: 0 or 1.
    pub track: usize,
    /// From where on, a share of the other track's travel.
    pub from: f64,
    /// By how much they disagree there, the most of the travel.
    pub apart: f64,
}

impl DualTrack {
    /// The largest disagreement: as read, and where the clipping track stands still.
    pub fn most_apart(&self) -> f64 {
        self.apart.max(self.stands_still.map_or(0.0, |s| s.apart))
    }
}

/// Tracks whose shares differ by less than this are not told to clip: a meter's last digits.
const SAME: f64 = 0.01;

/// Compares two tracks. None where a track does not move, or the pedal was not held in between.
///
/// The track that is ahead in between gets to its full reading first, if both are straight: from there on it stands
/// still while the other goes on, and there they disagree most.
pub fn dual_track(tracks: [Track; 2]) -> Option<DualTrack> {
    let shares = tracks.map(|t| t.share());
    if !shares.iter().all(|s| s.is_finite() && *s > 0.0 && *s < 1.0) {
        return None;
    }
    let apart = (shares[0] - shares[1]).abs();
    let ahead = usize::from(shares[1] > shares[0]);
    let from = shares[1 - ahead] / shares[ahead];
    let stands_still = (apart > SAME).then_some(StandsStill {
        track: ahead,
        from,
        apart: 1.0 - from,
    });
    Some(DualTrack {
        shares,
        apart,
        stands_still,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const FIRST: Track = Track {
        rest_v: 0.75,
        between_v: 2.5,
        full_v: 4.25,
    };

    #[test]
    fn a_half_slope_track_agrees() {
        let second = Track {
            rest_v: 0.375,
            between_v: 1.25,
            full_v: 2.125,
        };
        let both = dual_track([FIRST, second]).unwrap();
        assert!(both.most_apart() < 1e-9, "{both:?}");
        assert_eq!(both.stands_still, None);
    }

    /// A track of 1.0 V at rest and 5.5 V at full, were it not for an input that ends at 4.97 V. By hand: half-way
    /// 3.25 V, which is 2.25/3.97 = 56.7 % of what it seems to span; it stands still from 3.97/4.5 = 88.2 % of the
    /// travel on, 11.8 % apart.
    #[test]
    fn a_track_that_clips_seems_to_be_ahead() {
        let second = Track {
            rest_v: 1.0,
            between_v: 3.25,
            full_v: 4.97,
        };
        let both = dual_track([FIRST, second]).unwrap();
        let still = both.stands_still.unwrap();
        assert_eq!(still.track, 1);
        assert!((both.shares[1] - 0.5668).abs() < 1e-4);
        assert!((still.from - 0.8822).abs() < 1e-4);
        assert!((both.most_apart() - 0.1178).abs() < 1e-4);
    }

    #[test]
    fn an_inverse_track_is_compared_by_its_travel() {
        let second = Track {
            rest_v: 4.5,
            between_v: 2.6,
            full_v: 0.5,
        };
        let both = dual_track([FIRST, second]).unwrap();
        assert!((both.apart - 0.025).abs() < 1e-12, "1.9/4.0 is 47.5 %");
        assert_eq!(both.stands_still.unwrap().track, 0);
    }

    #[test]
    fn what_does_not_move_cannot_be_compared() {
        let dead = Track {
            rest_v: 1.0,
            between_v: 1.0,
            full_v: 1.0,
        };
        assert_eq!(dual_track([FIRST, dead]), None);
        let at_rest = Track {
            between_v: 0.75,
            ..FIRST
        };
        assert_eq!(dual_track([at_rest, FIRST]), None);
    }

    proptest! {
        /// A straight track cut off at a voltage: where it stands still is what the cut says.
        #[test]
        fn the_place_of_clipping_comes_back(rest in 0.2..1.0_f64, slope in 2.0..5.0_f64, cut in 0.6..0.98_f64) {
            let second = Track { rest_v: rest, between_v: rest + slope * 0.5, full_v: rest + slope * cut };
            let still = dual_track([FIRST, second]).unwrap().stands_still.unwrap();
            prop_assert_eq!(still.track, 1);
            prop_assert!((still.from - cut).abs() < 1e-9);
        }

        /// Which track is called the first one makes no difference.
        #[test]
        fn the_order_of_tracks_does_not_matter(a in 0.05..0.95_f64, b in 0.05..0.95_f64) {
            let track = |share: f64| Track { rest_v: 0.5, between_v: 0.5 + 4.0 * share, full_v: 4.5 };
            let (one, two) = (dual_track([track(a), track(b)]).unwrap(), dual_track([track(b), track(a)]).unwrap());
            prop_assert!((one.most_apart() - two.most_apart()).abs() < 1e-12);
        }
    }
}
