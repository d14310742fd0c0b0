//! Guards over the NEC book, through the public interface: every starting method with every horsepower, voltage, kind of device,
//! family of controllers and edition, asked what a reviewer asks. The arithmetic and the tables are the guards' own.

#[path = "nec_guards/by_hand.rs"]
mod by_hand;
mod common;
#[path = "nec_guards/schedule.rs"]
mod schedule;
#[path = "nec_guards/tables.rs"]
mod tables;

use by_hand::SLACK;
use motorwright::catalogue::builtin;
use motorwright::design::{Circuit, Status};
use motorwright::finding::Severity;
use motorwright::load::Method;
use schedule::{FAULT_KA, Row, every_method, name};

/// Calls a check for every circuit; it answers how many things it looked at. All that is wrong is told at once.
fn each(turn: usize, least: usize, check: impl Fn(&Row, &Circuit, &mut Vec<String>) -> usize) {
    let (mut wrong, mut seen) = (Vec::new(), 0);
    for (design, rows) in every_method(turn) {
        for (row, circuit) in rows.iter().zip(&design.circuits) {
            let mut of_row = Vec::new();
            seen += check(row, circuit, &mut of_row);
            wrong.extend(of_row.into_iter().map(|what| format!("{what}: {}", name(row, circuit))));
        }
    }
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong[..wrong.len().min(12)].join("\n"));
    assert!(seen >= least, "only {seen} were looked at");
}

macro_rules! must { ($wrong:ident, $holds:expr, $($text:tt)*) => {{
    let holds: bool = $holds;
    if !holds {
        $wrong.push(format!($($text)*));
    }
}}; }

