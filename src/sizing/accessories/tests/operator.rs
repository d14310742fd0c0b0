//! Parts that serve the operator or act from afar: stations, lamps, meters, releases, resets, handles; and relays that look at
//! the winding.

use super::*;

#[rstest]
#[case::station("control_station", "joystick")]
#[case::indicators("indicators", "running, disco lights")]
#[case::thermistor("thermistor", "maybe")]
#[case::safety("safety_level", "very safe")]
fn a_word_that_nobody_knows_is_said_at_its_cell(#[case] column: &'static str, #[case] text: &'static str) {
    let circuit = sized(&[(column, text)]);
    let found = circuit.findings.iter().find(|finding| finding.code == "C504").expect("it is said");
    assert_eq!(found.place.as_ref().and_then(|place| place.heading.as_deref()), Some(column));
    assert_ne!(circuit.status, Status::Sized);
}

#[rstest]
#[case::momentary("start-stop", true)]
#[case::selector("Hand/Off/Auto", false)]
#[case::selector_with_buttons("local-off-remote, start/stop", true)]
#[case::maintained("on-off", false)]
fn the_station_tells_two_wires_from_three(#[case] station: &'static str, #[case] sealed: bool) {
    let circuit = sized(&[("control_station", station)]);
    assert_eq!(circuit.auxiliary_contacts.iter().any(|auxiliary_contact| auxiliary_contact.function == "seal-in"), sealed);
    assert!(of_kind(&circuit, "station").all(|station| !station.part.is_empty()));
    assert_eq!(of_kind(&circuit, "station").count(), station.split(',').count());
    let other = if sealed { "two" } else { "three" };
    assert!(has(&sized(&[("control_station", station), ("control_wires", other)]), "C516"));
}

#[test]
fn lamps_and_meters_bring_their_contacts_and_parts() {
    let circuit = sized(&[("reversing", "yes"), ("indicators", "running, stopped, tripped; ammeter + hour meter")]);
    let pieces = |why: &str| {
        of_kind(&circuit, "indicator")
            .filter(|accessory| accessory.why.contains(why))
            .map(|accessory| accessory.quantity)
            .sum::<u32>()
    };
    assert_eq!([pieces("running"), pieces("stopped"), pieces("tripped")], [2, 1, 1], "a lamp for each direction");
    assert_eq!([pieces("current"), pieces("hours")], [1, 1]);
    assert_eq!(
        of_kind(&circuit, "indicator").find(|lamp| lamp.why.contains("current")).map(|lamp| lamp.part.as_str()),
        Some("GEN-AM-10")
    );
    assert_eq!(contacts(&circuit, "reverse")[0], ["seal-in", "running lamp", "hour meter"]);
    // The breaker tells of its trip through a block; a relay does so by its own contact 97-98.
    assert_eq!(of_kind(&circuit, "signal-block").count(), 1);
    let fuses = sized(&[("indicators", "trip"), ("protection_kind", "gG")]);
    assert_eq!((of_kind(&fuses, "signal-block").count(), has(&fuses, "C506")), (0, false));
    let heater = size(&[
        ("tag", "H-1"),
        ("load_kind", "heater"),
        ("rated_power_kw", "6"),
        ("cable_length_m", "20"),
        ("indicators", "trip"),
        ("protection_kind", "gG"),
    ]);
    assert!(has(&heater, "C506"));
}

#[rstest]
#[case::hand_operated(&[("starting_method", "manual"), ("indicators", "running")])]
#[case::by_others(&[("starting_method", "by-others"), ("aux_no", "1")])]
fn a_contact_that_nothing_can_give_is_said(#[case] changes: &[(&str, &str)]) {
    let circuit = sized(changes);
    assert!(has(&circuit, "C505") && circuit.status != Status::Sized);
}

#[rstest]
#[case::no("no", 0)]
#[case::some("PTC", 1)]
#[case::three("3", 1)]
#[case::six("6 x PTC", 1)]
#[case::seven("7", 2)]
fn a_loop_holds_six_thermistors(#[case] text: &'static str, #[case] relays: u32) {
    // At most six sensors in series: two relay data sheets.
    let circuit = sized(&[("thermistor", text)]);
    assert_eq!(of_kind(&circuit, "thermistor-relay").map(|relay| relay.quantity).sum::<u32>(), relays);
    assert!(!has(&circuit, "L406"), "it is used");
}

#[test]
fn an_undervoltage_release_belongs_to_a_breaker_of_the_control_voltage() {
    let of = |changes: &[(&'static str, &'static str)]| {
        let all: Vec<_> = [("undervoltage_release", "yes")].iter().chain(changes).copied().collect();
        sized(&all)
    };
    let breaker = of(&[]);
    assert_eq!(
        of_kind(&breaker, "undervoltage-release").map(|release| release.part.as_str()).collect::<Vec<_>>(),
        ["GEN-UR-MB-A220"]
    );
    // A contactor that seals itself in stays out after a loss of voltage; a maintained contact closes it again.
    assert!(!has(&of(&[("protection_kind", "gG")]), "C513"));
    assert!(has(&of(&[("protection_kind", "gG"), ("control_wires", "two")]), "C513"));
}

