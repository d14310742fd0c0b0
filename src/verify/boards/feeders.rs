//! Feeders: what the rule book asks of conductors and device for what runs behind them, and whether both are parts of the catalogue that
//! hold it.

use crate::basis::BoardBasis;
use crate::design::Run;
use crate::finding::codes;
use crate::load::{Known, Origin, ProtectionKind};
use crate::quantity::{Amperes, Celsius, Impedance, Metres, Ohms, Volts, fits};
use crate::record::Record;
use crate::rules::conductors::{Candidate, DropDemand, FaultDevice, FaultPaths, OverloadDevice, RunDemand, RunPart};
use crate::rules::feeders::{FeederImpedance, FeederItem, FeederTerm, TermAsk};
use crate::rules::physics::drop::Across;
use crate::verify::boards::loads::{Load, spare};
use crate::verify::boards::together::Running;
use crate::verify::boards::tree::Place;
use crate::verify::boards::{Boards, Say, dips, faults, near};
use crate::verify::parts::{Count, add, metres_of, of_run, unnumbered};
use crate::verify::runs::material;
use crate::verify::shelf::Item;

/// Metres of a foot, exactly.
const FOOT: f64 = 0.3048;

/// What runs behind a feeder, at least and at most.
struct Items {
    least: Vec<FeederItem>,
    most: Vec<FeederItem>,
    /// Circuits of a group that rest, each in the place of the smallest that runs: what would run then.
    instead: Vec<Vec<FeederItem>>,
}

pub(super) fn agree(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let place = &all.tree.places[index];
    capacity(all, index, say);
    device(all, place, index, say);
    parts(all, place, say);
    if let Some(run) = Boards::run(place) {
        conductors(all, place, index, run, say);
    }
    drop(all, index, say);
}

impl<'a> Boards<'a> {
    /// The basis says something of a board's feeder, or something before it that it names; others bring what it says nothing of.
    fn described(&self, index: usize) -> bool {
        let place = &self.tree.places[index];
        let of_basis = place.basis.is_some_and(|own| {
            let lengths = [own.feeder_length_m, own.feeder_length_ft, own.feeder_r_ohm, own.feeder_x_ohm];
            let words = [&own.feeder_conductor, &own.feeder_installation, &own.fed_from];
            lengths.iter().any(Option::is_some) || words.iter().any(|own| own.is_some())
        });
        of_basis || self.tree.parent(index).is_some() || place.transformer.is_some()
    }

    fn kind(&self) -> ProtectionKind {
        self.book.feeder_kind(self.basis.design.protection_kind.as_deref().and_then(ProtectionKind::from_word))
    }

    /// What one circuit adds, by the book.
    fn term(&self, load: &Load<'_>) -> FeederTerm {
        let facts = &load.facts;
        let of_row = facts.words("protection_kind").and_then(ProtectionKind::from_word);
        let of_basis = self.basis.design.protection_kind.as_deref().and_then(ProtectionKind::from_word);
        let wish = match (of_row, of_basis) {
            (Some(kind), _) => Known::new(kind, Origin::Cell),
            (None, Some(kind)) => Known::new(kind, Origin::Basis),
            (None, None) => Known::new(self.book.protection_kind(), Origin::Default),
        };
        let currents = facts.rated();
        let of_one = self.book.feeder_term(&TermAsk {
            machine: &facts.machine,
            start: &facts.start,
            currents: &currents,
            line: Amperes(load.line / load.motors),
            starting: Amperes(load.start().unwrap_or(0.0) / load.motors),
            time: facts.start.time.value,
            wish,
            feeder: self.kind(),
        });
        FeederTerm {
            current: of_one.current * load.motors,
            duty_value: of_one.duty_value.map(|own| own * load.motors),
            starting: of_one.starting * load.motors,
            ..of_one
        }
    }