fn has(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

/// Rated input current of the drive: as marked in the row, else of the drive that was chosen.
fn drive_input(row: &Row, circuit: &Circuit) -> Option<f64> {
    let drives = &builtin("nec").drives;
    let of_range = || circuit.starter_devices.iter().find_map(|device| drives.iter().find(|drive| drive.part == device.part));
    row.drive_input.or_else(|| of_range().map(|drive| drive.input_a))
}

#[test]
fn nec_nothing_failed_unknown_or_warned_of_is_called_sized() {
    each(0, 1500, |_, circuit, wrong| {
        let open = circuit.checks.iter().find(|check| check.passed != Some(true));
        let worst = circuit.findings.iter().map(|finding| finding.severity).find(|severity| *severity != Severity::Note);
        match circuit.status {
            Status::Sized => must!(wrong, open.is_none() && worst.is_none(), "sized with {open:?} {worst:?}"),
            Status::NeedsDecision => must!(wrong, open.is_some() || worst.is_some(), "nothing says what to decide"),
            Status::NotSized => {
                let said =
                    |finding: &&motorwright::finding::Finding| finding.severity == Severity::Error && !finding.cure.is_empty();
                must!(wrong, circuit.findings.iter().any(|finding| said(&finding)), "not sized without a reason and a cure");
            }
        }
        for check in &circuit.checks {
            must!(wrong, check.passed.is_none() == check.not_checked_because.is_some(), "{check:?}");
            must!(wrong, !check.reference.trim().is_empty(), "no reference: {check:?}");
            let failed = check.passed == Some(false);
            // What the nearest part of the range fails on is told with the part that is missing (C203, C204).
            let says = |finding: &motorwright::finding::Finding| ["C101", "C203", "C204"].contains(&finding.code.as_str());
            must!(wrong, !failed || circuit.findings.iter().any(says), "failed unsaid: {check:?}");
        }
        for finding in &circuit.findings {
            must!(wrong, !finding.cure.trim().is_empty(), "no cure: {finding:?}");
        }
        1
    });
}

#[test]
fn nec_no_device_is_above_430_52_or_the_marking_and_each_is_a_standard_rating() {
    each(1, 750, |row, circuit, wrong| {
        let (Some(device), Some(full)) = (&circuit.protection, by_hand::full_load(row)) else { return 0 };
        if device.part.is_empty() {
            must!(wrong, circuit.status != Status::Sized, "sized without a device");
            return 0;
        }
        let (kind, rating) = (device.kind.as_str(), device.rating_a);
        let enough = if kind == "instantaneous" { 1.15 } else { 1.25 };
        must!(
            wrong,
            rating + SLACK >= enough * full || circuit.status != Status::Sized,
            "{kind} {rating} A below {enough} × {full} A"
        );
        let drives = &builtin("nec").drives;
        for drive in circuit.starter_devices.iter().filter_map(|device| drives.iter().find(|drive| drive.part == device.part)) {
            must!(wrong, rating <= drive.max_fuse_a + SLACK, "{rating} A above the drive's {} A", drive.max_fuse_a);
        }
        if kind == "instantaneous" {
            let percent = if row.premium { 17.0 } else { 13.0 };
            let most = full * percent;
            must!(
                wrong,
                device.magnetic_trip_a.is_some_and(|magnetic_trip_a| magnetic_trip_a <= most + SLACK),
                "{device:?} set above {most} A"
            );
            return 1;
        }
        let ratings = tables::ratings(row.edition, kind != "inverse-time");
        must!(wrong, ratings.contains(&rating), "{kind} {rating} A is no standard rating of {}", row.edition);
        let (first, ceiling) = by_hand::device_limits(row, kind, full);
        // Packaged maxima and drives apart, a rating beyond the first place is said with the clause.
        must!(wrong, rating <= first || has(circuit, "C210"), "{kind} {rating} A above {first} A unsaid ({full} A)");
        must!(wrong, rating <= ceiling, "{kind} {rating} A above the ceiling {ceiling} A ({full} A)");
        must!(wrong, row.method != Method::Drive || rating <= first, "a drive needs no larger device");
        1
    });
}

#[test]
fn nec_no_overload_relay_trips_above_430_32() {
    each(2, 750, |row, circuit, wrong| {
        let range = &builtin("nec").overload_relays;
        let mut seen = 0;
        for relay in circuit.overloads.iter().filter(|overload| !overload.part.is_empty() || overload.kind.starts_with("in-")) {
            let Some(ceiling) = by_hand::trip_ceiling(row, &relay.position, &relay.role) else { continue };
            let part = range.iter().find(|range| range.part == relay.part);
            // A soft starter or drive that is a relay too declares its factor itself.
            let within = |part: &str| {
                let (drives, soft) = (&builtin("nec").drives, &builtin("nec").soft_starters);
                let of_drive = drives.iter().find(|drive| drive.part == part).and_then(|drive| drive.ultimate_trip_factor);
                of_drive.or(soft.iter().find(|soft| soft.part == part).and_then(|soft| soft.ultimate_trip_factor))
            };
            let device = circuit.starter_devices.iter().filter(|_| relay.part.is_empty()).find_map(|device| within(&device.part));
            let factor = part.and_then(|relay| relay.ultimate_trip_factor).or(device).unwrap_or(1.25);
            let trips = relay.setting_a * factor;
            let said = circuit.status != Status::Sized && has(circuit, "C101");
            must!(wrong, trips <= ceiling + SLACK || said, "{relay:?} trips at {trips} A, above {ceiling} A");
            let [bottom, top] = relay.range_a;
            must!(
                wrong,
                bottom <= relay.setting_a + SLACK && relay.setting_a <= top + SLACK || said,
                "outside its range: {relay:?}"
            );
            // A dial far below the motor's current opens in normal use.
            must!(
                wrong,
                trips >= ceiling * 0.85 || circuit.status != Status::Sized,
                "{relay:?} is set far too low ({ceiling} A)"
            );
            seen += 1;
        }
        let motor_started = !matches!(row.method, Method::Feeder | Method::ByOthers | Method::None | Method::Contactor);
        must!(wrong, circuit.status != Status::Sized || !motor_started || seen > 0, "sized without overload protection");
        seen
    });
}

#[test]
fn nec_every_conductor_carries_its_need_at_terminations_and_in_its_place() {
    each(3, 1250, |row, circuit, wrong| {
        let mut seen = 0;
        for run in circuit.runs.iter().filter(|run| !run.phase_size.is_empty()) {
            let (size, sets) = (run.phase_size.as_str(), run.per_phase);
            let Some(need) = by_hand::need(row, &run.role, drive_input(row, circuit)) else { continue };
            let usable = by_hand::usable(row, &run.role, size, sets, need);
            must!(
                wrong,
                usable.is_some_and(|usable| need <= usable + SLACK),
                "{} {sets} × {size}: {usable:?} A for {need} A",
                run.role
            );
            must!(wrong, run.required_a + SLACK >= need, "{}: asks {} A instead of {need} A", run.role, run.required_a);
            must!(
                wrong,
                usable.is_some_and(|usable| run.capacity_a <= usable + SLACK),
                "{}: told {} A of {usable:?}",
                run.role,
                run.capacity_a
            );
            let least = if row.copper { 4110.0 } else { 6530.0 };
            must!(wrong, tables::cmil(size) >= least, "{size} is below 310.3(A)");
            must!(wrong, sets == 1 || tables::cmil(size) >= 105_600.0, "{size} in parallel");
            seen += 1;
        }
        must!(wrong, circuit.status != Status::Sized || seen > 0, "sized without conductors");
        seen
    });
}

#[test]
fn nec_grounding_conductors_and_raceways_follow_their_tables() {
    each(4, 1000, |row, circuit, wrong| {
        let mut seen = 0;
        for run in circuit.runs.iter().filter(|run| !run.phase_size.is_empty()) {
            must!(wrong, run.raceway.is_some(), "{}: no raceway", run.role);
            let fill = by_hand::fill_pct(row, run);
            must!(wrong, fill <= 40.0 + 0.15, "{}: {:?} is filled to {fill} %", run.role, run.raceway);
            let (Some(device), Some(full)) = (&circuit.protection, by_hand::full_load(row)) else { continue };
            if device.part.is_empty() {
                continue;
            }
            let phase = tables::cmil(&run.phase_size);
            let rating = by_hand::grounding_rating(row, &device.kind, device.rating_a, full);
            let mut least = tables::cmil(tables::grounding(rating, row.copper));
            // 250.122(B): in proportion where the phase conductors are larger than the need asks for.
            let need = by_hand::need(row, &run.role, drive_input(row, circuit)).unwrap_or(run.required_a).max(run.required_a);
            if run.per_phase == 1
                && let Some(smallest) = by_hand::smallest(row, &run.role, need).filter(|size| row.copper || *size != "14")
            {
                least *= (phase / tables::cmil(smallest)).max(1.0);
            }
            let has = tables::cmil(&run.protective_size);
            // ASTM B258: the gauges are geometric, their printed areas rounded; circular mils are exact.
            let rounding = if run.protective_size.ends_with("AWG") { 1.001 } else { 1.0 + 1e-9 };
            must!(
                wrong,
                has * rounding >= least.min(phase),
                "{}: {} for {rating} A and {} (least {least} cmil)",
                run.role,
                run.protective_size,
                run.phase_size
            );
            seen += 1;
        }
        seen
    });
}

#[test]
fn nec_no_controller_or_disconnect_is_smaller_than_its_motor() {
    each(5, 1000, |row, circuit, wrong| {
        let range = builtin("nec");
        let mut seen = 0;
        for chosen in circuit.contactors.iter().filter(|contactor| !contactor.part.is_empty()) {
            let part = range.contactors.iter().find(|contactor| chosen.part.starts_with(&format!("{}-", contactor.part)));
            let part = part.expect("it is in the range");
            must!(wrong, chosen.current_a <= chosen.rated_a + SLACK, "{chosen:?}");
            must!(wrong, part.max_voltage_v + SLACK >= f64::from(row.volts), "{chosen:?} for {} V", row.volts);
            seen += 1;
            let Some(full) = by_hand::full_load(row) else { continue };
            let share = by_hand::contactor_share(row, &chosen.role);
            let by_share = matches!(
                (row.method, chosen.role.as_str()),
                (Method::Autotransformer, "line" | "star-point") | (_, "low" | "transition")
            ) || chosen.role.starts_with("rotor");
            must!(
                wrong,
                by_share || chosen.current_a + SLACK >= full * share || row.method == Method::Drive,
                "{chosen:?}: {share} of {full} A"
            );
            // Horsepower: a size of NEMA ICS 2 by its table; those that only carry current switch no motor.
            let carries = matches!(
                (row.method, chosen.role.as_str()),
                (Method::Drive, "line") | (Method::SoftStarter | Method::SoftStarterInsideDelta, "bypass")
            );
            let Some(size) = part.nema_size.as_deref().filter(|_| !carries && !by_share) else { continue };
            let usage = match row.method {
                Method::StarDelta | Method::StarDeltaClosed => "yd",
                Method::PartWinding => "pw",
                _ => "full",
            };
            let of = |usage| tables::nema_horsepower(size, row.volts, row.phases, usage).unwrap_or(0.0);
            let has = of(usage).max(of("full"));
            let two_speeds = row.method_counts_by_nameplate();
            must!(
                wrong,
                has + 1e-3 >= row.hp || two_speeds && has + 1e-3 >= row.hp * share,
                "{chosen:?} size {size}: {has} hp for {} hp",
                row.hp
            );
        }
        if let (Some(disconnect), Some(full)) = (&circuit.disconnect, by_hand::full_load(row)) {
            let said = circuit.checks.iter().any(|check| check.name.starts_with("disconnect") && check.passed != Some(true));
            let current = if row.method == Method::Drive { drive_input(row, circuit).unwrap_or(full) } else { full };
            if !disconnect.part.is_empty() && !said {
                must!(
                    wrong,
                    disconnect.rating_a.is_some_and(|has| has + SLACK >= 1.15 * current),
                    "{disconnect:?} for {current} A"
                );
                must!(wrong, disconnect.rating_hp.is_none_or(|has| has + 1e-3 >= row.hp), "{disconnect:?} for {} hp", row.hp);
            }
        }
        must!(wrong, circuit.status != Status::Sized || circuit.disconnect.is_some(), "sized without a disconnecting means");
        seen
    });
}

#[test]
fn nec_every_circuit_stands_the_fault_current_or_says_that_it_does_not() {
    each(6, 750, |row, circuit, wrong| {
        let fault = FAULT_KA.iter().find(|(board, _)| *board == row.board).expect("a board").1;
        if circuit.status == Status::NotSized {
            return 0;
        }
        let Some(device) = circuit.protection.as_ref().filter(|protection| !protection.part.is_empty()) else { return 0 };
        must!(wrong, device.breaking_ka.is_some_and(|breaking_ka| breaking_ka >= fault), "{device:?} at {fault} kA");
        let check = circuit.checks.iter().find(|check| check.name == "short-circuit-rating" && check.subject.is_empty());
        let Some(check) = check else {
            must!(wrong, false, "no short-circuit rating is checked");
            return 0;
        };
        must!(wrong, check.limit.is_none_or(|limit| (limit - fault).abs() < SLACK), "against another fault: {check:?}");
        must!(wrong, check.passed == check.value.map(|value| value + SLACK >= fault), "{check:?}");
        // No assembly stands more than its device interrupts.
        must!(
            wrong,
            check.value.is_none_or(|value| value <= device.breaking_ka.unwrap_or(0.0) + SLACK),
            "{check:?} behind {device:?}"
        );
        1
    });
}

#[test]
fn nec_designs_name_no_clause_of_the_other_book() {
    let foreign =
        |text: &str| text.match_indices("IEC ").any(|(at, _)| text[at + 4..].starts_with(|letter: char| letter.is_ascii_digit()));
    assert!(foreign("see IEC 60364") && !foreign("IEC frames"));
    each(7, 1500, |_, circuit, wrong| {
        let mut text = serde_json::to_string(&circuit.findings).expect("JSON");
        text += &serde_json::to_string(&circuit.checks).expect("JSON");
        text += &serde_json::to_string(&circuit.working).expect("JSON");
        text += &serde_json::to_string(&circuit.accessories).expect("JSON");
        let at = text.find("IEC ").unwrap_or(0);
        must!(wrong, !foreign(&text), "{}", text[at.saturating_sub(80)..].chars().take(200).collect::<String>());
        1
    });
}

#[test]
fn nec_purchase_list_holds_every_part_as_often_as_it_is_used() {
    for (design, _) in every_method(8) {
        common::bought::parts_are_bought(&design);
    }
}