#[test]
fn a_breaker_is_tripped_from_afar_by_one_release() {
    let of = |changes: &[(&'static str, &'static str)]| {
        let all: Vec<_> = [("control_station", "start-stop; remote trip")].iter().chain(changes).copied().collect();
        sized(&all)
    };
    let breaker = of(&[]);
    assert_eq!(of_kind(&breaker, "shunt-release").map(|release| release.part.as_str()).collect::<Vec<_>>(), ["GEN-SR-MB-A220"]);
    assert_eq!(of_kind(&breaker, "station").count(), 2);
    // Both releases take one place, and opening the supply of the undervoltage release trips as well: common practice, no source.
    let both = of(&[("undervoltage_release", "yes")]);
    assert_eq!(["shunt-release", "undervoltage-release"].map(|kind| of_kind(&both, kind).count()), [0, 1]);
    assert!(!has(&both, "C519") && has(&of(&[("protection_kind", "gG")]), "C519"));
}

#[test]
fn each_relay_is_reset_from_afar() {
    let of = |changes: &[(&'static str, &'static str)]| {
        let all: Vec<_> =
            [("control_station", "start-stop, reset"), ("protection_kind", "gG")].iter().chain(changes).copied().collect();
        sized(&all)
    };
    let serves =
        |circuit: &Circuit| of_kind(circuit, "remote-reset").map(|accessory| accessory.serves.clone()).collect::<Vec<_>>();
    assert_eq!(serves(&of(&[])), ["main"]);
    assert_eq!(serves(&of(&[("starting_method", "star-delta")])), ["line"]);
    // A drive has an input for it; the release of a motor-protective circuit-breaker is closed by hand.
    let drive = of(&[("starting_method", "drive")]);
    assert!(serves(&drive).is_empty() && !has(&drive, "C519"));
    let breaker = of(&[("protection_kind", "motor-breaker")]);
    assert!(serves(&breaker).is_empty() && has(&breaker, "C519"));
}

#[test]
fn an_emergency_stop_is_by_others() {
    let circuit = sized(&[("emergency_stop", "category-1")]);
    assert!(has(&circuit, "C512"));
    // Its devices stand with the board, once for all its motors.
    assert!(circuit.parts.iter().all(|part| !part.by_others));
    assert!(!has(&sized(&[("emergency_stop", "none")]), "C512"));
}

#[test]
fn a_brake_hangs_on_the_contactor_that_runs_the_motor() {
    assert!(contacts(&sized(&[("brake_w", "60")]), "main")[0].contains(&"brake".to_owned()));
    assert!(has(&sized(&[("brake_w", "2000")]), "C515"), "too much for an auxiliary contact");
    assert!(has(&sized(&[("brake_w", "60"), ("starting_method", "drive")]), "C515"), "not from the output of a drive");
}

#[test]
fn explosive_atmospheres_admit_no_automatic_reset() {
    let circuit = sized(&[("te_s", "9"), ("reset_mode", "auto")]);
    assert!(has(&circuit, "C509") && circuit.status == Status::NotSized);
    assert!(!has(&sized(&[("te_s", "9")]), "C509"));
}

#[rstest]
#[case::with_its_starter(&[], 1)]
#[case::a_feeder(&[("load_kind", "packaged"), ("starting_method", "feeder")], 0)]
#[case::manual(&[("starting_method", "manual"), ("rated_power_hp", "1"), ("full_load_current_a", "1.8")], 0)]
#[case::two_poles(&[("phases", "1"), ("voltage_v", "208"), ("rated_power_hp", "0.75"), ("full_load_current_a", "7")], 0)]
#[case::one_pole(&[("phases", "1"), ("voltage_v", "115"), ("rated_power_hp", "0.5"), ("full_load_current_a", "8.8")], 0)]
fn a_breaker_that_is_worked_behind_the_door_of_a_panelboard_has_no_handle_through_it(
    #[case] changes: &[(&str, &str)],
    #[case] handles: usize,
) {
    // Breakers of the range can be locked by themselves (NFPA 70 110.25); handles through doors belong to starters in enclosures.
    let cells = [
        ("tag", "P-1"),
        ("rated_power_hp", "7.5"),
        ("full_load_current_a", "9.6"),
        ("voltage_v", "460"),
        ("starting_method", "direct"),
        ("cable_length_ft", "60"),
        ("protection_kind", "inverse-time"),
    ];
    let mut row_cells: Vec<(&str, &str)> =
        cells.into_iter().filter(|(name, _)| !changes.iter().any(|(other, _)| other == name)).collect();
    row_cells.extend(changes);
    let mut basis = nec();
    if changes.iter().any(|change| change.0 == "phases") {
        (basis.supply.voltage_v, basis.supply.system) = (Some(208.0), Some("208Y/120 4W solidly grounded".to_owned()));
    }
    let circuit = size_with(&row(&row_cells), &basis).0;
    assert_eq!(circuit.protection.as_ref().map(|protection| protection.kind.as_str()), Some("inverse-time"));
    assert_eq!(of_kind(&circuit, "door-handle").count(), handles);
    assert!(!has(&circuit, "C514"));
}