    /// A term at the voltage of a feeder, where transformers stand between.
    fn referred(&self, circuit: usize, upto: usize) -> FeederTerm {
        let Some((load, own)) = self.load(circuit).zip(self.board_of[circuit]) else { return FeederTerm::default() };
        let way = self.tree.way(own);
        let end = way.iter().position(|board| *board == upto).unwrap_or(0);
        let step = |pair: &[usize]| {
            let (behind, before) = (&self.tree.places[pair[0]], &self.tree.places[pair[1]]);
            if behind.transformer.is_some() { behind.board.voltage_v / before.board.voltage_v } else { 1.0 }
        };
        let ratio: f64 = way[..=end].windows(2).map(step).product();
        let term = self.term(load);
        let of = |own: Option<Amperes>| own.map(|own| own * ratio);
        FeederTerm {
            current: term.current * ratio,
            duty_value: of(term.duty_value),
            starting: term.starting * ratio,
            branch: of(term.branch),
            as_feeder: of(term.as_feeder),
            ..term
        }
    }

    fn items(&self, index: usize, circuits: &[usize]) -> Items {
        let terms: Vec<FeederTerm> = circuits.iter().map(|row| self.referred(*row, index)).collect();
        let at = |row: usize| circuits.binary_search(&row).ok();
        let value = |row: usize| at(row).map_or(0.0, |at| self.book.feeder_value(&terms[at]).0);
        let running = self.restrictions.running(circuits, &value);
        let there: Vec<FeederItem> = self.there(index);
        let single = |row: usize| self.load(row).is_some_and(Load::single);
        let of = |wanted: &dyn Fn(usize) -> u32| -> Vec<FeederItem> {
            let item = |(row, term): (&usize, &FeederTerm)| FeederItem { term: *term, running: wanted(*row), displaces: None };
            circuits.iter().zip(&terms).map(item).filter(|own| own.running > 0).chain(there.iter().copied()).collect()
        };
        let number = |row: usize, of: &[(usize, u32)]| of.iter().filter(|own| own.0 == row).map(|own| own.1).sum::<u32>();
        // On which phases single-phase loads stand is left open: at least none of them is on the fullest.
        let sure = |row: usize| if single(row) { 0 } else { number(row, &running.sure) };
        let may = |row: usize| number(row, &running.sure) + number(row, &running.perhaps);
        let instead = swaps(&running, &value);
        let instead = instead
            .into_iter()
            .map(|(rests, runs)| of(&|row| may(row) + u32::from(row == runs) - u32::from(row == rests && may(row) > 0)));
        Items { least: of(&sure), most: of(&may), instead: instead.collect() }
    }

    /// What is there already on the boards behind a feeder, which nobody says more of: as if it lasted.
    fn there(&self, index: usize) -> Vec<FeederItem> {
        let of = |board: usize| {
            let own = &self.tree.places[board];
            let amperes = own.basis.and_then(|own| own.existing_load_a).filter(|own| *own > 0.0)?;
            let way = self.tree.way(board);
            let end = way.iter().position(|own| *own == index)?;
            let transformed = way[..end].iter().any(|own| self.tree.places[*own].transformer.is_some());
            let ratio = if transformed { own.board.voltage_v / self.tree.places[index].board.voltage_v } else { 1.0 };
            let term = FeederTerm { current: Amperes(amperes * ratio), continuous: true, ..FeederTerm::default() };
            Some(FeederItem { term, running: 1, displaces: None })
        };
        self.tree.behind(index).into_iter().filter_map(of).collect()
    }
}

/// Of each group, every row that rests with the smallest that runs in its place.
fn swaps(running: &Running, value: &dyn Fn(usize) -> f64) -> Vec<(usize, usize)> {
    let runs = |row: usize| running.sure.iter().any(|own| own.0 == row);
    let of_group = |(members, _): &(Vec<usize>, u32)| {
        let smallest = members.iter().copied().filter(|own| runs(*own)).reduce(|a, b| if value(b) < value(a) { b } else { a });
        let resting: Vec<usize> = members.iter().copied().filter(|own| !runs(*own)).collect();
        smallest.into_iter().flat_map(move |own| resting.clone().into_iter().map(move |other| (own, other))).collect::<Vec<_>>()
    };
    running.groups.iter().flat_map(of_group).collect()
}

