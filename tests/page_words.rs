//! Words and figures of the pages that a reader took for something else than they are.

mod common;

use common::run_in;

fn page(schedule: &str, basis: &str) -> String {
    let folder = common::folder_with("loads.csv", schedule.as_bytes());
    std::fs::write(folder.path().join("basis.toml"), basis).expect("it writes");
    let run = run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--out", "out"]);
    assert!(run.status < 2, "{}", run.stderr);
    std::fs::read_to_string(folder.path().join("out/submittal.html")).expect("the submittal")
}

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nprospective_fault_ka = 25\n\
                   prospective_fault_min_ka = 12\nearthing = \"TN-S\"\n";
const HEAD: &str = "tag,board,rated_power_kw,full_load_current_a,starting_method,cable_length_m\n";

/// Nobody can know the drop of a feeder whose length nobody states; 0.00 % would be the figure of none.
#[test]
fn the_drop_of_a_feeder_without_a_length_is_not_known() {
    let basis = |length: &str| {
        let transformer = "[[transformer]]\nname = \"T1\"\nto = \"M\"\nkva = 400\nimpedance_pct = 4\nsecondary_voltage_v = 400\n";
        let supply = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nupstream_fault_mva = 250\n\
                      earthing = \"TN-S\"\n";
        format!("{supply}{transformer}[[board]]\nname = \"M\"\nfed_from = \"T1\"\n{length}")
    };
    let schedule = format!("{HEAD}P-1,M,15,28,direct,20\n");
    let without = page(&schedule, &basis(""));
    assert!(without.contains("voltage drop from the origin not known") && !without.contains("voltage drop from the origin 0"));
    let with = page(&schedule, &basis("feeder_length_m = 30\n"));
    assert!(with.contains("voltage drop from the origin 0."), "30 m have a drop");
}

/// The working of a circuit that nobody has to look at stands in the workbook.
#[test]
fn the_working_is_printed_where_somebody_must_look() {
    let rows = format!("{HEAD}P-1,M,4,8.1,direct,20\nP-2,M,4,,direct,\n");
    let sheet = |page: &str, tag: &str| {
        let at = page.find(&format!("aria-label=\"Why {tag} holds\"")).expect("the sheet");
        let end = page[at..].find("</section>").expect("its end");
        page[at..at + end].contains("class=\"work\"")
    };
    let fuses = format!("{IEC}[design]\nprotection_kind = \"gG\"\n");
    let by_default = page(&rows, &fuses);
    assert!(by_default.contains("the sheet Working of the workbook holds it") && sheet(&by_default, "P-2"));
    let all = page(&rows, &format!("{fuses}[report]\nsheet_working = \"all\"\n"));
    assert!(sheet(&all, "P-1") && sheet(&all, "P-2"));
}

/// A disconnect that holds the fuses of its circuit is a fusible disconnect switch (NEMA KS 1), not a fuse.
#[test]
fn a_disconnect_with_fuses_is_called_a_switch() {
    let basis = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
                 system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 22\nprospective_fault_min_ka = 18\n\
                 [design]\nprotection_kind = \"dual-element\"\n";
    let told = page("tag,board,rated_power_hp,voltage_v,starting_method,cable_length_ft\nP-1,M,10,460,direct,40\n", basis);
    assert!(told.contains("fusible disconnect switch, "), "the switch is called by its fuses");
}

/// A page on which every word may be broken squeezes its narrow columns: only a sender's own long word asks for that.
#[test]
fn no_word_of_ours_is_so_long_that_a_page_has_to_break_words() {
    for name in ["water-works", "hospital-hvac", "pumping-station"] {
        let [schedule, basis] = common::example_texts(name);
        let page = page(&schedule, &basis);
        assert!(page.contains("<body>"), "{name}");
    }
}
