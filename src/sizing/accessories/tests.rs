//! Contacts and interlocks on rows; what switches and what the operator has stands in files of their own. Facts of the trade are common
//! practice, no source, unless a line names one; built-in contacts, places and drop-out times are those of the invented range.

use proptest::prelude::*;
use rstest::rstest;

use crate::basis::Basis;
use crate::catalogue::{self, Catalogue};
use crate::design::{Accessory, Circuit, Status};
use crate::load::Method;
use crate::sizing::testing::{basis, row, size, size_in, size_with};
use crate::sizing::{Partner, Pins};

mod operator;
mod switching;

const MOTOR: &[(&str, &str)] = &[
    ("tag", "P-1"),
    ("rated_power_kw", "4"),
    ("full_load_current_a", "8.1"),
    ("full_load_current_low_a", "5"),
    ("efficiency_pct", "88.6"),
    ("power_factor", "0.82"),
    ("locked_rotor_ratio", "7"),
    ("start_time_s", "2"),
    ("motor_voltages", "400/690"),
    ("starting_method", "direct"),
    ("cable_length_m", "30"),
];

/// The motor with some cells put in place of its own, or added.
fn with<'a>(changes: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut cells: Vec<(&str, &str)> =
        MOTOR.iter().copied().filter(|(name, _)| !changes.iter().any(|(changed, _)| changed == name)).collect();
    cells.extend(changes);
    cells
}

fn sized(changes: &[(&str, &str)]) -> Circuit {
    size(&with(changes))
}

fn sized_from(changes: &[(&str, &str)], range: &Catalogue) -> Circuit {
    size_in(&row(&with(changes)), &basis(), range, &Pins::default()).0
}

/// The basis of an NEC project.
fn nec() -> Basis {
    let mut basis = basis();
    basis.rules.book = Some("nec".to_owned());
    basis.supply.voltage_v = Some(480.0);
    basis.supply.frequency_hz = Some(60.0);
    basis.supply.system = Some("480Y/277 4W solidly grounded".to_owned());
    basis
}

/// The same motor under either book: 5 hp at 460 V under the NEC.
fn sized_by(book: &str, changes: &[(&str, &str)]) -> Circuit {
    if book == "iec" {
        return sized(changes);
    }
    const CUSTOMARY: &[(&str, &str)] = &[("voltage_v", "460"), ("motor_voltages", "460/796"), ("rated_power_hp", "5")];
    let mut cells = with(&[CUSTOMARY, changes].concat());
    cells.retain(|(name, _)| *name != "rated_power_kw");
    size_with(&row(&cells), &nec()).0
}

fn has(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

fn of_kind<'c>(circuit: &'c Circuit, kind: &'c str) -> impl Iterator<Item = &'c Accessory> {
    circuit.accessories.iter().filter(move |accessory| accessory.kind == kind)
}

/// Functions of the contacts of a role, normally open and normally closed.
fn contacts(circuit: &Circuit, role: &str) -> [Vec<String>; 2] {
    ["no", "nc"].map(|kind| {
        let auxiliary_contact = circuit.auxiliary_contacts.iter().filter(|contact| contact.role == role && contact.kind == kind);
        auxiliary_contact.map(|contact| contact.function.clone()).collect()
    })
}

fn place<'c>(circuit: &'c Circuit, function: &str) -> &'c str {
    &circuit
        .auxiliary_contacts
        .iter()
        .find(|contact| contact.function == function)
        .unwrap_or_else(|| panic!("no {function}"))
        .place
}