/// Smallest capacity of the conductors by the book, and largest rating of the device.
fn capacity(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let own = all.tree.places[index].board;
    let circuits = all.circuits_behind(index);
    let complete = all.complete(&circuits);
    let items = all.items(index, &circuits);
    let demand = Amperes(own.demand_current_a);
    let need = |items: &[FeederItem]| all.book.feeder_need(items, demand, &mut Record::silent()).capacity.0;
    let least = need(&items.least);
    let most = items.instead.iter().map(|own| need(own)).fold(need(&items.most), f64::max);
    let low = own.feeder_minimum_a < least && !near(own.feeder_minimum_a, least, 2e-3);
    let high = own.feeder_minimum_a > most && !near(own.feeder_minimum_a, most, 2e-3);
    // Of a chain of interlocks that goes over several boards the network counts every row: rather too much than too little.
    let chained = circuits.iter().any(|own| all.design.circuits[*own].load.words("interlock_with").is_some());
    if low || high && complete && !chained {
        say(
            &codes::V854_FEEDER_CONDUCTOR,
            format!(
                "its feeder is said to need {} A; by what runs behind it, it needs {least:.3} to {most:.3} A",
                own.feeder_minimum_a
            ),
        );
    }
    if own.feeder_minimum_a > 0.0 && complete && !chained {
        maximum(all, index, &items, say);
    }
}

/// The largest rating of the device is not above what the book gives for any of the loads that may run.
fn maximum(all: &Boards<'_>, index: usize, items: &Items, say: Say<'_>) {
    let own = all.tree.places[index].board;
    let bounds =
        |items: &[FeederItem]| all.book.feeder_bounds(all.kind(), items, Amperes(own.feeder_minimum_a), &mut Record::silent());
    let of = |items: &[FeederItem]| bounds(items).most.map(|own| own.0);
    let most = items.instead.iter().map(|own| of(own)).chain([of(&items.most)]).collect::<Option<Vec<f64>>>();
    let most = most.map(|own| own.into_iter().fold(0.0, f64::max));
    let so = match (own.feeder_protection_maximum_a, most) {
        (Some(told), Some(most)) => fits(told, most),
        (Some(_), None) => bounds(&items.most).most.is_some(),
        // A device below what flows goes by the conductors, which a finding tells.
        (None, Some(_)) => Boards::told(own, &codes::B319_FEEDER_BY_CONDUCTORS),
        (None, None) => true,
    };
    if !so {
        say(
            &codes::V853_FEEDER_DEVICE,
            format!("a device of {:?} A is said to be the largest; the book admits {most:?} A", own.feeder_protection_maximum_a),
        );
    }
}

/// The device is rated by rules for motors and does not protect the conductors from overload by its rating.
fn by_motors(all: &Boards<'_>, index: usize) -> bool {
    let own = all.tree.places[index].board;
    let circuits = all.circuits_behind(index);
    let items = all.items(index, &circuits).most;
    let need = Amperes(own.feeder_minimum_a);
    let bounds = all.book.feeder_bounds(all.kind(), &items, need, &mut Record::silent());
    // A row that can't be read anew may be the only motor.
    let unread = !all.complete(&circuits);
    own.feeder_protection_maximum_a.is_some() && (bounds.motor_feeder || unread)
}