/// One contact of the starter switches the brakes of all motors behind it: 4 × 150 W are more than 500 W (common practice, no source), as
/// one of 600 W is.
#[test]
fn the_brakes_of_all_motors_load_the_one_contact() {
    let of = |watts: &str, motors: &str| {
        let cells = [
            ("rated_power_kw", "1.1"),
            ("full_load_current_a", "2.5"),
            ("efficiency_pct", "84"),
            ("power_factor", "0.8"),
            ("brake_w", watts),
            ("motors_per_starter", motors),
        ];
        let circuit = sized(&cells);
        assert_eq!(circuit.motors.to_string(), motors);
        let contact = circuit.auxiliary_contacts.iter().any(|contact| contact.function == "brake");
        let told = circuit.findings.iter().find(|finding| finding.code == "C515").map(|finding| finding.what.clone());
        (contact, told)
    };
    assert_eq!(of("150", "1"), (true, None));
    assert_eq!(of("125", "4"), (true, None), "500 W together");
    let (contact, told) = of("150", "4");
    assert!(!contact && told.as_ref().is_some_and(|what| what.contains("4 × 150 W")), "{told:?}");
    assert!(!of("600", "1").0);
}

/// A motor that runs over its drive or around it runs: one lamp, lit by either contact. Directions are two states.
#[test]
fn a_lamp_tells_that_the_motor_runs_by_whatever_way() {
    let lamps = |cells: &[(&str, &str)]| {
        let circuit = sized(&with_lamp(cells));
        of_kind(&circuit, "indicator").map(|accessory| accessory.quantity).sum::<u32>()
    };
    assert_eq!(lamps(&[("starting_method", "drive"), ("bypass", "yes")]), 1);
    assert_eq!(lamps(&[("starting_method", "drive"), ("bypass", "yes"), ("line_contactor", "no")]), 1);
    assert_eq!(lamps(&[("starting_method", "drive"), ("bypass", "no")]), 1);
    assert_eq!(lamps(&[("reversing", "yes")]), 2);
}

fn with_lamp<'a>(cells: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    [&[("indicators", "running")], cells].concat()
}

/// The line by which somebody buys a device that the range lacks has the poles of the one that it would have: four with a neutral under the
/// IEC; between line and neutral one under the NEC, whose grounded conductor is not opened (404.2(B)).
#[test]
fn what_the_catalogue_lacks_has_the_poles_of_what_it_would_have() {
    let line = |cells: &[(&str, &str)], basis: &Basis| {
        let circuit = size_with(&row(cells), basis).0;
        let part = circuit.parts.iter().find(|part| part.description.starts_with("protective device for"));
        part.map(|part| part.description.rsplit(", ").next().unwrap_or("").to_owned())
    };
    let heater = |volts, phases, connection| {
        [
            ("tag", "H-1"),
            ("load_kind", "heater"),
            ("rated_power_kw", "1500"),
            ("voltage_v", volts),
            ("phases", phases),
            ("connection", connection),
            ("starting_method", "contactor"),
            ("cable_length_m", "20"),
        ]
    };
    assert_eq!(line(&heater("400", "3", "3L+N"), &basis()).as_deref(), Some("4 poles"));
    assert_eq!(line(&heater("400", "3", "3L"), &basis()).as_deref(), Some("3 poles"));
    assert_eq!(line(&heater("277", "1", "L-N"), &nec()).as_deref(), Some("1 pole"));
    assert_eq!(line(&heater("480", "1", "L-L"), &nec()).as_deref(), Some("2 poles"));
}

/// The cable of a brake runs with the motor's, that of a station has a length of its own: each asks for its own column.
#[test]
fn a_cable_without_a_length_asks_for_the_column_that_states_it() {
    let cures = |cells: &[(&str, &str)], basis: &Basis| {
        let circuit = size_with(&row(cells), basis).0;
        circuit.findings.into_iter().filter(|finding| finding.code == "P105").map(|finding| finding.cure).collect::<Vec<_>>()
    };
    let without = |more: &[(&'static str, &'static str)]| -> Vec<(&'static str, &'static str)> {
        let all = MOTOR.iter().copied().filter(|(name, _)| *name != "cable_length_m");
        all.chain([("brake_w", "60"), ("control_station", "start-stop")]).chain(more.iter().copied()).collect()
    };
    let told = cures(&without(&[]), &basis());
    assert!(
        told.contains(&"enter cable_length_m".to_owned()) && told.contains(&"enter control_cable_length_m".to_owned()),
        "{told:?}"
    );
    assert_eq!(cures(&without(&[("control_cable_length_m", "30")]), &basis()), ["enter cable_length_m"]);
}
