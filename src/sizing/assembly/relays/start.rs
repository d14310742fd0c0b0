//! What flows through a relay while its motor starts, and for how long. Whether it trips goes by that current over the setting of the very
//! relay, whichever current of the motor the rest of the circuit is based on.

use crate::design::Check;
use crate::load::Case;
use crate::quantity::{Amperes, Seconds};
use crate::record::Record;
use crate::rules::{ClassDemand, IncreasedSafetyAsk, RatedCurrents, RuleBook, Topic};
use crate::sizing::arrangement::{Arrangement, RelayPlace};
use crate::sizing::assembly::{ChosenDevice, base_current};
use crate::sizing::judge::at_most;

/// A relay while the motor starts.
#[derive(Clone, Copy, Debug)]
pub struct Starting {
    /// Current through it, at reduced voltage where the method reduces it.
    pub current: Amperes,
    /// The same at full voltage, where the motor stands still.
    pub at_full_voltage: Amperes,
    /// Starting current of the motor over the rated current that its nameplate or else the circuit says.
    pub ratio: f64,
    /// Time for which the start heats it as that current does.
    pub time: Seconds,
}

impl Starting {
    /// The start as the relay of a place sees it.
    #[must_use]
    pub fn at(place: RelayPlace, case: &Case, currents: &RatedCurrents, devices: &[ChosenDevice<'_>]) -> Self {
        let (start, arrangement) = (&case.start, Arrangement::of(case.start.method));
        let rated = base_current(place.base, case, currents, devices) * place.share.factor(start);
        Self {
            current: rated * arrangement.relay_multiple(start),
            at_full_voltage: rated * start.ratio.value,
            ratio: start.ratio.value * currents.full_load.0 / currents.overload.0,
            time: Seconds(arrangement.heating_time(start)),
        }
    }

    /// Current while the motor starts over a setting.
    #[must_use]
    pub fn multiple(&self, setting: Amperes) -> f64 {
        self.current.0 / setting.0
    }

    /// What time tE asks of a class at a setting, by the current of the motor that stands still over that setting.
    pub fn within_te(&self, class: &str, setting: Amperes, te: Seconds, book: &dyn RuleBook, record: &mut Record) -> Check {
        let ask = IncreasedSafetyAsk { class, starting: self.at_full_voltage, setting, ratio: self.ratio, te };
        let demand = book.increased_safety(&ask, record);
        at_most("trip-within-te", demand.need.0, demand.allowed.0, "s", book.clause(Topic::IncreasedSafety))
    }

    /// What the start asks of a class at a setting.
    pub fn demand(&self, class: &str, setting: Amperes, book: &dyn RuleBook, record: Option<&mut Record>) -> ClassDemand {
        book.class_demand(class, self.multiple(setting), self.time, record)
    }

    /// A relay of the class lets the motor start at the setting.
    #[must_use]
    pub fn passes(&self, class: &str, setting: Amperes, book: &dyn RuleBook) -> bool {
        let demand = self.demand(class, setting, book, None);
        demand.need.fits(demand.allowed)
    }

    /// The same as a check.
    #[must_use]
    pub fn check(&self, class: &str, setting: Amperes, book: &dyn RuleBook) -> Check {
        let demand = self.demand(class, setting, book, None);
        at_most("trip-class-at-start", demand.need.0, demand.allowed.0, "s", book.clause(Topic::TripClass))
    }
}