// The trade's table of contacts a starter needs: direct with three wires 1 NO; with a running signal 2 NO; reversing each 1 NO and
// 1 NC; star-delta line 1 NO, star 1 NO and 1 NC, delta 1 NC; each line contactor of two speeds 1 NO and 1 NC; monitored 1 NC.
#[rstest]
#[case::two_wires(&[("control_wires", "two")], "main", &[], &[])]
#[case::three_wires(&[], "main", &["seal-in"], &[])]
#[case::running_lamp(&[("indicators", "running")], "main", &["seal-in", "running lamp"], &[])]
#[case::forward(&[("reversing", "yes")], "forward", &["seal-in"], &["interlock"])]
#[case::reverse(&[("reversing", "yes")], "reverse", &["seal-in"], &["interlock"])]
#[case::line(&[("starting_method", "star-delta")], "line", &["seal-in"], &[])]
#[case::star(&[("starting_method", "star-delta")], "star", &["sequence"], &["interlock"])]
#[case::delta(&[("starting_method", "star-delta")], "delta", &[], &["interlock"])]
#[case::low(&[("starting_method", "two-speed-separate")], "low", &["seal-in"], &["interlock"])]
#[case::high(&[("starting_method", "two-speed-separate")], "high", &["seal-in"], &["interlock"])]
#[case::tapped_low(&[("starting_method", "two-speed-dahlander")], "low", &["seal-in"], &["interlock", "interlock"])]
#[case::tapped_star(&[("starting_method", "two-speed-dahlander")], "high-star", &["sequence"], &["interlock"])]
#[case::monitored(&[("safety_level", "category 2")], "main", &["seal-in"], &["safety feedback"])]
#[case::two_channels(&[("safety_level", "PL d")], "safety", &[], &["safety feedback"])]
#[case::controller(&[("driven_by", "plc-output"), ("control_voltage", "24 V DC")], "main", &["feedback"], &[])]
#[case::asked(&[("aux_no", "1"), ("aux_nc", "2")], "main", &["seal-in", "asked for"], &["asked for", "asked for"])]
#[case::slip_ring(&[("starting_method", "rotor-resistance"), ("rotor_current_a", "6")], "rotor-2", &[], &["start permissive"])]
#[case::drive_output(&[("starting_method", "drive"), ("bypass", "yes")], "output", &["enable"], &["interlock"])]
fn each_role_gets_the_contacts_of_its_functions(
    #[case] changes: &[(&str, &str)],
    #[case] role: &str,
    #[case] open: &[&str],
    #[case] closed: &[&str],
) {
    assert_eq!(
        contacts(&sized(changes), role),
        [open, closed].map(|kinds| kinds.iter().map(|kind| (*kind).to_owned()).collect::<Vec<_>>())
    );
}

#[test]
fn contacts_for_electronic_levels_stand_only_where_they_are_asked_for() {
    // Standard contacts are for 17 V and 5 mA upward (trade figure): frame 1 has one, which seals in; the input needs its own kind.
    let circuit = sized(&[("feedback_level", "logic")]);
    assert_eq!(place(&circuit, "seal-in"), "built-in");
    let block = of_kind(&circuit, "auxiliary-block").next().expect("a block");
    assert_eq!((place(&circuit, "feedback"), block.low_level), (block.part.as_str(), true));
    assert!(of_kind(&sized(&[("feedback_level", "24 V")]), "auxiliary-block").all(|block| !block.low_level));
}

#[test]
fn a_monitored_contact_is_a_mirror_contact() {
    // IEC 60947-4-1 Annex F. Contacts built into frame 1 of the range are none, those of frame 2 are.
    for (amperes, power) in [("8.1", "4"), ("20", "11")] {
        let circuit = sized(&[("safety_level", "PL e"), ("full_load_current_a", amperes), ("rated_power_kw", power)]);
        let feedback: Vec<_> =
            circuit.auxiliary_contacts.iter().filter(|contact| contact.function == "safety feedback").collect();
        assert_eq!(feedback.len(), 2, "both channels");
        assert!(
            feedback.iter().all(|contact| contact.mirror && contact.level == "24 V" && !contact.place.is_empty()),
            "{feedback:?}"
        );
        let built_in = feedback.iter().filter(|contact| contact.place == "built-in").count();
        assert_eq!(built_in, if power == "4" { 0 } else { 2 });
    }
}

// One handbook: a contact that is one of several in series in a loop of 24 V is not sure enough. Two in series are common practice,
// no source; from three on contacts for electronic levels are taken, mirror contacts still.
#[rstest]
#[case::two(&[], 2, "24 V")]
#[case::three(&[("reversing", "yes")], 3, "logic")]
#[case::star_delta_has_one_command(&[("starting_method", "star-delta")], 2, "24 V")]
#[case::two_speeds(&[("starting_method", "two-speed-separate")], 3, "logic")]
fn many_contacts_in_a_feedback_loop_are_made_for_its_level(
    #[case] changes: &[(&str, &str)],
    #[case] number: usize,
    #[case] level: &str,
) {
    for book in ["iec", "nec"] {
        let circuit = sized_by(book, &[changes, &[("safety_level", "PL d")]].concat());
        let range = catalogue::builtin(book);
        let feedback: Vec<_> =
            circuit.auxiliary_contacts.iter().filter(|contact| contact.function == "safety feedback").collect();
        assert_eq!(feedback.len(), number);
        assert!(
            feedback
                .iter()
                .all(|contact| contact.level == level && contact.mirror && contact.kind == "nc" && !contact.place.is_empty()),
            "{feedback:?}"
        );
        let block = |part: &str| range.accessories.iter().find(|accessory| accessory.part == part);
        assert!(
            feedback.iter().all(|contact| block(&contact.place).is_none_or(|block| block.low_level == (level == "logic"))),
            "{feedback:?}"
        );
    }
}

