//! Where the contacts of one contactor sit: on built-in contacts, then on blocks at its front and sides.
//!
//! The search is exact: all sets of blocks that the frame takes are tried, fewest parts first, then fewest contacts too many, then
//! by part number. Frames have few places, so there are few sets.

use super::needs::{Kind, Need};
use crate::catalogue::AccessoryPart;
use crate::load::ContactLevel;

/// A contact that is there.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Contact {
    /// Normally open or closed.
    pub(super) kind: Kind,
    /// It switches electronic levels.
    pub(super) low_level: bool,
    /// It is a mirror contact.
    pub(super) mirror: bool,
    /// It opens before the main contacts.
    pub(super) early: bool,
    /// Voltages that it switches.
    pub(super) band: (f64, f64),
    /// It belongs to a mechanical interlock and serves that alone.
    pub(super) of_interlock: bool,
    /// `built-in`, or the part that brings it.
    pub(super) place: String,
}

impl Contact {
    /// Serves a need. Contacts for electronic levels and those that open early are kept for what asks for them; what is built in may
    /// declare both levels.
    fn serves(&self, need: &Need) -> bool {
        let level = if need.level == ContactLevel::Logic {
            self.low_level
        } else {
            (!self.low_level || self.place == BUILT_IN) && self.band.0 <= need.volts && need.volts <= self.band.1
        };
        self.kind == need.kind
            && level
            && (self.mirror || !need.mirror)
            && self.early == need.early
            && (!self.of_interlock || need.of_interlock)
    }
}

/// Place of a contact that the contactor has by itself.
pub(super) const BUILT_IN: &str = "built-in";

/// Contacts that a contactor takes.
#[derive(Clone, Debug)]
pub(super) struct Room {
    /// Contacts that are there without a block.
    pub(super) there: Vec<Contact>,
    /// Contacts that may be added in all.
    pub(super) most: u32,
    /// Contacts that the front takes; 0 where it is taken or there is none.
    pub(super) front: u32,
    /// Free side positions.
    pub(super) sides: u32,
    /// Contacts that each takes.
    pub(super) a_side: u32,
    /// Normally closed contacts at most, those that are there included.
    pub(super) closed_most: Option<u32>,
}

/// Where everything sits.
#[derive(Clone, Debug, Default)]
pub(super) struct Placement<'a> {
    /// Blocks, front first.
    pub(super) blocks: Vec<&'a AccessoryPart>,
    /// For each need the contact that serves it; none if there is no room for it.
    pub(super) served: Vec<Option<Contact>>,
}

impl Placement<'_> {
    /// How many needs are served.
    pub(super) fn count(&self) -> usize {
        self.served.iter().flatten().count()
    }
}

/// Side positions that are looked at: no frame of the trade has more.
const SIDES_AT_MOST: u32 = 4;

impl Room {
    /// Contacts in all for which there is room.
    pub(super) fn capacity(&self) -> u32 {
        let built_in = u32::try_from(self.there.len()).unwrap_or(u32::MAX);
        built_in.saturating_add(self.most.min(self.front + self.sides.saturating_mul(self.a_side)))
    }

