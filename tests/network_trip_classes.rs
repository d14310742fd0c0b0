//! The thermal model behind a trip class against an independent integration, every row.

use motorwright::quantity::Seconds;
use motorwright::record::Record;
use motorwright::rules::physics::tripping::{TripClass, cold_trip_time, model_state, model_trip_time, time_constant};

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code)] // the columns of constant I²t are another method
struct Row {
    case_id: String,
    trip_class: String,
    tp_min_at_7_2_s: f64,
    tp_max_at_7_2_s: f64,
    threshold_pu: f64,
    preload_pu: f64,
    start_multiple_of_setting: f64,
    start_time_s: f64,
    tau_fast_s: f64,
    tau_slow_s: f64,
    trip_time_fast_s: f64,
    trip_time_slow_s: f64,
    trip_time_const_i2t_fast_s: f64,
    trip_time_const_i2t_slow_s: f64,
    start_i2t_pu2s: f64,
    thermal_state_after_start_fast: f64,
    thermal_state_after_start_slow: f64,
    start_passes_whole_band: bool,
    start_passes_slow_edge: bool,
}

fn rows() -> Vec<Row> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(include_bytes!("network/trip-classes.csv").as_slice())
        .into_deserialize()
        .collect::<Result<_, _>>()
        .expect("the table parses")
}

fn close(what: &str, id: &str, computed: f64, expected: f64) {
    let distance = (computed - expected).abs();
    assert!(distance <= 1e-6 * expected.abs(), "{id}: {what} is {computed}, expected {expected}");
}

#[test]
fn the_thermal_model_agrees_with_an_independent_integration() {
    let record = &mut Record::new();
    let rows = rows();
    assert_eq!(rows.len(), 96);
    for row in &rows {
        let (multiple, threshold, preload) = (row.start_multiple_of_setting, row.threshold_pu, row.preload_pu);
        let start = Seconds(row.start_time_s);
        let mut edge = |name: &str, band: f64, tau: f64, trip: f64, state: f64| {
            let constant = time_constant(record, Seconds(band), 7.2, threshold).unwrap_or_default();
            close(&format!("time constant, {name}"), &row.case_id, constant.0, tau);
            let time = model_trip_time(record, constant, multiple, preload, threshold).unwrap_or_default();
            close(&format!("trip time, {name}"), &row.case_id, time.0, trip);
            let after = model_state(record, constant, multiple, preload, start);
            close(&format!("thermal state, {name}"), &row.case_id, after / (threshold * threshold), state);
            start.0 < time.0
        };
        let fast = edge("fast", row.tp_min_at_7_2_s, row.tau_fast_s, row.trip_time_fast_s, row.thermal_state_after_start_fast);
        let slow = edge("slow", row.tp_max_at_7_2_s, row.tau_slow_s, row.trip_time_slow_s, row.thermal_state_after_start_slow);
        assert_eq!((fast, slow), (row.start_passes_whole_band, row.start_passes_slow_edge), "{}", row.case_id);
    }
}

/// The curve of electronic relays that the program chooses classes by must lie between both edges of the band of its class.
#[test]
fn the_curve_of_a_class_lies_between_the_edges_of_its_band() {
    let record = &mut Record::new();
    let rows = rows();
    assert!(rows.iter().any(|row| row.preload_pu == 0.0));
    for row in rows.iter().filter(|row| row.preload_pu == 0.0) {
        let class = TripClass::parse(&row.trip_class).expect("a class");
        let time = cold_trip_time(record, class, row.start_multiple_of_setting).unwrap_or_default().0;
        assert!(
            row.trip_time_fast_s < time && time < row.trip_time_slow_s,
            "{}: class {} at {} x: {time}, band {} to {}",
            row.case_id,
            row.trip_class,
            row.start_multiple_of_setting,
            row.trip_time_fast_s,
            row.trip_time_slow_s
        );
    }
}