#[test]
fn a_monitored_contactor_has_a_relay_that_looks_at_it() {
    // One of the two, by others: the relay of the emergency stop looks at the contactors too.
    let by_others = |changes: &[(&str, &str)]| {
        let circuit = sized(changes);
        let description = circuit.parts.iter().filter(|part| part.by_others).map(|part| part.description.clone());
        description.collect::<Vec<_>>()
    };
    assert_eq!(by_others(&[("safety_level", "PL d")]), ["safety relay that monitors the contactors"]);
    assert_eq!(by_others(&[("safety_level", "category 2")]).len(), 1);
    assert!(by_others(&[("safety_level", "PL b")]).is_empty());
    let both = by_others(&[("safety_level", "PL d"), ("emergency_stop", "category-0")]);
    assert!(both.is_empty(), "{both:?}");
}

#[test]
fn an_early_break_contact_disables_the_drive_before_its_output_opens() {
    let circuit = sized(&[("starting_method", "drive"), ("bypass", "yes")]);
    let part = place(&circuit, "enable");
    let accessory =
        catalogue::builtin("iec").accessories.iter().find(|accessory| accessory.part == part).expect("it is in the range");
    assert_eq!(accessory.early_break, Some(true));
    // And nothing else sits on such a contact.
    assert!(
        circuit
            .auxiliary_contacts
            .iter()
            .all(|auxiliary_contact| auxiliary_contact.function == "enable" || auxiliary_contact.place != part)
    );
}

#[test]
fn the_front_goes_to_the_timer_or_to_the_contacts_whichever_needs_fewer_parts() {
    // Frame 1: one built-in NO, which seals in. Two more fit one block at a side beside the front timer; three more need two blocks
    // there, but one at the front beside a timer relay that stands apart.
    let star = |count: &str| sized(&[("starting_method", "star-delta"), ("aux_no", count)]);
    let timer = |circuit: &Circuit| of_kind(circuit, "timer").next().expect("a timer").position.clone();
    let blocks = |circuit: &Circuit| {
        let of_line = of_kind(circuit, "auxiliary-block").filter(|accessory| accessory.serves == "line");
        of_line.map(|accessory| (accessory.position.clone(), accessory.quantity)).collect::<Vec<_>>()
    };
    let two = star("2");
    assert_eq!((timer(&two).as_str(), blocks(&two)), ("front", vec![("side".to_owned(), 1)]));
    let three = star("3");
    assert_eq!((timer(&three).as_str(), blocks(&three)), ("", vec![("front".to_owned(), 1)]));
}

#[test]
fn what_the_frame_does_not_take_is_said_and_the_rest_is_sized() {
    // Frame 1 takes four contacts beside its own one.
    let fits = sized(&[("aux_no", "4")]);
    assert!(!has(&fits, "C501"));
    let circuit = sized(&[("aux_no", "5")]);
    assert!(has(&circuit, "C501"));
    let check = circuit.checks.iter().find(|check| check.name == "auxiliary-places").expect("the check is listed");
    assert_eq!((check.passed, check.value, check.limit), (Some(false), Some(6.0), Some(5.0)));
    assert_eq!(place(&circuit, "seal-in"), "built-in", "what makes the circuit work comes first");
    assert_eq!(circuit.status, Status::NeedsDecision);
    assert_eq!(circuit.contactors[0].part, fits.contactors[0].part, "no larger frame for its contacts");
}

#[test]
fn a_coil_for_direct_current_carries_few_normally_closed_contacts() {
    // Frame 1 of the range declares two with its 3 W coil: low-power magnets have little force to spare.
    let of = |voltage: &str| sized(&[("aux_nc", "3"), ("control_voltage", voltage)]);
    let placed = |circuit: &Circuit| {
        circuit.auxiliary_contacts.iter().filter(|contact| contact.kind == "nc" && !contact.place.is_empty()).count()
    };
    assert_eq!((placed(&of("230 V AC")), has(&of("230 V AC"), "C501")), (3, false));
    assert_eq!((placed(&of("24 V DC")), has(&of("24 V DC"), "C501")), (2, true));
}