/// The device is of the catalogue, as it says, carries the load, and breaks the fault current where it stands.
fn device(all: &Boards<'_>, place: &Place<'_>, index: usize, say: Say<'_>) {
    let (own, feeder) = (place.board, &place.board.feeder);
    if feeder.kind.is_empty() {
        let nothing = feeder.part.is_empty() && own.feeder_protection_a == 0.0;
        if !nothing {
            say(&codes::V853_FEEDER_DEVICE, format!("a device of {} A without a kind", own.feeder_protection_a));
        }
        return;
    }
    if all.kind().word() != feeder.kind {
        say(&codes::V853_FEEDER_DEVICE, format!("its feeder has a {}, not a {}", feeder.kind, all.kind().word()));
    }
    let rating = own.feeder_protection_a;
    let too_large = own.feeder_protection_maximum_a.is_some_and(|most| !fits(rating, most));
    // By rules for motors the device carries what flows; else it protects the conductors, which carry what the book asks for.
    let unread = !all.complete(&all.circuits_behind(index));
    let needed = match by_motors(all, index) {
        true if unread => own.demand_current_a.min(own.feeder_minimum_a),
        true => own.demand_current_a,
        false => own.feeder_minimum_a,
    };
    if too_large || !fits(needed, rating + 1e-3) {
        say(
            &codes::V853_FEEDER_DEVICE,
            format!(
                "its feeder's device of {rating} A does not suit: {needed} A flow, {:?} A are the largest",
                own.feeder_protection_maximum_a
            ),
        );
    }
    if feeder.part.is_empty() {
        let standard = all.book.feeder_ratings(all.kind()).iter().any(|own| (own.0 - rating).abs() < 1e-9);
        if !standard || feeder.breaking_ka.is_some() || feeder.magnetic_trip_a.is_some() {
            say(
                &codes::V853_FEEDER_DEVICE,
                format!("a device of {rating} A without a part number is no standard one, or says too much"),
            );
        }
        return;
    }
    of_catalogue(all, place, say);
    let largest = |own: usize| all.tree.places[own].board.prospective_fault_ka;
    let before = all.tree.parent(index).filter(|_| place.transformer.is_none()).and_then(largest);
    // Behind a transformer it stands at its secondary, where no less flows than at the board; what the basis states of that is no figure
    // of the beginning, and what a source gives that stands in at the board itself does not flow through its feeder.
    let at_end = own.prospective_fault_ka.filter(|_| !faults::stated_on_way(all, index) && !dips::stands_in_at(all, index));
    let fault = before.or(at_end);
    let check = own.checks.iter().find(|own| own.name == "breaking-capacity" && own.subject == "device of the feeder");
    let told = check.and_then(|own| own.value.zip(own.limit));
    // Where the fault current before the feeder is unknown the check says so.
    let so = match (fault, feeder.breaking_ka, told) {
        (Some(fault), Some(breaks), Some((value, limit))) => {
            // Motors behind the feeder count before it until it is chosen, which may turn their angle a little.
            fits(fault, value * 1.01) && (limit - breaks).abs() < 1e-9 && (fits(fault, breaks + 1e-3) || value > limit)
        }
        (_, _, None) => check.is_some_and(|own| own.passed.is_none()) && (before.is_none() || all.tree.phases(index) == 1),
        (None, ..) => true,
        (Some(_), None, Some((value, limit))) => value > limit,
    };
    if !so {
        say(
            &codes::V402_BREAKING_CAPACITY,
            format!("its feeder's device breaks {:?} kA; where it stands {fault:?} kA flow", feeder.breaking_ka),
        );
    }
}

fn of_catalogue(all: &Boards<'_>, place: &Place<'_>, say: Say<'_>) {
    let (own, feeder) = (place.board, &place.board.feeder);
    if let Some(Item::Moulded(row)) = all.shelf.all(&feeder.part).next() {
        // The check of disconnection is made at the upper limit of the trip as it is set.
        let trips = feeder.magnetic_trip_a.map(|set| set * (1.0 + row.magnetic_tolerance_pct / 100.0));
        let made = own.checks.iter().find(|own| own.name == "disconnection" && own.subject == "feeder run");
        let limit = made.and_then(|own| own.limit);
        if limit.zip(trips).is_some_and(|(limit, trips)| !near(limit, trips, 1e-2)) {
            say(
                &codes::V801_CHECK,
                format!("disconnection was checked at {limit:?} A; its feeder's device trips at {trips:?} A at the latest"),
            );
        }
    }
    let volts = own.voltage_v;
    let item = all.shelf.all(&feeder.part).find(|item| !matches!(item, Item::Base(_)));
    let (kind, rating, breaks, trip) = match item {
        Some(Item::Moulded(row)) => {
            let of = |multiple: f64| multiple * row.rating_a;
            let kind = if row.release == "distribution" { "moulded-case" } else { "" };
            (kind, row.rating_a, row.breaking_ka(volts), Some([of(row.magnetic_min_multiple), of(row.magnetic_max_multiple)]))
        }
        Some(Item::Branch(row)) => {
            let suits = row.admits_voltage(volts) && !row.within_combination;
            let breaks = row.interrupting_ka(volts).filter(|_| suits);
            (row.kind.as_str(), row.rating_a, breaks, Some([row.instantaneous_min_a, row.instantaneous_max_a]))
        }
        Some(Item::Fuse(row)) => {
            (row.kind.as_str(), row.rating_a, fits(volts, row.max_voltage_v).then_some(row.breaking_ka), None)
        }
        _ => {
            say(&codes::V101_PART_UNKNOWN, format!("{} is no device for a feeder", feeder.part));
            return;
        }
    };
    let trips = match (feeder.magnetic_trip_a, trip) {
        (Some(set), Some([low, high])) => set >= low - 2e-3 && set <= high + 2e-3,
        (None, None) => true,
        _ => false,
    };
    let same = kind == feeder.kind && (rating - own.feeder_protection_a).abs() < 1e-9 && breaks == feeder.breaking_ka;
    if !(same && trips) {
        say(
            &codes::V853_FEEDER_DEVICE,
            format!(
                "{} is no {} of {} A that breaks {:?} kA and trips at {:?} A",
                feeder.part, feeder.kind, own.feeder_protection_a, feeder.breaking_ka, feeder.magnetic_trip_a
            ),
        );
    }
}

