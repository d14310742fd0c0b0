use super::*;

fn current(table: CurrentTable, horsepower: f64, volts: f64) -> Option<TableCurrent> {
    full_load_current(&mut Record::new(), table, horsepower, Volts(volts))
}

#[test]
fn voltages_take_their_columns() {
    let column = |volts: f64| column(CurrentTable::ThreePhase, Volts(volts));
    for (volts, expected) in [(110.0, 115.0), (120.0, 115.0), (208.0, 208.0), (240.0, 230.0), (440.0, 460.0), (480.0, 460.0)] {
        assert_eq!(column(volts), Some(expected));
    }
    for volts in [380.0, 400.0, 415.0, 690.0, 0.0, f64::NAN] {
        assert_eq!(column(volts), None, "{volts}");
    }
    assert_eq!(super::column(CurrentTable::SinglePhase, Volts(480.0)), None);
    // Edge case of the notes: 3 hp single-phase at 208 V has a column of its own.
    assert_eq!(current(CurrentTable::SinglePhase, 3.0, 208.0).map(|current| current.current.0), Some(18.7));
}

#[test]
fn columns_keep_their_relations() {
    let low_columns = THREE_PHASE_ROWS.iter().filter(|row| row.current(230.0).is_some()).count();
    assert!(low_columns > 20, "{low_columns} rows have the columns of low voltage");
    for row in THREE_PHASE_ROWS.iter() {
        let at = |volts: f64| row.current(volts);
        let high = at(460.0).unwrap_or_default();
        assert!((at(575.0).unwrap_or_default() / high - 0.8).abs() < 0.05, "{} hp", row.hp);
        let Some(low) = at(230.0) else { continue };
        assert!((high / low - 0.5).abs() < 0.02, "{} hp", row.hp);
        assert!((at(200.0).unwrap_or_default() / low - 1.15).abs() < 0.02, "{} hp", row.hp);
        assert!((at(208.0).unwrap_or_default() / low - 1.10).abs() < 0.02, "{} hp", row.hp);
    }
    for row in SINGLE_PHASE_ROWS.iter() {
        let ratio = row.current(115.0).unwrap_or_default() / row.current(230.0).unwrap_or_default();
        assert!((ratio - 2.0).abs() < 0.03, "{} hp", row.hp);
    }
}

#[test]
fn more_horsepower_never_gets_less_current() {
    for table in CurrentTable::ALL {
        for band in BAND_ROWS.iter().filter(|row| row.table == table.key()) {
            let points = table.points(band.column_v);
            assert!(points.len() > 4, "{table:?} {} V", band.column_v);
            assert!(points.is_sorted_by(|a, b| a.0 < b.0 && a.1 < b.1), "{table:?} {} V", band.column_v);
            let mut last = 0.0;
            for step in 1..=6000 {
                if let Some(row) = current(*table, f64::from(step) * 0.0833, band.column_v) {
                    assert!(row.current.0 >= last, "{table:?} {step}");
                    last = row.current.0;
                }
            }
            assert!(last > 0.0);
        }
    }
}

#[test]
fn between_rows_is_reported_and_outside_there_is_nothing() {
    let record = &mut Record::new();
    // 15 kW is 20.1 hp: not moved to 20 hp.
    let horsepower = horsepower_from_power(record, Watts(15000.0));
    assert!((horsepower - 20.115).abs() < 0.001);
    let between = current(CurrentTable::ThreePhase, horsepower, 460.0).unwrap_or_else(|| panic!("in the table"));
    assert!(between.interpolated && between.between == Some((20.0, 25.0)));
    assert!((between.current.0 - (27.0 + 7.0 * 0.115_327 / 5.0)).abs() < 1e-3, "{between:?}");
    let third = current(CurrentTable::SinglePhase, 1.0 / 3.0, 115.0);
    assert_eq!(third.map(|current| (current.current.0, current.interpolated)), Some((7.2, false)));
    for (horsepower, volts) in [(250.0, 208.0), (250.0, 230.0), (0.4, 460.0), (501.0, 460.0), (50.0, 2300.0), (f64::NAN, 460.0)] {
        assert_eq!(current(CurrentTable::ThreePhase, horsepower, volts), None, "{horsepower} hp {volts} V");
    }
}