#[test]
fn an_interlock_takes_the_side_that_faces_its_partner() {
    // Frame 1: front four, two sides of two; five contacts asked would need two sides beside the front, but four is the most.
    let mut range = catalogue::builtin("iec").clone();
    for contactor in range.contactors.iter_mut().filter(|contactor| contactor.frame == "1") {
        (contactor.aux_places, contactor.front_place) = (8, false);
    }
    // Without a front there are two sides; one is taken by the interlock, whose own contact serves the electrical interlock.
    let changes = |count| [("reversing", "yes"), ("aux_no", count)];
    assert!(!has(&sized_from(&changes("2"), &range), "C501"), "built-in seals in, one side takes two");
    let circuit = sized_from(&changes("3"), &range);
    assert!(has(&circuit, "C501"));
    assert!(circuit.findings.iter().any(|finding| finding.code == "C501" && finding.why.contains("interlock")));
    let interlock = of_kind(&circuit, "interlock").next().expect("an interlock");
    assert_eq!(place(&circuit, "interlock"), interlock.part);
}

#[test]
fn horsepower_sizes_get_what_they_need() {
    // Size 1 has no front place: contacts go to its sides, a mechanical interlock takes one of them and brings two contacts.
    let cells = [
        ("tag", "P-1"),
        ("rated_power_hp", "7.5"),
        ("full_load_current_a", "9.6"),
        ("voltage_v", "460"),
        ("starting_method", "direct"),
        ("reversing", "yes"),
        ("cable_length_ft", "60"),
        ("indicators", "running"),
    ];
    let circuit = size_with(&row(&cells), &nec()).0;
    assert!(
        circuit.accessories.iter().all(|accessory| !accessory.part.is_empty() && accessory.position != "front"),
        "{:?}",
        circuit.accessories
    );
    assert_eq!(place(&circuit, "interlock"), of_kind(&circuit, "interlock").next().expect("an interlock").part);
    assert!(circuit.checks.iter().filter(|check| check.name == "auxiliary-places").all(|check| check.passed == Some(true)));
    // The circuit-breaker is the disconnecting means at the controller: it is locked off through its handle (NFPA 70 430.102).
    assert_eq!(of_kind(&circuit, "door-handle").count(), 1);
    let local = [&cells[..], &[("isolator", "yes")]].concat();
    assert_eq!(of_kind(&size_with(&row(&local), &nec()).0, "door-handle").count(), 1, "a local switch does not replace it");
}

#[test]
fn no_feedback_is_wanted_where_the_row_says_none() {
    let plc = [("driven_by", "plc-output"), ("control_voltage", "24 V DC")];
    let feedback = |changes: &[(&str, &str)]| {
        let circuit = sized(changes);
        circuit.auxiliary_contacts.iter().filter(|contact| contact.function == "feedback").count()
    };
    assert_eq!([feedback(&plc), feedback(&[plc[0], plc[1], ("feedback_level", "none")])], [1, 0]);
}

/// Parts that don't hang on the auxiliary contacts of a role.
fn elsewhere(circuit: &Circuit, role: &str) -> Vec<String> {
    let accessory = circuit
        .accessories
        .iter()
        .filter(|accessory| accessory.kind != "timer" && !(accessory.kind == "auxiliary-block" && accessory.serves == role));
    accessory.map(|accessory| format!("{} {} {}", accessory.part, accessory.serves, accessory.quantity)).collect()
}

const METHODS: [&str; 6] =
    ["direct", "star-delta", "two-speed-dahlander", "two-speed-separate", "autotransformer", "soft-starter"];