/// The parts are those of device and conductors, and none where others bring them.
fn parts(all: &Boards<'_>, place: &Place<'_>, say: Say<'_>) {
    let (own, feeder) = (place.board, &place.board.feeder);
    let index = all.tree.places.iter().position(|other| std::ptr::eq(other, place)).unwrap_or(0);
    let mut wanted = Count::new();
    if all.described(index) {
        let fuse = all.shelf.all(&feeder.part).find_map(|item| if let Item::Fuse(own) = item { Some(*own) } else { None });
        match fuse {
            Some(fuse) => {
                add(&mut wanted, &fuse.base_part, "", 1.0);
                add(&mut wanted, &fuse.part, "", if all.tree.phases(index) == 1 { 2.0 } else { 3.0 });
            }
            None if feeder.kind.is_empty() => {}
            None => {
                let words = crate::rules::words::full(crate::rules::units::Units::of(all.book.key()), &feeder.kind);
                add(&mut wanted, &feeder.part, &format!("{words}, {} A", own.feeder_protection_a), 1.0);
            }
        }
        if let Some(run) = feeder.run.as_ref().filter(|run| run.length_m > 0.0) {
            of_run(all.book, all.shelf, run, &mut wanted);
        }
    }
    let mut listed = Count::new();
    let lengths = all.book.length_unit();
    for part in &feeder.parts {
        let key = if part.part.is_empty() { unnumbered(&part.description, &wanted) } else { part.part.clone() };
        *listed.entry(key).or_default() += part.quantity;
        let item = all.shelf.all(&part.part).find(|item| item.description() == part.description);
        if !part.part.is_empty() && item.is_none() {
            say(&codes::V102_DESCRIPTION, format!("{} of its feeder is not described so", part.part));
        }
        let by_length = item.is_some_and(|item| item.by_length()) || item.is_none() && part.unit == lengths;
        // Each cut runs along the whole way.
        let cut = feeder.run.as_ref().map_or(0.0, |run| metres_of(all.book, run) / f64::from(run.per_phase.max(1)));
        let whole = (f64::from(part.cuts) * cut - part.quantity).abs() <= 2e-3 * f64::from(part.cuts.max(1));
        let cuts = if by_length { part.cuts > 0 && whole } else { part.cuts == 0 };
        if (part.unit == lengths) != by_length || !by_length && part.unit != "pc" || part.by_others || !cuts {
            say(
                &codes::V105_PART_DETAIL,
                format!("{} of its feeder is counted in {:?} with {} cuts", part.description, part.unit, part.cuts),
            );
        }
    }
    let alike = listed.len() == wanted.len()
        && wanted
            .iter()
            .all(|(part, quantity)| listed.get(part).is_some_and(|has| (has - quantity).abs() <= 2e-3 + 1e-6 * quantity));
    if !alike {
        say(
            &codes::V103_PART_MISSING,
            format!("the parts of its feeder are {listed:?}; device and conductors ask for {wanted:?}"),
        );
    }
}