#[test]
fn horsepower_read_backwards_comes_back() {
    let record = &mut Record::new();
    for table in CurrentTable::ALL {
        for (horsepower, amperes) in table.points(if *table == CurrentTable::DirectCurrent { 240.0 } else { 230.0 }) {
            let volts = Volts(240.0);
            let back = horsepower_from_current(record, *table, Amperes(amperes), volts);
            assert_eq!(back.map(|found| (found.horsepower, found.interpolated)), Some((horsepower, false)));
            assert_eq!(horsepower_row_not_below(*table, Amperes(amperes), volts), Some(horsepower));
        }
    }
    // Half-way between 28 A (10 hp) and 42 A (15 hp).
    let half = horsepower_from_current(record, CurrentTable::ThreePhase, Amperes(35.0), Volts(230.0));
    assert_eq!(half.map(|found| (found.horsepower, found.interpolated)), Some((12.5, true)));
    assert_eq!(horsepower_from_current(record, CurrentTable::ThreePhase, Amperes(1000.0), Volts(230.0)), None);
}

#[test]
fn synchronous_motors_at_lower_power_factors() {
    let record = &mut Record::new();
    let mut at = |power_factor| synchronous_current(record, Amperes(100.0), power_factor).map(|current| current.0);
    assert_eq!(at(1.0), Some(100.0));
    assert!(at(0.9).is_some_and(|amperes| (amperes - 110.0).abs() < 1e-9));
    assert_eq!(at(0.85), Some(125.0));
    assert_eq!(at(0.7), None);
    assert_eq!(variable_voltage_current(record, None, Amperes(10.0)), Amperes(15.0));
    assert_eq!(variable_voltage_current(record, Some(Amperes(12.0)), Amperes(10.0)), Amperes(12.0));
}

#[test]
fn the_nameplate_counts_where_the_clause_says_so() {
    let plain = Marking { synchronous_rpm: Some(1800.0), ..Marking::default() };
    let counts = |edition, marking: &Marking| nameplate_throughout(edition, marking).is_some();
    for edition in [Edition::E2017, Edition::E2020, Edition::E2023] {
        for marking in [
            Marking { synchronous_rpm: Some(900.0), ..plain },
            Marking { high_torque: true, ..plain },
            Marking { multispeed: true, ..plain },
            Marking { outside_table: true, ..plain },
            Marking { listed_appliance: true, ..plain },
        ] {
            assert!(counts(edition, &marking), "{marking:?}");
        }
        assert!(!counts(edition, &plain) && !counts(edition, &Marking { synchronous_rpm: Some(1200.0), ..plain }));
    }
    let canned = Marking { canned_pump: true, ..plain };
    assert!(counts(Edition::E2023, &canned) && !counts(Edition::E2020, &canned));
    assert_ne!(
        nameplate_throughout(Edition::E2020, &Marking { multispeed: true, ..plain }),
        nameplate_throughout(Edition::E2023, &Marking { multispeed: true, ..plain })
    );
}

/// Headings of Tables 430.248 and 430.250: the columns serve systems of 110-120, 220-240, 440-480 and 550-600 V.
#[test]
fn a_column_is_usual_at_its_own_voltage_and_at_the_nominal_one_of_its_systems() {
    let usual = |column: f64, volts: f64| usual_voltages(column).any(|usual_voltage| (usual_voltage - volts).abs() < 0.5);
    for (column, nominal) in [(230.0, 240.0), (460.0, 480.0), (575.0, 600.0)] {
        assert!(usual(column, column) && usual(column, nominal), "{column} V");
    }
    assert!(!usual(460.0, 240.0) && !usual(460.0, 440.0) && !usual(575.0, 480.0));
}