    /// Places as many needs as there is room for; the earlier of the list come first.
    pub(super) fn place<'a>(&self, needs: &[&Need], blocks: &[&'a AccessoryPart]) -> Placement<'a> {
        let useful = self.useful(needs, blocks);
        if let Some(whole) = self.all(needs, &useful) {
            return whole;
        }
        let mut taken: Vec<usize> = Vec::new();
        let mut best = Placement::default();
        let mut refused: Vec<&Need> = Vec::new();
        for (at, need) in needs.iter().enumerate() {
            // A need that was refused once is refused again: room only shrinks.
            if refused.contains(need) {
                continue;
            }
            let tried: Vec<&Need> = taken.iter().chain([&at]).map(|at| needs[*at]).collect();
            match self.all(&tried, &useful) {
                Some(found) => {
                    taken.push(at);
                    best = found;
                }
                None => refused.push(need),
            }
        }
        let mut served = vec![None; needs.len()];
        for (at, contact) in taken.into_iter().zip(best.served) {
            served[at] = contact;
        }
        Placement { blocks: best.blocks, served }
    }

    /// Blocks that serve something here, one of each make.
    fn useful<'a>(&self, needs: &[&Need], blocks: &[&'a AccessoryPart]) -> Vec<&'a AccessoryPart> {
        let mut found: Vec<&AccessoryPart> = Vec::new();
        let mut sorted: Vec<&'a AccessoryPart> = blocks.to_vec();
        sorted.sort_by(|a, b| a.part.cmp(&b.part));
        for block in sorted {
            let contacts = block.no + block.nc;
            let fits = match block.position.as_str() {
                "front" => contacts <= self.front,
                "side" => self.sides > 0 && contacts <= self.a_side,
                _ => false,
            };
            let serves = contacts_of(block).iter().any(|contact| needs.iter().any(|need| contact.serves(need)));
            if fits && contacts <= self.most && serves && !found.iter().any(|known| alike(known, block)) {
                found.push(block);
            }
        }
        found
    }

    /// The best set of blocks with which all needs are served.
    fn all<'a>(&self, needs: &[&Need], blocks: &[&'a AccessoryPart]) -> Option<Placement<'a>> {
        if needs.len() > self.capacity() as usize {
            return None;
        }
        let fronts: Vec<&AccessoryPart> = blocks.iter().copied().filter(|accessory| accessory.position == "front").collect();
        let sides: Vec<&AccessoryPart> = blocks.iter().copied().filter(|accessory| accessory.position == "side").collect();
        let most_sides = self.sides.min(SIDES_AT_MOST) as usize;
        for parts in 0..=most_sides + 1 {
            let mut sets: Vec<Vec<&'a AccessoryPart>> = Vec::new();
            if parts <= most_sides {
                sets.extend(selections(&sides, parts));
            }
            if let Some(beside) = parts.checked_sub(1).filter(|beside| *beside <= most_sides) {
                let with_front = |front: &&'a AccessoryPart| {
                    let front = *front;
                    selections(&sides, beside).into_iter().map(move |selection| [vec![front], selection].concat())
                };
                sets.extend(fronts.iter().flat_map(with_front));
            }
            // Fewest contacts too many, then the part numbers.
            let contacts = |set: &[&AccessoryPart]| set.iter().map(|accessory| accessory.no + accessory.nc).sum::<u32>();
            let numbers = |set: &[&'a AccessoryPart]| set.iter().map(|accessory| accessory.part.as_str()).collect::<Vec<_>>();
            sets.sort_by(|a, b| contacts(a).cmp(&contacts(b)).then_with(|| numbers(a).cmp(&numbers(b))));
            for set in sets {
                if let Some(served) = self.serve(needs, &set) {
                    return Some(Placement { blocks: set, served });
                }
            }
        }
        None
    }

    /// Every need gets a contact of its own, if the set is admitted and there are enough.
    fn serve(&self, needs: &[&Need], set: &[&AccessoryPart]) -> Option<Vec<Option<Contact>>> {
        let added: u32 = set.iter().map(|accessory| accessory.no + accessory.nc).sum();
        if added > self.most {
            return None;
        }
        let mut contacts = self.there.clone();
        contacts.extend(set.iter().flat_map(|accessory| contacts_of(accessory)));
        let closed = contacts.iter().filter(|contact| contact.kind == Kind::Closed).count();
        if self.closed_most.is_some_and(|most| closed > most as usize && !set.is_empty()) {
            return None;
        }
        let matched = matching(needs, &contacts)?;
        Some(matched.into_iter().map(|at| Some(contacts[at].clone())).collect())
    }
}