/// The way of a feeder by its run: what its conductors carry as they are laid, their protective conductor, their impedance.
fn conductors(all: &Boards<'_>, place: &Place<'_>, index: usize, run: &Run, say: Say<'_>) {
    let own = place.board;
    let length = place.basis.and_then(length_of).unwrap_or(0.0);
    if (run.length_m - length).abs() > 1e-6 * length.max(1.0) || run.role != "feeder" {
        say(&codes::V702_LENGTH, format!("its feeder is {} m long; the basis states {length} m", run.length_m));
    }
    let size = all.book.size_of(&run.phase_size);
    if size.is_none_or(|size| (size - run.phase_area_mm2).abs() > 1e-4) {
        say(&codes::V703_SIZE, format!("its feeder is called {}, with an area of {} mm²", run.phase_size, run.phase_area_mm2));
    }
    let neutral = run.neutral_size.is_some();
    let cores = match (all.tree.phases(index), neutral) {
        (1, _) => 3,
        (_, true) => 5,
        _ => 4,
    };
    let needs_neutral = all.design.circuits.iter().enumerate().any(|(at, _)| {
        all.board_of[at] == Some(index) && all.load(at).is_some_and(|load| load.single() && load.facts.machine.neutral)
    });
    if run.cores != cores || needs_neutral && run.cores < 5 && all.tree.phases(index) == 3 {
        say(&codes::V703_SIZE, format!("its feeder has {} cores", run.cores));
    }
    let wanted = with_spare(place);
    let chosen = Candidate { size_mm2: run.phase_area_mm2, parallel: run.per_phase };
    let demand = laid(all, place, index, run);
    let capacity = all.book.capacity(&demand, chosen).map_or(0.0, |own| own.0);
    if (capacity - run.capacity_a).abs() > 1e-3 {
        say(
            &codes::V704_CAPACITY,
            format!("{} x {} of its feeder carry {capacity:.3} A; it says {} A", run.per_phase, run.phase_size, run.capacity_a),
        );
    }
    let told_small = own.checks.iter().any(|check| check.subject == "feeder run" && check.passed == Some(false));
    if !fits(wanted, run.required_a + 2e-3) || !fits(run.required_a, run.capacity_a + 1e-3) && !told_small {
        say(
            &codes::V704_CAPACITY,
            format!("its feeder carries {} A and says that {} A are required; {wanted:.3} A are", run.capacity_a, run.required_a),
        );
    }
    let device = Some((own.feeder.kind.as_str(), Amperes(own.feeder_protection_a))).filter(|own| !own.0.is_empty());
    let least = all.book.protective_minimum(run.phase_area_mm2, run.per_phase, material(run), device, false);
    let protective = all.book.size_of(&run.protective_size);
    if protective.is_none() || least.zip(protective).is_some_and(|(least, own)| !fits(least, own)) {
        say(
            &codes::V705_PROTECTIVE,
            format!("the protective conductor of its feeder is {}; at least {least:?} mm² are asked for", run.protective_size),
        );
    }
    cable(all, run, say);
    criteria(all, place, &demand, chosen, say);
    let told = run.resistance_ohm.zip(run.reactance_ohm).filter(|own| length > 0.0 || *own != (0.0, 0.0));
    let given = all.book.feeder_impedance(&demand, chosen).filter(|_| length > 0.0).map(|own| own.running);
    let so = match (told, given) {
        (Some((r, x)), Some(own)) => near(r, own.r.0, 2e-6) && near(x, own.x.0, 2e-6),
        (None, None) => true,
        _ => false,
    };
    if !so {
        say(&codes::V854_FEEDER_CONDUCTOR, format!("its feeder is said to have {told:?} Ω; its conductors have {given:?}"));
    }
}

/// Capacity that is asked for, with the spare that is wanted.
fn with_spare(place: &Place<'_>) -> f64 {
    let spare = place.basis.and_then(|own| own.spare_pct).unwrap_or(0.0).max(0.0);
    place.board.feeder_minimum_a * (1.0 + spare / 100.0)
}

fn length_of(own: &BoardBasis) -> Option<f64> {
    let feet = own.feeder_length_ft.map(|feet| feet * FOOT);
    own.feeder_length_m.into_iter().chain(feet).reduce(f64::max)
}

/// The cable is one of its material, insulation, size and number of cores.
fn cable(all: &Boards<'_>, run: &Run, say: Say<'_>) {
    if run.part.is_empty() {
        return;
    }
    let so = all.shelf.cable(&run.part).is_some_and(|cable| {
        let single = cable.cores == 1 && cable.protective_mm2.is_none();
        cable.material == run.material
            && !cable.screened
            && cable.insulation == all.book.bought_insulation(&run.insulation)
            && (cable.size_mm2 - run.phase_area_mm2).abs() < 1e-4
            && (cable.cores == run.cores || single)
    });
    if !so {
        say(&codes::V706_CABLE, format!("{} is not the cable of its feeder", run.part));
    }
}

