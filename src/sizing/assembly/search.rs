//! The search for contactors, relays and protective device that suit each other.

use crate::catalogue::Contactor;
use crate::design::Check;
use crate::load::Coordination;
use crate::record::Record;
use crate::sizing::arrangement::RelayPlace;
use crate::sizing::assembly::relays::{RelayWish, Trial};
use crate::sizing::assembly::room::Room;
use crate::sizing::assembly::{
    ChosenContactor, ChosenProtection, ChosenRelay, Decided, Device, contactors, coordination, protection, rating, relays,
};
use crate::sizing::{Pins, terminals};

/// The circuit, and what its devices are chosen from.
pub(super) struct Search<'s, 'a> {
    pub(super) decided: Decided<'s, 'a>,
    pub(super) pins: &'s Pins,
    pub(super) places: &'s [RelayPlace],
    pub(super) demands: &'s [contactors::Demand],
    /// Contactors in the order of preference.
    pub(super) contactors: Vec<&'a Contactor>,
    /// What their terminals must take, once the conductors are known.
    pub(super) room: Option<Room>,
}

/// Devices that were tried together.
pub(super) struct Found<'a> {
    pub(super) contactors: Vec<ChosenContactor<'a>>,
    pub(super) relays: Vec<ChosenRelay<'a>>,
    pub(super) protection: Option<ChosenProtection<'a>>,
    pub(super) coordination: &'static str,
}

/// Contactors larger than the smallest that are tried for a tested combination.
const LARGER_TRIED: usize = 8;

impl<'a> Search<'_, 'a> {
    /// The first devices that suit each other; where none do, the smallest contactors and relays with the preferred protective device.
    pub(super) fn run(&self, demand: &protection::Demand<'_>) -> Found<'a> {
        let candidates = self.protections(demand);
        let first = self.with(candidates.first(), 0, RelayWish::Nothing);
        if self.satisfies(&first) {
            return first;
        }
        // Devices of one rating stand together: another of them comes before larger contactors, and these before another rating.
        let mut of_each_rating = candidates.chunk_by(|one, other| one.rating == other.rating);
        of_each_rating.find_map(|of_one_rating| self.among(of_one_rating)).unwrap_or(first)
    }

    /// Protective devices in the order of preference; the pinned one alone where there is one.
    fn protections(&self, demand: &protection::Demand<'_>) -> Vec<ChosenProtection<'a>> {
        let mut candidates = protection::candidates(self.decided.case, demand, self.decided.tools);
        if let Some(wanted) = &self.pins.protection {
            candidates.retain(|protection| protection.device.part() == wanted);
        }
        if let Some(room) = self.room {
            candidates.retain(|protection| protection.rating == room.rating);
        }
        candidates
    }

    /// The devices that suit the protective devices of one rating, with as small contactors as may be.
    fn among(&self, protections: &[ChosenProtection<'a>]) -> Option<Found<'a>> {
        for larger in 0..LARGER_TRIED {
            for protection in protections {
                let found = self.with(Some(protection), larger, RelayWish::Nothing);
                if self.satisfies(&found) {
                    return Some(found);
                }
                // Another relay that the place admits is nearer at hand than a larger contactor.
                if let Some(found) = self.with_other_relays(protection, larger, &found) {
                    return Some(found);
                }
            }
        }
        None
    }

    /// The wanted co-ordination type is claimed, relays trip within the service limit of their contactors, and the assembly stands the
    /// fault current of the board.
    fn satisfies(&self, found: &Found<'a>) -> bool {
        let case = self.decided.case;
        let coordinated = self.wanted_type().is_none_or(|wanted| coordination::reaches(found.coordination, wanted));
        let whole = found.contactors.iter().all(|contactor| contactor.contactor.is_some());
        let must_pass = |check: &Check| check.name == "service-limit" || relays::told_of_several(case, check);
        let within =
            found.relays.iter().flat_map(|relay| &relay.checks).all(|check| !must_pass(check) || check.passed == Some(true));
        let clamps = self.room.is_none_or(|room| terminals::take(&found.contactors, &found.relays, room.area_mm2));
        coordinated && whole && within && clamps && self.is_rated(found)
    }

    fn is_rated(&self, found: &Found<'a>) -> bool {
        let check = rating::check(&self.decided, found, &mut Record::silent());
        check.is_none_or(|check| check.passed != Some(false))
    }

    /// The type that is wanted of the devices. For several motors no other device gives one.
    fn wanted_type(&self) -> Option<Coordination> {
        self.decided.case.wishes.coordination.filter(|_| self.decided.case.motors == 1)
    }

    /// The same with other relays where it fails by them: with a rating of their own that stands the fault current, where the book rates
    /// assemblies, or with a tested combination of the wanted type.
    fn with_other_relays(&self, protection: &ChosenProtection<'a>, larger: usize, found: &Found<'a>) -> Option<Found<'a>> {
        let weak = !self.is_rated(found);
        let strong = self.decided.point.fault_max.filter(|_| weak).map(|fault| RelayWish::Strong(fault.0 / 1000.0));
        let untested = self.wanted_type().filter(|wanted| !coordination::reaches(found.coordination, *wanted));
        let tested = untested.map(RelayWish::Tested);
        strong.into_iter().chain(tested).find_map(|wish| {
            let found = self.with(Some(protection), larger, wish);
            let complete = found.relays.iter().all(|relay| !relay.separate || relay.relay.is_some());
            (complete && self.satisfies(&found)).then_some(found)
        })
    }

    /// Contactors and relays for a protective device; each contactor by so many ratings larger than the smallest, each relay with
    /// what is wished of it.
    fn with(&self, protection: Option<&ChosenProtection<'a>>, larger: usize, wish: RelayWish) -> Found<'a> {
        let decided = &self.decided;
        let fuse =
            protection.filter(|protection| matches!(protection.device, Device::Fuse(_))).map(|protection| protection.rating);
        let contactors = contactors::choose(decided, self.demands, &self.contactors, self.pins, fuse, larger);
        let trial =
            Trial { contactors: &contactors, protection, wish, area_mm2: self.room.map(|room| room.area_mm2), pins: self.pins };
        let relays = relays::choose(decided, self.places, &trial);
        let coordination = coordination::claimed(decided, protection, &contactors, &relays);
        Found { contactors, relays, protection: protection.cloned(), coordination }
    }
}