/// Two blocks that no need tells apart.
fn alike(a: &AccessoryPart, b: &AccessoryPart) -> bool {
    let kind_and_contacts = |accessory: &AccessoryPart| {
        (accessory.no, accessory.nc, accessory.low_level, accessory.mirror, accessory.early_break.unwrap_or(false))
    };
    a.position == b.position
        && kind_and_contacts(a) == kind_and_contacts(b)
        && a.min_voltage_v == b.min_voltage_v
        && a.max_voltage_v == b.max_voltage_v
}

/// The contacts that a block brings.
fn contacts_of(block: &AccessoryPart) -> Vec<Contact> {
    let contact = |kind: Kind, mirror: bool, early: bool| Contact {
        kind,
        low_level: block.low_level,
        mirror,
        early,
        band: (block.min_voltage_v.unwrap_or(0.0), block.max_voltage_v.unwrap_or(f64::INFINITY)),
        of_interlock: false,
        place: block.part.clone(),
    };
    let open = (0..block.no).map(|_| contact(Kind::Open, false, block.early_break.unwrap_or(false)));
    let closed = (0..block.nc).map(|_| contact(Kind::Closed, block.mirror, false));
    open.chain(closed).collect()
}

/// Selections of so many of a list, repetition allowed, in its order.
fn selections<'a>(list: &[&'a AccessoryPart], count: usize) -> Vec<Vec<&'a AccessoryPart>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    let mut found = Vec::new();
    for (at, first) in list.iter().enumerate() {
        for mut rest in selections(&list[at..], count - 1) {
            rest.insert(0, first);
            found.push(rest);
        }
    }
    found
}

/// A contact for every need, each once; none if there is no such assignment (augmenting paths).
fn matching(needs: &[&Need], contacts: &[Contact]) -> Option<Vec<usize>> {
    let mut holder: Vec<Option<usize>> = vec![None; contacts.len()];
    for need in 0..needs.len() {
        let mut seen = vec![false; contacts.len()];
        if !augment(need, needs, contacts, &mut holder, &mut seen) {
            return None;
        }
    }
    let mut found = vec![0; needs.len()];
    for (contact, need) in holder.iter().enumerate() {
        if let Some(need) = need {
            found[*need] = contact;
        }
    }
    Some(found)
}