/// The criteria that need nothing but the device and the fault current where the feeder begins: none is failed that is called passed.
fn criteria(all: &Boards<'_>, place: &Place<'_>, demand: &RunDemand, chosen: Candidate, say: Say<'_>) {
    const TRIED: &[&str] = &["current-carrying-capacity", "overload-protection", "fault-withstand"];
    for criterion in all.book.criteria().iter().filter(|own| TRIED.contains(&own.name)) {
        let told = place
            .board
            .checks
            .iter()
            .any(|own| own.name == criterion.name && own.subject.starts_with("feeder run") && own.passed != Some(true));
        let outcome = (criterion.judge)(demand, chosen, &mut Record::silent());
        if outcome.is_some_and(|own| own.passed == Some(false)) && !told {
            say(
                &codes::V854_FEEDER_CONDUCTOR,
                format!(
                    "its feeder fails {}: {:?} against {:?}",
                    criterion.name,
                    outcome.map(|own| own.value),
                    outcome.map(|own| own.limit)
                ),
            );
        }
    }
}

/// The run of a feeder as it is laid and protected.
fn laid(all: &Boards<'_>, place: &Place<'_>, index: usize, run: &Run) -> RunDemand {
    let (design, defaults) = (&all.basis.design, all.book.defaults());
    let own = place.board;
    let single = all.tree.phases(index) == 1;
    let volts = Volts(own.voltage_v);
    let device = (!own.feeder.kind.is_empty()).then_some(Amperes(own.feeder_protection_a));
    let across = if single { Across::two_wires(volts) } else { Across::three_phase(volts) };
    let before = all.tree.parent(index).filter(|_| place.transformer.is_none()).map(|own| all.tree.places[own].board);
    let kiloamperes = |ka: Option<f64>| ka.map(|ka| Amperes(ka * 1000.0));
    RunDemand {
        role: "",
        part: RunPart::Load,
        current: Amperes(own.demand_current_a),
        need: Amperes(with_spare(place)),
        motor_circuit: by_motors(all, index),
        device_rating: device,
        grounding_basis: None,
        wet: false,
        rooftop: false,
        termination: design.termination_c.map(Celsius),
        minimum_raceway: None,
        equipment_rating: None,
        own_circuits: 1,
        loaded: if single { 2 } else { 3 },
        cores: run.cores,
        voltage: volts,
        to_earth: Volts(own.voltage_v / 3f64.sqrt()),
        frequency_hz: all.basis.supply.frequency_hz.unwrap_or_else(|| all.book.frequency_hz()),
        phases: if single { 1 } else { 3 },
        length: place.basis.and_then(length_of).map(Metres),
        route: run.installation.split('+').map(str::to_owned).collect(),
        air: Celsius(design.ambient_c.unwrap_or(defaults.ambient_c)),
        ground: Celsius(design.ground_c.unwrap_or(defaults.ground_c)),
        soil: design.soil_k_m_w.unwrap_or(defaults.soil_k_m_w),
        grouped: 1,
        material: material(run),
        insulation: run.insulation.clone(),
        minimum_mm2: 0.0,
        running: DropDemand {
            current: Amperes(own.demand_current_a),
            power_factor: 1.0,
            limit_pct: 100.0,
            before_pct: None,
            before: Impedance::default(),
            referred: 1.0,
            across,
        },
        starting: None,
        overload: match (device, own.feeder.kind.as_str()) {
            (None, _) => OverloadDevice::Missing,
            (Some(rating), "gG") => OverloadDevice::Fuse(rating),
            (Some(rating), _) => OverloadDevice::Breaker(rating, all.book.conventional_trip(None)),
        },
        fault: fault_device(all, place),
        behind_drive: false,
        leakage: false,
        fault_max: before.and_then(|own| kiloamperes(own.prospective_fault_ka)),
        fault_min: None,
        x_over_r: None,
        paths: FaultPaths::default(),
        earthing: None,
        class_factor: 1.0,
    }
}