const VOLTAGES: [&str; 3] = ["230 V AC", "24 V DC", "110 V AC"];
const CUSTOMARY_VOLTAGES: [&str; 3] = ["120 V AC", "24 V DC", "24 V AC"];

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    #[test]
    fn one_more_contact_takes_no_part_away_elsewhere_and_mends_no_check(
        method in 0usize..6, voltage in 0usize..3, reversing in any::<bool>(), logic in any::<bool>(),
        open in 0u32..5, closed in 0u32..5, more_open in any::<bool>(), customary in any::<bool>(),
    ) {
        let of = |open: u32, closed: u32| {
            let (open, closed) = (open.to_string(), closed.to_string());
            let changes = [
                ("starting_method", METHODS[method]),
                ("reversing", if reversing { "yes" } else { "no" }), ("feedback_level", if logic { "logic" } else { "24 V" }),
                ("aux_no", open.as_str()), ("aux_nc", closed.as_str()), ("line_contactor", "yes"),
                ("control_voltage", if customary { CUSTOMARY_VOLTAGES } else { VOLTAGES }[voltage]),
            ];
            sized_by(if customary { "nec" } else { "iec" }, &changes)
        };
        let less = of(open, closed);
        let more = if more_open { of(open + 1, closed) } else { of(open, closed + 1) };
        prop_assert!(!less.contactors.is_empty() && less.contactors.iter().all(|contactor| !contactor.part.is_empty()));
        let role = less.auxiliary_contacts.iter().find(|auxiliary_contact| auxiliary_contact.function == "feedback").map_or("", |contact| contact.role.as_str()).to_owned();
        prop_assert_eq!(elsewhere(&less, &role), elsewhere(&more, &role));
        prop_assert_eq!(of_kind(&less, "timer").count(), of_kind(&more, "timer").count());
        prop_assert_eq!(&less.contactors, &more.contactors);
        let placed = |circuit: &Circuit| circuit.auxiliary_contacts.iter().filter(|auxiliary_contact| !auxiliary_contact.place.is_empty()).count();
        prop_assert!(placed(&less) <= placed(&more));
        for check in &less.checks {
            let again = more.checks.iter().find(|other| other.name == check.name && other.subject == check.subject);
            prop_assert!(check.passed != Some(false) || again.is_some_and(|again| again.passed == Some(false)), "{:?} {:?}", check, again);
        }
    }

    #[test]
    fn no_contactor_carries_more_than_its_frame_takes(
        method in 0usize..6, voltage in 0usize..3, reversing in any::<bool>(), amperes in 1.0..250.0f64,
        open in 0u32..6, closed in 0u32..6, level in "PL d|SIL 1|none",
    ) {
        let (open, closed, current) = (open.to_string(), closed.to_string(), format!("{amperes}"));
        let changes = [
            ("starting_method", METHODS[method]), ("control_voltage", VOLTAGES[voltage]), ("full_load_current_a", current.as_str()),
            ("reversing", if reversing { "yes" } else { "no" }), ("aux_no", open.as_str()), ("aux_nc", closed.as_str()),
            ("safety_level", level.as_str()), ("indicators", "running, stopped"),
        ];
        let circuit = sized(&changes);
        let range = catalogue::builtin("iec");
        for contactor in circuit.contactors.iter().filter(|contactor| !contactor.part.is_empty()) {
            let frame = range.contactors.iter().find(|row| contactor.part.starts_with(&format!("{}-", row.part))).expect("in the range");
            let blocks: Vec<_> = of_kind(&circuit, "auxiliary-block").filter(|block| block.serves == contactor.role).collect();
            let added: u32 = blocks.iter().map(|block| (block.no + block.nc) * block.quantity).sum();
            prop_assert!(added <= frame.aux_places);
            let interlocks = of_kind(&circuit, "interlock").filter(|part| part.serves.split(" and ").any(|role| role == contactor.role));
            let beside: u32 = blocks.iter().filter(|block| block.position == "side").map(|block| block.quantity).sum();
            prop_assert!(beside + u32::try_from(interlocks.count()).expect("few") <= frame.side_places);
            let front_timer = of_kind(&circuit, "timer").filter(|timer| timer.serves == contactor.role && timer.position == "front").count();
            let front: u32 = blocks.iter().filter(|block| block.position == "front").map(|block| block.quantity).sum();
            prop_assert!(front as usize + front_timer <= 1);
            // Each contact that is listed is there, and no more of a block than it has.
            for block in &blocks {
                let used = |kind: &str| circuit.auxiliary_contacts.iter().filter(|auxiliary_contact| auxiliary_contact.role == contactor.role && auxiliary_contact.place == block.part && auxiliary_contact.kind == kind).count();
                prop_assert!(used("no") <= (block.no * block.quantity) as usize && used("nc") <= (block.nc * block.quantity) as usize);
            }
        }
    }
}