fn augment(need: usize, needs: &[&Need], contacts: &[Contact], holder: &mut [Option<usize>], seen: &mut [bool]) -> bool {
    // A contact that is free before one that another need must leave, so that the earlier needs keep the nearest ones.
    let serves = |at: &usize| contacts[*at].serves(needs[need]);
    if let Some(free) = (0..contacts.len()).filter(serves).find(|at| holder[*at].is_none()) {
        holder[free] = Some(need);
        return true;
    }
    for at in 0..contacts.len() {
        if seen[at] || !contacts[at].serves(needs[need]) {
            continue;
        }
        seen[at] = true;
        let free = match holder[at] {
            None => true,
            Some(other) => augment(other, needs, contacts, holder, seen),
        };
        if free {
            holder[at] = Some(need);
            return true;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn need(kind: Kind, level: ContactLevel, mirror: bool) -> Need {
        Need { role: "main", function: "asked for", kind, level, volts: 24.0, mirror, early: false, of_interlock: false }
    }

    fn block(part: String, position: &str, no: u32, nc: u32, low_level: bool, mirror: bool) -> AccessoryPart {
        AccessoryPart {
            part,
            description: String::new(),
            kind: "auxiliary-block".to_owned(),
            fits_frames: "1".to_owned(),
            fits_breaker_frames: String::new(),
            position: position.to_owned(),
            no,
            nc,
            low_level,
            mirror,
            variant: String::new(),
            min_voltage_v: None,
            max_voltage_v: None,
            ac: true,
            dc: true,
            factor: None,
            poles: None,
            width_mm: 0.0,
            price: None,
            set_min_s: None,
            set_max_s: None,
            pause_ms: None,
            current_a: None,
            ways: None,
            early_break: None,
        }
    }

    /// Every need finds a contact, tried one after the other in every way.
    fn any_way(needs: &[&Need], contacts: &[Contact], used: &mut Vec<bool>) -> bool {
        let Some((first, rest)) = needs.split_first() else { return true };
        (0..contacts.len()).any(|at| {
            if used[at] || !contacts[at].serves(first) {
                return false;
            }
            used[at] = true;
            let whole = any_way(rest, contacts, used);
            used[at] = false;
            whole
        })
    }

    /// The fewest blocks with which it can be done, by trying every set of each size.
    fn fewest(room: &Room, needs: &[&Need], blocks: &[&AccessoryPart]) -> Option<usize> {
        let fits = |accessory: &&AccessoryPart| {
            accessory.no + accessory.nc <= if accessory.position == "front" { room.front } else { room.a_side }
        };
        let fitting: Vec<&AccessoryPart> = blocks.iter().copied().filter(fits).collect();
        (0..=1 + room.sides as usize).find(|count| {
            selections(&fitting, *count).iter().any(|set| {
                let fronts = set.iter().filter(|accessory| accessory.position == "front").count();
                let mut contacts = room.there.clone();
                contacts.extend(set.iter().flat_map(|accessory| contacts_of(accessory)));
                let closed = contacts.iter().filter(|contact| contact.kind == Kind::Closed).count();
                let added: u32 = set.iter().map(|accessory| accessory.no + accessory.nc).sum();
                fronts <= 1
                    && set.len() - fronts <= room.sides as usize
                    && added <= room.most
                    && room.closed_most.is_none_or(|most| set.is_empty() || closed <= most as usize)
                    && any_way(needs, &contacts, &mut vec![false; contacts.len()])
            })
        })
    }

    fn kind() -> impl Strategy<Value = Kind> {
        prop_oneof![Just(Kind::Open), Just(Kind::Closed)]
    }

    prop_compose! {
        fn any_block()(front in any::<bool>(), no in 0u32..4, nc in 0u32..3, low in any::<bool>(), mirror in any::<bool>())
            -> (bool, u32, u32, bool, bool) { (front, no, nc, low, mirror) }
    }

    proptest! {
        #[test]
        fn the_search_finds_a_place_wherever_there_is_one_and_no_set_of_fewer_blocks(
            needs in proptest::collection::vec((kind(), any::<bool>(), any::<bool>()), 0..6),
            makes in proptest::collection::vec(any_block(), 0..6),
            most in 0u32..7, front in 0u32..5, sides in 0u32..3, a_side in 1u32..3, closed_most in proptest::option::of(0u32..4),
            built_in in 0usize..3,
        ) {
            let level = |low: bool| if low { ContactLevel::Logic } else { ContactLevel::ExtraLow };
            let needs: Vec<Need> = needs.into_iter().map(|(kind, low, mirror)| need(kind, level(low), mirror && kind == Kind::Closed)).collect();
            let needs: Vec<&Need> = needs.iter().collect();
            let blocks: Vec<AccessoryPart> = makes
                .into_iter()
                .enumerate()
                .filter(|(_, (_, no, nc, ..))| no + nc > 0)
                .map(|(at, (front, no, nc, low, mirror))| block(format!("B{at}"), if front { "front" } else { "side" }, no, nc, low, mirror))
                .collect();
            let blocks: Vec<&AccessoryPart> = blocks.iter().collect();
            let built_in_contact = Contact { kind: Kind::Open, low_level: false, mirror: false, early: false, band: (17.0, 690.0), of_interlock: false, place: BUILT_IN.to_owned() };
            let room = Room { there: vec![built_in_contact; built_in], most, front, sides, a_side, closed_most };
            let placement = room.place(&needs, &blocks);
            match fewest(&room, &needs, &blocks) {
                Some(count) => {
                    prop_assert_eq!(placement.count(), needs.len());
                    prop_assert_eq!(placement.blocks.len(), count);
                }
                None => prop_assert!(placement.count() < needs.len()),
            }
        }
    }
}
