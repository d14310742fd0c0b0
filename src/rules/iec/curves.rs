//! Acting times that IEC standards publish: trip classes, gates of fuse-links, conventional currents, adiabatic withstand.

use crate::load::Material;
use crate::quantity::{Amperes, Seconds, SquareMillimetres};
use crate::rules::curves::{ActingLimits, ClassAsk, ClassLimits, ClassMark, CurvePoint, CurveRules, at};
use crate::rules::iec::capacity::Insulation;
use crate::rules::iec::{Iec, conductor, overload, protection};
use crate::rules::physics::tripping::{self, TripClass};

const SECONDS_AN_HOUR: f64 = 3600.0;

impl CurveRules for Iec {
    fn class_limits(&self, ask: &ClassAsk<'_>) -> Option<ClassLimits> {
        let row = overload::class_row(TripClass::parse(ask.class)?)?;
        let ends = overload::limits("electronic")?;
        let hours = Seconds(overload::practice("conventional-time-h") * SECONDS_AN_HOUR);
        let warm = ClassMark { multiple: overload::practice("warm-multiple"), least: None, most: Seconds(row.warm_1_5x_s) };
        let least = (row.least_s > 0.0).then_some(Seconds(row.least_s));
        let cold = ClassMark { multiple: tripping::class_anchor(), least, most: Seconds(row.most_s) };
        Some(ClassLimits {
            ultimate: Some((ends.no_trip_x, ends.trip_x, hours)),
            marks: vec![warm, cold],
            source: "IEC 60947-4-1, Tables 2 and 3",
        })
    }

    fn fuse_limits(&self, kind: &str, rating: Amperes) -> Option<ActingLimits> {
        match kind {
            "gG" => gg(rating),
            "aM" => Some(am(rating)),
            _ => None,
        }
    }

    fn breaker_limits(&self, kind: &str, rating: Amperes) -> Option<ActingLimits> {
        let time = protection::conventional_breaker_time(rating).0;
        match kind {
            "circuit-breaker" => {
                // The conventional currents are those of every type of IEC 60898-1.
                let (carries, trips) = protection::line_breaker_conventional("C")?;
                let (multiple, least, most) = protection::line_breaker_middle(rating);
                Some(ActingLimits {
                    carries: vec![at(carries * rating.0, time), at(multiple * rating.0, least.0)],
                    acts: vec![at(trips * rating.0, time), at(multiple * rating.0, most.0)],
                    source: "IEC 60898-1, Table 7",
                })
            }
            "moulded-case" => {
                let (carries, trips) = protection::industrial_breaker_conventional();
                Some(ActingLimits {
                    carries: vec![at(carries * rating.0, time)],
                    acts: vec![at(trips * rating.0, time)],
                    source: "IEC 60947-2, 8.3.3.1.2",
                })
            }
            _ => None,
        }
    }

    fn withstand_factor(&self, insulation: &str, material: Material, size: SquareMillimetres) -> Option<(f64, &'static str)> {
        let k = conductor::k_live(Insulation::parse(insulation)?, material, size.0);
        (k > 0.0).then_some((k, "IEC 60364-4-43, 434.5.2"))
    }

    fn withstand_longest(&self) -> Seconds {
        Seconds(conductor::physics("adiabatic-most-s"))
    }
}

/// Gates and conventional currents. Between the gate of 10 s and the conventional current a link is only known to carry what
/// constant I²t gives, as it is held against starts. None beside the ratings that are tabulated.
fn gg(rating: Amperes) -> Option<ActingLimits> {
    let row = protection::gg_gates(rating)?;
    let ends = protection::conventional_gg(rating)?;
    let (carries, acts) = (ends.non_fusing_x * rating.0, ends.fusing_x * rating.0);
    let time = ends.time_h * SECONDS_AN_HOUR;
    let joined = 10.0 * (row.i_min_10s_a / carries) * (row.i_min_10s_a / carries);
    let mut limits = ActingLimits {
        carries: vec![at(carries, time), at(carries, joined), at(row.i_min_10s_a, 10.0), at(row.i_min_0_1s_a, 0.1)],
        acts: vec![at(acts, time), at(row.i_max_5s_a, 5.0), at(row.i_max_0_1s_a, 0.1)],
        source: "IEC 60269-1, Tables 2, 3 and 7",
    };
    if let Some((least, most)) = protection::gg_joule_integral(rating) {
        let short = 0.01;
        let current = |energy: f64| (energy / short).sqrt();
        limits.carries.push(at(current(least.0), short));
        // It melts within that time; the arc lasts some milliseconds more.
        limits.acts.push(at(current(most.0), short));
    }
    Some(limits)
}

/// Gates of links that protect from short circuit only: nothing is published beyond a minute.
fn am(rating: Amperes) -> ActingLimits {
    let of = |limit: &str| -> Vec<CurvePoint> {
        let am_gate = protection::am_gates().iter().filter(|row| row.limit == limit);
        am_gate.map(|row| at(row.multiple * rating.0, row.time_s)).collect()
    };
    ActingLimits { carries: of("holds"), acts: of("operates"), source: "IEC 60269-1, Table 4" }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::fits;

    #[test]
    fn sides_of_a_band_do_not_cross() {
        let ratings: Vec<Amperes> = protection::fuse_ratings().collect();
        let mut seen = 0;
        for rating in ratings {
            for limits in ["gG", "aM"].iter().filter_map(|kind| Iec.fuse_limits(kind, rating)) {
                for side in [&limits.carries, &limits.acts] {
                    assert!(
                        side.windows(2).all(|w| w[0].time.0 >= w[1].time.0 && fits(w[0].current.0, w[1].current.0)),
                        "{side:?}"
                    );
                }
                for (a, b) in limits.carries.iter().flat_map(|a| limits.acts.iter().map(move |b| (a, b))) {
                    assert!(a.time.0 < b.time.0 || a.current.0 < b.current.0, "{rating:?}: {a:?} {b:?}");
                }
                seen += 1;
            }
        }
        assert!(seen > 40, "{seen}");
    }

    #[test]
    fn what_nobody_publishes_is_not_there() {
        assert_eq!(Iec.fuse_limits("class-J", Amperes(30.0)), None);
        assert_eq!(Iec.fuse_limits("gG", Amperes(35.0)), None);
        assert_eq!(Iec.breaker_limits("inverse-time", Amperes(30.0)), None);
        assert_eq!(Iec.class_limits(&ClassAsk { class: "15", ultimate_trip: None }), None);
        assert_eq!(Iec.withstand_factor("paper", Material::Copper, SquareMillimetres(10.0)), None);
    }
}
