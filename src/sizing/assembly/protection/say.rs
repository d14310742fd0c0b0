//! Says what a person should know of the chosen protective device.

use crate::design::Check;
use crate::finding::{Finding, codes};
use crate::load::{Case, EfficiencyClass, LoadKind, Method, Origin, ProtectionKind};
use crate::quantity::{Amperes, round_to};
use crate::record::Record;
use crate::rules::units::Units;
use crate::rules::words;
use crate::rules::{DeviceAsk, DevicePlace, DeviceSort, Topic};
use crate::sizing::Tools;
use crate::sizing::assembly::nearest_words;
use crate::sizing::assembly::protection::{ChosenProtection, Demand, Device, kinds, nearest_refused};

/// Says where the kind is not the wanted one, what the book says of the device, and where it may trip while the load starts.
pub fn say(case: &Case, demand: &Demand<'_>, chosen: Option<&ChosenProtection<'_>>, tools: &Tools<'_>, record: &mut Record) {
    let Some(chosen) = chosen else { return };
    let choice = Choice { case, demand, chosen, tools, units: Units::of(tools.book.key()) };
    let findings = [choice.no_motor_breaker(), choice.other_kind()].into_iter().flatten().chain(choice.of_book());
    let at_start = [choice.beyond_first_place(), choice.start_unknown(), choice.trips_at_first_peak()];
    for finding in findings.chain(at_start.into_iter().flatten()) {
        record.find(finding.at(case.place.clone()));
    }
}

/// A chosen device with what it was chosen for.
struct Choice<'s> {
    case: &'s Case,
    demand: &'s Demand<'s>,
    chosen: &'s ChosenProtection<'s>,
    tools: &'s Tools<'s>,
    units: Units,
}