/// The device against faults, as the catalogue declares it. It may take 5 s: no rating stands in the way of that.
fn fault_device(all: &Boards<'_>, place: &Place<'_>) -> Option<(FaultDevice, Amperes, f64)> {
    let own = place.board;
    let (device, through) = all.shelf.all(&own.feeder.part).find_map(|item| match item {
        Item::Moulded(row) => Some((FaultDevice::Magnetic(Amperes(own.feeder.magnetic_trip_a?)), row.let_through_a2s)),
        Item::Fuse(row) if row.kind == "gG" => Some((FaultDevice::Gg(Amperes(row.rating_a)), row.let_through_a2s)),
        _ => None,
    })?;
    Some((device, Amperes(f64::INFINITY), through))
}

/// Impedances of a feeder: of its run by the book, or as the basis states them.
pub(super) fn impedance(all: &Boards<'_>, index: usize) -> Option<FeederImpedance> {
    let place = &all.tree.places[index];
    if let Some((r, x)) = place.basis.and_then(|own| own.feeder_r_ohm.zip(own.feeder_x_ohm)) {
        let own = Impedance { r: Ohms(r), x: Ohms(x) };
        return Some(FeederImpedance { cold: own, running: own, hot: own, ..FeederImpedance::default() });
    }
    let run = Boards::run(place).filter(|run| run.length_m > 0.0)?;
    all.book.feeder_impedance(&laid(all, place, index, run), Candidate { size_mm2: run.phase_area_mm2, parallel: run.per_phase })
}

/// The drop along the feeders: that before this one, and √3 I (R cosφ + X sinφ) of its own, whatever the angle at most √3 I Z.
fn drop(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let place = &all.tree.places[index];
    let own = place.board;
    let Some(told) = own.feeder.drop_pct else { return };
    let before = all.tree.parent(index).and_then(|own| all.tree.places[own].board.feeder.drop_pct).unwrap_or(0.0);
    let legs = if all.tree.phases(index) == 1 { 2.0 } else { 3f64.sqrt() };
    let stretch = impedance(all, index).filter(|_| own.demand_current_a > 0.0).map_or(Impedance::default(), |own| own.running);
    let scale = 100.0 * legs * own.demand_current_a / own.voltage_v;
    let most = scale * stretch.magnitude().0;
    let ends = match power_factor(all, index) {
        Some(cos) => {
            let sin = (1.0 - cos * cos).max(0.0).sqrt();
            let along = scale * (stretch.r.0 * cos + stretch.x.0 * sin);
            // The exact drop differs from the part along the voltage by the square of the part across it at most.
            [0.98 * along, along + most * most / 100.0]
        }
        None => [0.0, most],
    };
    let low = told < before + ends[0] && !near(told, before + ends[0], 2e-3);
    let high = told > before + ends[1] && !near(told, before + ends[1], 2e-3);
    if low || high {
        say(
            &codes::V855_FEEDER_DROP,
            format!(
                "{told} % are said to be lost up to it; {before} % are before its feeder, {:.3} to {:.3} % in it",
                ends[0], ends[1]
            ),
        );
    }
    let check = own.checks.iter().find(|own| own.name == "running-voltage-drop" && own.subject == "feeder run");
    let limit = all.basis.design.feeder_drop_pct.unwrap_or_else(|| all.book.feeder_drop_pct().0);
    let so = check
        .is_none_or(|own| own.passed.is_none() || own.value.is_some_and(|own| near(own, told, 2e-3)) && own.limit == Some(limit));
    if !so {
        say(&codes::V801_CHECK, format!("the check of its feeder's drop was made with other figures: {told} % of {limit} %"));
    }
}

/// Power factor of what a feeder carries, where it is sure what runs and nothing without an angle is there already.
fn power_factor(all: &Boards<'_>, index: usize) -> Option<f64> {
    let circuits = all.circuits_behind(index);
    let there =
        all.tree.behind(index).iter().any(|own| all.tree.places[*own].basis.is_some_and(|own| own.existing_load_a.is_some()));
    let plain = !there
        && all.complete(&circuits)
        && circuits.iter().all(|row| all.load(*row).is_some_and(|own| !own.single()) || spare(&all.design.circuits[*row]));
    let (_, span) = all.demand(index);
    let apparent = libm::hypot(span.active[0], span.reactive[0]);
    (plain && span.exact() && apparent > 0.0).then(|| (span.active[0] / apparent).clamp(0.0, 1.0))
}
