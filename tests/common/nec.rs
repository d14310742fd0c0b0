//! Single circuits under the NEC book.

use motorwright::design::Circuit;

pub(crate) const BASIS: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 22\nprospective_fault_min_ka = 15\nx_over_r = 4\n\
    [design]\ntermination_c = 75\n";

/// The circuit of one row; its cells stand in quotation marks, so that they may hold commas.
pub(crate) fn circuit_by(basis: &str, cells: &[(&str, &str)]) -> Circuit {
    let (heads, values): (Vec<&str>, Vec<String>) =
        [("tag", "M-1")].iter().chain(cells).map(|(head, value)| (*head, format!("\"{value}\""))).unzip();
    super::design_of(&format!("{}\n{}\n", heads.join(","), values.join(",")), basis).circuits.remove(0)
}

/// A three-phase motor at 460 V with a service factor of 1.15, started direct over 30 ft.
pub(crate) fn motor_by(basis: &str, more: &[(&'static str, &'static str)]) -> Circuit {
    let usual = [
        ("voltage_v", "460"),
        ("phases", "3"),
        ("starting_method", "direct"),
        ("cable_length_ft", "30"),
        ("service_factor", "1.15"),
    ];
    let kept = usual.into_iter().filter(|(name, _)| more.iter().all(|(heading, _)| heading != name));
    circuit_by(basis, &kept.chain(more.iter().copied()).collect::<Vec<_>>())
}

/// The same on the usual basis.
pub(crate) fn motor(more: &[(&'static str, &'static str)]) -> Circuit {
    motor_by(BASIS, more)
}