impl Choice<'_> {
    /// A motor-protective circuit-breaker was wanted, and none protects this load.
    fn no_motor_breaker(&self) -> Option<Finding> {
        let wanted = self.case.wishes.protection;
        let kind = self.chosen.device.kind();
        if wanted.value != ProtectionKind::MotorBreaker {
            return None;
        }
        let breaker = words::full(self.units, wanted.value.word());
        if self.case.motors > 1 {
            let code = match wanted.origin {
                // The book's own preference is nobody's wish.
                Origin::Default => return None,
                Origin::Cell => &codes::C207_OTHER_KIND,
                _ => &codes::C209_OTHER_KIND_NOTE,
            };
            let motors = self.case.motors;
            let what = format!(
                "wanted: {breaker}; set to the current of {motors} motors it protects none of them; chosen: {}",
                words::full(self.units, kind)
            );
            return Some(
                Finding::new(code, what)
                    .why("one motor may draw several times its current before the sum is reached")
                    .cure("confirm the other kind; or a motor-protective circuit-breaker for each motor, in rows of their own"),
            );
        }
        if !self.demand.ask.starts || kind != "moulded-case" {
            return None;
        }
        let (part, check) = self.nearest_of_wanted_kind()?;
        let what = format!(
            "wanted: {breaker}; of those for this current none in the catalogue holds; chosen: {}",
            words::full(self.units, kind)
        );
        Some(
            Finding::new(&codes::C209_OTHER_KIND_NOTE, what)
                .why(nearest_words(&part, &check, self.tools))
                .cure("confirm it, or add a motor-protective circuit-breaker that holds to the catalogue"),
        )
    }

    /// Another kind than the wanted one was chosen, and the wish does not mean it as well.
    fn other_kind(&self) -> Option<Finding> {
        if self.is_as_meant() {
            return None;
        }
        let wanted = self.case.wishes.protection;
        let words = |key: &str| words::full(self.units, key);
        // An aM fuse-link breaks short circuits alone, so none is even looked for where no relay stands behind it.
        let short_circuits_only = wanted.value == ProtectionKind::Am && !self.demand.ask.starts;
        let is_rated = kinds(self.case, self.tools).contains(&wanted.value);
        let reason = match (short_circuits_only, is_rated) {
            (true, _) => "it protects against short circuits alone",
            (_, false) => "as it is covered here, the rule book rates none for this load and its start",
            _ => "none in the catalogue holds",
        };
        let what = format!("wanted: {}; {reason}; chosen: {}", words(wanted.value.word()), words(self.chosen.device.kind()));
        // A wish of the basis is meant for motors; for other loads another kind is no surprise. Fuses in the place of breakers change the
        // equipment in which they stand.
        let into_fuses = wanted.value == ProtectionKind::InverseTime && self.is_fuse();
        // A kind of the book that it rates for other loads alone is no want of the catalogue, and nobody can decide otherwise.
        let for_others =
            !is_rated && self.tools.book.protection_bounds(wanted.value, &self.demand.ask, &mut Record::silent()).is_some();
        let matters = wanted.origin == Origin::Cell || !for_others && (self.demand.ask.starts || into_fuses);
        let code = if matters { &codes::C207_OTHER_KIND } else { &codes::C209_OTHER_KIND_NOTE };
        let nearest = if short_circuits_only || !is_rated { None } else { self.nearest_of_wanted_kind() };
        let why = nearest.map(|(part, check)| nearest_words(&part, &check, self.tools)).unwrap_or_default();
        Some(Finding::new(code, what).why(why).cure(match (short_circuits_only, is_rated) {
            (true, _) => "confirm the other kind: it protects the cable against overload too",
            (_, false) => "confirm the other kind; nothing that is added to the catalogue changes this",
            _ => "confirm the other kind, or add a device of the wanted kind to the catalogue",
        }))
    }

    /// The chosen kind is what the wish means, or the wish does not mean this load.
    fn is_as_meant(&self) -> bool {
        let wanted = self.case.wishes.protection;
        let kind = self.chosen.device.kind();
        let as_meant = match wanted.value {
            // A moulded-case breaker above the largest motor-protective one, or for a load that is no motor, is what the wish means.
            ProtectionKind::MotorBreaker => {
                self.case.motors > 1 || matches!(kind, "motor-breaker" | "moulded-case" | "circuit-breaker")
            }
            // An inverse-time breaker of a branch circuit is one in a moulded case.
            ProtectionKind::MouldedCase => matches!(kind, "moulded-case" | "circuit-breaker" | "inverse-time"),
            // A basis means motors with it; a row that asks for it means this load.
            ProtectionKind::Am => kind == "aM" || !self.demand.ask.starts && wanted.origin != Origin::Cell,
            other => kind == other.word(),
        };
        let inrush = matches!(self.case.machine.kind, LoadKind::Transformer | LoadKind::Capacitor);
        let not_asked_for = inrush && wanted.origin != Origin::Cell;
        // A marking that admits fuses only leaves no choice.
        let marked = self.case.machine.fuse_only && self.is_fuse();
        as_meant || not_asked_for || marked
    }

    fn is_fuse(&self) -> bool {
        matches!(self.chosen.device, Device::Fuse(_))
    }

    /// The device of the wanted kind that comes nearest, with the check that it fails.
    fn nearest_of_wanted_kind(&self) -> Option<(String, Check)> {
        nearest_refused(self.case.wishes.protection.value, self.case, self.demand, self.tools)
    }

    /// Remarks of the book on such a device in such a place.
    fn of_book(&self) -> Vec<Finding> {
        let machine = &self.case.machine;
        self.tools.book.about_device(&DeviceAsk {
            place: DevicePlace::Branch(machine),
            sort: if self.is_fuse() { DeviceSort::Fuses } else { DeviceSort::Breaker },
            rating: self.chosen.rating,
            // To the neutral of a row with three phases there is more between lines.
            line: machine.voltage.max(self.demand.line),
            three_phase: machine.phases == 3,
            system: self.demand.system.as_deref(),
            earthing: self.demand.earthing.as_deref(),
            rated_voltage: self.chosen.device.rated_voltage(),
        })
    }

    /// The rating is beyond the first place that the book admits.
    fn beyond_first_place(&self) -> Option<Finding> {
        let clause = self.chosen.beyond.clone()?;
        if let Some([carries, most]) = self.chosen.carries_more {
            let drive = self.case.start.method == Method::Drive;
            let what = format!(
                "{} A: {} of {} A is more than a device of the {} A admitted in the first place carries",
                self.chosen.rating.0,
                if drive { "the drive's own rated input" } else { "the current of the circuit" },
                round_to(carries.0, 2),
                round_to(most.0, 2)
            );
            let (cure, of_drives) = if drive {
                (
                    "choose a drive of a smaller rated input, or confirm the rating with the drive's instructions",
                    format!("{}; ", self.tools.book.clause(Topic::InputOfDrive)),
                )
            } else {
                ("confirm with the maker of the equipment that the rating protects it", String::new())
            };
            return Some(
                Finding::new(&codes::C210_BEYOND_FIRST_PLACE, what)
                    .why("that rating follows from the motor's current; it is exceeded for what stands before the motor, not for its start")
                    .cure(cure)
                    .reference(format!("{of_drives}{clause}")),
            );
        }
        if let Some((set, [(first, _), _])) = self.set_within() {
            return Some(self.set_beyond(set, first.0, clause));
        }
        let what = format!("{} A: the motor would not start on the rating admitted in the first place", self.chosen.rating.0);
        Some(
            Finding::new(&codes::C210_BEYOND_FIRST_PLACE, what)
                .why("a larger device is admitted only then")
                .cure("confirm with the motor's starting current and time that the smaller device does not hold")
                .reference(clause),
        )
    }

    /// The setting of an instantaneous trip that the book bounds, with its ceilings: in the first place, and at most.
    fn set_within(&self) -> Option<(f64, [(Amperes, String); 2])> {
        let Device::Branch(breaker) = self.chosen.device else { return None };
        let kind = kinds(self.case, self.tools).into_iter().find(|kind| kind.word() == breaker.kind)?;
        let bounds = self.tools.book.protection_bounds(kind, &self.demand.ask, &mut Record::silent())?;
        Some((self.chosen.magnetic?[0], bounds.magnetic?))
    }

    /// The setting, and not the rating, is beyond the first place: because the motor would not start, or by an evaluation.
    fn set_beyond(&self, set: f64, first: f64, clause: String) -> Finding {
        let setting = format!("setting {} A, above the {} A admitted in the first place", round_to(set, 1), round_to(first, 1));
        if self.case.wishes.evaluated {
            return Finding::new(
                &codes::C226_BY_EVALUATION,
                format!("{setting}: the basis states the engineering evaluation for it"),
            )
            .why("so high a setting is admitted only where the need for it is demonstrated")
            .cure("keep the evaluation with the documents of the design")
            .reference(clause);
        }
        Finding::new(&codes::C210_BEYOND_FIRST_PLACE, format!("{setting}: the motor would not start on that"))
            .why("a higher setting is admitted only then")
            .cure("confirm with the motor's starting current that the lower setting does not hold")
            .reference(clause)
    }

    /// Nobody knows whether the magnetic trip lets the load be switched on, or a fuse the motor in the equipment start.
    fn start_unknown(&self) -> Option<Finding> {
        if self.demand.start_known {
            return None;
        }
        let unknown = "what the load draws when it is switched on is unknown";
        let fuse = matches!(self.chosen.device, Device::Fuse(_)) && self.case.machine.kind == LoadKind::Motor;
        let (what, cure) = match self.chosen.magnetic {
            Some([_, lower, _]) => (
                format!("{unknown}: the {} may trip from {} A", self.units.pick("release", "breaker"), round_to(lower, 1)),
                "compare it with the equipment's inrush; where that is larger, a higher trip or a fuse",
            ),
            None if fuse => (
                format!(
                    "{unknown}: a fuse of {} A is chosen for what it draws while it runs, and may melt at its start",
                    self.chosen.rating.0
                ),
                "compare it with the start of the motor in the equipment; a motor that is started direct needs a larger one",
            ),
            None => return None,
        };
        Some(Finding::new(&codes::C217_START_UNKNOWN, what).cure(cure))
    }

    /// The setting of an instantaneous trip beside the one that would ride through, and the most that the book admits.
    fn room_to_set(&self) -> Option<String> {
        let (set, [_, (most, clause)]) = self.set_within()?;
        let tolerance = self.chosen.trip?.tolerance_pct / 100.0;
        let wanted = self.demand.peak(self.tools)?.0 / (1.0 - tolerance);
        Some(format!(
            "; it is set to {} A, {} A would ride through, {clause} ends at {} A",
            round_to(set, 1),
            round_to(wanted, 1),
            round_to(most.0, 1)
        ))
    }

    /// The magnetic trip may take the first half-cycle of the start for a short circuit.
    fn trips_at_first_peak(&self) -> Option<Finding> {
        if self.chosen.rides_peak {
            return None;
        }
        if self.case.machine.phases == 1 && !self.case.start.ratio.is_stated() {
            return Some(self.peak_not_judged());
        }
        let peak = self.demand.peak(self.tools).map_or(0.0, |peak| peak.0 * 2f64.sqrt());
        let low = self.chosen.magnetic.map_or(0.0, |limits| limits[1] * 2f64.sqrt());
        // Figures that would read alike are told more finely.
        let decimals = u32::from(round_to(peak, 0) <= round_to(low, 0));
        let what = format!(
            "the first half-cycle of the start may reach {} A peak; the {} may trip from {} A peak",
            round_to(peak, decimals),
            self.units.pick("release", "breaker"),
            round_to(low, decimals)
        );
        let efficient = self.case.machine.class.is_some_and(|class| class >= EfficiencyClass::Ie3);
        let why = match (efficient, self.units) {
            (false, _) => "",
            (true, Units::Metric) => "motors of class IE3 and better draw a higher first peak",
            (true, Units::Customary) => "premium-efficiency motors draw a higher first peak",
        };
        let clause = self.tools.book.clause(Topic::InrushPeak);
        let finding =
            Finding::new(&codes::C208_INRUSH_PEAK, format!("{what}{}", self.room_to_set().unwrap_or_default())).why(why);
        let cure = if self.set_within().is_some() {
            "a fuse with overload relay, a higher instantaneous setting as far as the clause admits, by an engineering evaluation (instantaneous_evaluated in [design]), or the maker's word that it rides through"
        } else {
            self.units.pick(
                "a fuse with overload relay, a higher magnetic trip, or the maker's word that it rides through",
                "a fuse with overload relay, a higher instantaneous setting, or the maker's word that it rides through",
            )
        };
        Some(finding.cure(cure).reference(clause))
    }

    /// What a table assumes of three-phase motors says nothing of a single-phase motor of a circulator or of a small fan.
    fn peak_not_judged(&self) -> Finding {
        let low = self.chosen.magnetic.map_or(0.0, |limits| limits[1]);
        let what = format!(
            "nothing states what the single-phase motor draws at the start: the {} may trip from {} A",
            self.units.pick("release", "breaker"),
            round_to(low, 1)
        );
        Finding::new(&codes::C234_PEAK_NOT_JUDGED, what)
            .why("wet-rotor and shaded-pole motors draw little more than their rated current, capacitor motors several times it")
            .cure("state locked_rotor_ratio or locked_rotor_current_a where the motor is of the larger kind")
    }
}
