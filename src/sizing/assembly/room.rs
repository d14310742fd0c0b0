//! Room at the terminals of a starter: where its relay or contactor does not take the outgoing conductor, a larger frame that does stands
//! in its place, behind a protective device of the same rating, so that the conductor stays as it is.

use std::collections::BTreeSet;

use crate::design::Run;
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::quantity::Amperes;
use crate::record::Record;
use crate::rules::physics::devices::device_figure;
use crate::sizing::assembly::Assembly;
use crate::sizing::{Tools, terminals};

/// What governed a contactor that is larger for its terminals.
const BY_TERMINALS: &str = "terminals";

/// What the terminals of a starter must take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// The thickest outgoing conductor, mm².
    pub area_mm2: f64,
    /// Rating of the protective device, by which that conductor was chosen.
    pub rating: Amperes,
}

impl Room {
    /// The room that an assembly lacks for its runs; none where it has it.
    pub(in crate::sizing) fn lacking(assembly: &Assembly<'_>, runs: &[Run], tools: &Tools<'_>) -> Option<Self> {
        let rating = assembly.protection.as_ref()?.rating;
        terminals::too_thick(assembly, runs, tools).map(|area_mm2| Self { area_mm2, rating })
    }

    /// The assembly has the room, with everything that the smaller one had: a contactor for each role, a relay for each place, the type of
    /// co-ordination, a protective device of the same kind. Beyond a multiple of the rating a box or lugs are nearer at hand than a
    /// contactor.
    pub(in crate::sizing) fn found(self, smaller: &Assembly<'_>, larger: &Assembly<'_>, runs: &[Run], tools: &Tools<'_>) -> bool {
        let kind = |assembly: &Assembly<'_>| assembly.protection.as_ref().map(|protection| protection.device.kind().to_owned());
        let devices = |assembly: &Assembly<'_>| {
            let contactors = assembly.contactors.iter().filter(|chosen| chosen.contactor.is_some()).count();
            let relays = assembly.relays.iter().filter(|chosen| chosen.relay.is_some() || !chosen.separate).count();
            (contactors, relays)
        };
        let most = device_figure("terminals-larger-most");
        let mut pairs = smaller.contactors.iter().zip(&larger.contactors);
        devices(smaller) == devices(larger)
            && smaller.coordination == larger.coordination
            && pairs.all(|(before, now)| now.rated.fits(before.rated * most))
            && larger.protection.as_ref().is_some_and(|protection| protection.rating == self.rating)
            && kind(smaller) == kind(larger)
            && terminals::too_thick(larger, runs, tools).is_none()
    }

    /// Says which devices gave way, and why; the protective device too, where another is tested with the larger contactor.
    pub(in crate::sizing) fn say(
        self,
        case: &Case,
        smaller: &Assembly<'_>,
        larger: &mut Assembly<'_>,
        tools: &Tools<'_>,
        record: &mut Record,
    ) {
        let mut given_way: Vec<(String, String)> = Vec::new();
        for (before, now) in smaller.contactors.iter().zip(&mut larger.contactors) {
            if let Some((small, large)) = before.contactor.zip(now.contactor).filter(|(small, large)| small.part != large.part) {
                given_way.push((small.part.clone(), large.part.clone()));
                BY_TERMINALS.clone_into(&mut now.governed_by);
            }
        }
        let relays = smaller.relays.iter().zip(&larger.relays).filter_map(|(before, now)| before.relay.zip(now.relay));
        given_way.extend(relays.filter(|(small, large)| small.part != large.part).map(|(s, l)| (s.part.clone(), l.part.clone())));
        let mut told = BTreeSet::new();
        given_way.retain(|pair| told.insert(pair.clone()));
        let devices: Vec<String> = given_way.iter().map(|(small, large)| format!("{large} in place of {small}")).collect();
        let protections = smaller.protection.as_ref().zip(larger.protection.as_ref());
        let protections = protections.map(|(before, now)| (before.device.part(), now.device.part())).filter(|(s, l)| s != l);
        let beside = protections.map(|(small, large)| format!(", behind {large} in place of {small}")).unwrap_or_default();
        let size = tools.book.size_text(self.area_mm2).replace("mm2", "mm²");
        record.find(
            Finding::new(
                &codes::C221_LARGER_FOR_TERMINALS,
                format!("{} for terminals that take {size}{beside}", devices.join(", ")),
            )
            .at(case.place.clone())
            .why("the terminals of the smaller devices do not take the conductor that leaves the starter")
            .cure("with terminal extensions or lugs that their maker lists for it, the smaller devices would do")
            .reference("catalogue: clamping range"),
        );
    }
}
