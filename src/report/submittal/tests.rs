//! A page must never do some things, and must always say others.

use crate::design::{CatalogueStamp, Check, Circuit, Design, PurchaseLine, Status};
use crate::finding::{Finding, Place, codes};
use crate::record::Step;
use crate::report::{Assumption, Caution, DEMONSTRATION, ReportInput, SourceDocument};
use crate::rules::units::Units;

const HOSTILE: &str = "<script>alert(1)</script>&\"'</style>";

fn design() -> Design {
    let place = Place { file: HOSTILE.to_owned(), row: Some(2), ..Place::default() };
    let mut finding = Finding::new(&codes::C101_CHECK_FAILED, HOSTILE).at(place).why(HOSTILE).cure(HOSTILE).reference(HOSTILE);
    finding.code = HOSTILE.to_owned();
    let circuit = |tag: &str, status: Status| Circuit {
        tag: tag.to_owned(),
        tags: vec![tag.to_owned(), HOSTILE.to_owned()],
        board: HOSTILE.to_owned(),
        description: HOSTILE.to_owned(),
        quantity: 1,
        status,
        findings: vec![finding.clone()],
        checks: vec![Check {
            name: HOSTILE.to_owned(),
            subject: HOSTILE.to_owned(),
            value: Some(2.0),
            limit: Some(1.0),
            passed: Some(false),
            ..Check::default()
        }],
        ..Circuit::default()
    };
    let mut design = Design {
        rule_book: "iec".to_owned(),
        catalogue: CatalogueStamp { name: HOSTILE.to_owned(), sha256: String::new(), demonstration: true },
        circuits: vec![circuit("P-1", Status::Sized), circuit(HOSTILE, Status::NeedsDecision), circuit("P-3", Status::NotSized)],
        purchase: vec![PurchaseLine {
            part: HOSTILE.to_owned(),
            description: HOSTILE.to_owned(),
            used_by: vec![HOSTILE.to_owned()],
            ..PurchaseLine::default()
        }],
        ..Design::default()
    };
    design.basis.project.name = Some(HOSTILE.to_owned());
    design.basis.project.revision = Some(HOSTILE.to_owned());
    design.basis.rules.local_code = Some(HOSTILE.to_owned());
    design
}

fn page_of(design: &Design) -> String {
    let hostile = || HOSTILE.to_owned();
    let assumptions = [Assumption { what: hostile(), value: hostile(), origin: hostile(), reference: hostile() }];
    let cautions = [Caution { id: hostile(), text: hostile(), source: hostile(), applies_to: vec![hostile()] }];
    let sources = [SourceDocument { table: hostile(), source: hostile(), status: hostile() }];
    let working = |_: usize| -> Vec<Step> { Vec::new() };
    let input = ReportInput {
        design,
        grids: &[],
        rows: &[],
        mappings: &[],
        skipped: &[],
        basis: &design.basis,
        assumptions: &assumptions,
        cautions: &cautions,
        sources: &sources,
        working: &working,
    };
    String::from_utf8(super::write(&input).expect("a page")).expect("UTF-8")
}

#[test]
fn text_of_the_input_is_never_markup() {
    let page = page_of(&design());
    assert_eq!(page.matches("<script").count(), 1, "only our own script");
    assert_eq!(page.matches("<style").count(), 1, "only our own style");
    assert!(!page.contains("alert(1)</script>"));
    assert!(page.contains("&lt;script&gt;alert(1)&lt;"), "the text itself is shown");
}

#[test]
fn a_number_of_phases_does_not_break_at_its_hyphen() {
    let mut design = design();
    design.circuits[0].load.phases = Some(1);
    let page = page_of(&design);
    assert!(page.contains("1\u{2011}phase") && !page.contains("1-phase"));
}

#[test]
fn the_policy_admits_exactly_the_style_and_the_script_of_the_page() {
    use sha2::{Digest, Sha256};
    let page = page_of(&design());
    let between = |open: &str, close: &str| {
        let start = page.find(open).expect("it opens") + open.len();
        &page[start..start + page[start..].find(close).expect("it closes")]
    };
    for (text, name) in [(between("<style>", "</style>"), "style-src"), (between("<script>", "</script>"), "script-src")] {
        let digest = Sha256::digest(text.as_bytes());
        let coded = super::policy::base64(&digest);
        assert!(
            page.contains(&format!("{name} &#x27;sha256-{}", coded.replace('/', "&#x2F;")))
                || page.contains(&format!("{name} 'sha256-{coded}'"))
                || page.contains(&format!("{name} &#39;sha256-{coded}")),
            "{name}: {}",
            &page[..700]
        );
    }
    assert!(!page.contains(" style=\""), "the policy forbids style attributes");
}

#[test]
fn nothing_outside_the_file_is_asked_for() {
    let page = page_of(&design());
    for word in ["http://", "https://", "src=", "<link", "url(", "@import"] {
        assert!(!page.contains(word), "{word}");
    }
}

#[test]
fn the_safe_filter_is_used_for_our_own_style_script_and_drawings_only() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("templates/submittal");
    let mut used = Vec::new();
    for name in ["front.html", "sheet.html", "back.html"] {
        let text = std::fs::read_to_string(folder.join(name)).expect("the template is there");
        used.extend(text.match_indices("| safe").map(|(at, _)| text[..at].rsplit("{{").next().unwrap_or("").trim().to_owned()));
    }
    assert_eq!(used, ["style", "symbols", "sheet.power", "sheet.plot", "drawing", "drawing", "script"]);
}

#[test]
fn every_circuit_the_deferral_and_the_demonstration_line_are_there() {
    let page = page_of(&design());
    for anchor in ["id=\"c1\"", "id=\"c2\"", "id=\"c3\""] {
        assert!(page.contains(anchor), "{anchor}");
    }
    assert!(page.contains("This submittal is incomplete"));
    assert!(page.contains("competent"));
    assert!(page.matches(DEMONSTRATION).count() >= 2);
}

#[test]
fn the_same_design_gives_the_same_bytes() {
    assert!(page_of(&design()) == page_of(&design()));
}

#[test]
fn sheets_can_be_limited() {
    let mut limited = design();
    limited.basis.report.sheets = Some("none".to_owned());
    assert!(!page_of(&limited).contains("class=\"sheet filtered\""));
}

/// Every link leads somewhere, whether or not the sheets are printed.
#[test]
fn every_link_has_its_place() {
    for sheets in ["all", "flagged", "none"] {
        let mut design = design();
        design.basis.report.sheets = Some(sheets.to_owned());
        design.circuits.push(Circuit { tag: "P-4".to_owned(), status: Status::Sized, ..Circuit::default() });
        let page = page_of(&design);
        let targets: Vec<&str> = page.split("href=\"#").skip(1).filter_map(|rest| rest.split('"').next()).collect();
        assert!(targets.len() > 10);
        for target in targets {
            assert_eq!(page.matches(&format!("id=\"{target}\"")).count(), 1, "{target} with sheets = {sheets}");
        }
    }
}

/// A row that is not sized stands in the schedule with its reason in place of results.
#[test]
fn a_row_that_is_not_sized_says_why_in_the_schedule() {
    let mut design = design();
    design.circuits[2].findings[0].what = "the power reads TBC".to_owned();
    let page = page_of(&design);
    let start = page.find("id=\"schedule\"").expect("a schedule");
    let end = start + page[start..].find("</section>").expect("its end");
    assert!(page[start..end].contains("<td colspan=\"14\">The power reads TBC.</td>"));
}

/// Text of the input stands in the print margins as a string that nothing can end.
#[test]
fn the_print_margins_hold_no_open_text() {
    let page = page_of(&design());
    let start = page.find("<style>").expect("a style") + 7;
    let style = &page[start..start + page[start..].find("</style>").expect("its end")];
    assert!(style.contains("@top-left{content:\"\\3c script"), "the project's name is there, escaped");
    assert!(!style.contains('<'));
    assert_eq!(style.matches('{').count(), style.matches('}').count());
}

/// A submittal of a thousand circuits with all working is to stay below 26 MB: what many sheets share must not stand in each.
#[test]
fn a_thousand_circuits_stay_within_26_megabytes() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("example-schedules");
    let (mut bytes, mut circuits) = (0, 0);
    for name in ["water-works", "hospital-hvac", "pumping-station"] {
        let options = crate::project::Options {
            schedule: folder.join(format!("{name}.csv")),
            basis: Some(folder.join(format!("{name}.toml"))),
            ..crate::project::Options::default()
        };
        let inputs = crate::project::open(&options).unwrap_or_else(|error| panic!("{name}: {error}"));
        let mut design = inputs.design();
        design.basis.report.sheets = Some("all".to_owned());
        let working = |index: usize| inputs.working(index);
        let input = ReportInput {
            design: &design,
            grids: &[],
            rows: &[],
            mappings: &[],
            skipped: &[],
            basis: &design.basis,
            assumptions: &[],
            cautions: &[],
            sources: &[],
            working: &working,
        };
        let page = String::from_utf8(super::write(&input).expect("a page")).expect("UTF-8");
        let sized = design.circuits.iter().filter(|circuit| circuit.status != Status::NotSized).count();
        assert_eq!(page.matches(">Power circuit of ").count(), sized, "{name}: a drawing for each circuit that is sized");
        assert_eq!(page.matches("<section class=\"sheet filtered").count(), design.circuits.len());
        bytes += page.len();
        circuits += design.circuits.len();
    }
    assert!(bytes / circuits <= 26_000, "{} bytes a circuit", bytes / circuits);
}

/// Each board has its section with its ways, and the contents lead to it.
#[test]
fn boards_are_shown_before_the_purchase_list() {
    let page = page_of(&design());
    let at = |text: &str| page.find(text).unwrap_or_else(|| panic!("{text}"));
    assert!(at("<section id=\"boards\"") < at("<section id=\"purchase\""));
    assert_eq!(page.matches("href=\"#boards\"").count(), 2, "in both contents");
    assert_eq!(page.matches(">One-line diagram of board ").count(), 1, "the circuits name one board");
}

/// The relay of each speed is held against the current of that speed: 33 A at high and 15 A at low speed, to 16 A (nameplates of the
/// reviewer's fan).
#[test]
fn the_relay_of_the_low_speed_needs_the_current_of_the_low_speed() {
    let mut design = design();
    design.circuits[0].findings.clear();
    design.circuits[0].currents.overload_basis_a = 33.0;
    design.circuits[0].currents.low_speed_a = Some(15.0);
    let relay = |position: &str, range_a: [f64; 2]| crate::design::Overload {
        position: position.to_owned(),
        kind: "bimetal".to_owned(),
        winding_factor: 1.0,
        range_a,
        setting_a: range_a[1],
        ..crate::design::Overload::default()
    };
    design.circuits[0].overloads = vec![relay("high", [9.0, 45.0]), relay("low", [3.2, 16.0])];
    let page = page_of(&design).replace('\u{a0}', " ");
    assert_eq!((page.matches("needs 33.0 A").count(), page.matches("needs 15.0 A").count()), (1, 1));
}

/// Notes of the whole network stand in the basis of design: what sums and fault currents rest on must not be in the workbook alone.
#[test]
fn what_the_network_rests_on_stands_in_the_basis_of_design() {
    let mut design = design();
    assert!(!page_of(&design).contains("rest on</h3>"));
    let what = "no feeder is stated between transformer T-1 and board LP-1; it is taken to stand at its terminals";
    design.findings.push(Finding::new(&codes::B111_FAULT_ASSUMED, what).cure("state its length").reference("practice"));
    let page = page_of(&design);
    let start = page.find("id=\"basis\"").expect("a basis");
    let end = start + page[start..].find("</section>").expect("its end");
    assert!(page[start..end].contains("board LP-1; it is taken to stand at its terminals"), "{}", &page[start..end]);
}

/// Equipment is marked with currents: no power is missing, and no efficiency is known. The US trade buys motor control centers by sections
/// and units, so that a sum of widths tells its buyer nothing.
#[test]
fn equipment_has_no_efficiency_and_panels_of_the_us_have_no_sum_of_widths() {
    let mut design = design();
    design.rule_book = "nec".to_owned();
    design.circuits.truncate(1);
    design.circuits[0].load.kind = "packaged".to_owned();
    design.circuits[0].load.efficiency_pct = Some(100.0);
    design.boards.push(crate::design::Board { name: HOSTILE.to_owned(), width_mm: 508.0, ..crate::design::Board::default() });
    let page = page_of(&design).replace('\u{a0}', " ");
    assert!(!page.contains("efficiency</dt>") && !page.contains("input power</dt>"));
    assert!(!page.contains("20 in<") && !page.contains("508 mm"), "width");
    design.circuits[0].load.kind = "motor".to_owned();
    assert!(page_of(&design).contains("efficiency</dt>"));
}

/// Three circuits are asked the same with other lengths, a fourth something else: two points, and no length is lost.
#[test]
fn questions_that_differ_in_figures_alone_are_one_line_with_each_circuit_s_figures() {
    let far = |tag: &str, what: &str| Circuit {
        tag: tag.to_owned(),
        findings: vec![
            Finding::new(&codes::C101_CHECK_FAILED, what).why("at most 50 ft are in sight").cure("ask for a switch in the row"),
        ],
        ..Circuit::default()
    };
    let design = Design {
        circuits: vec![
            far("P-1", "the equipment is 130 ft of run away"),
            far("P-2", "the equipment is 85 ft of run away"),
            far("P-3", "the equipment is 215 ft of run away"),
            far("P-4", "the equipment is out of sight"),
        ],
        ..Design::default()
    };
    let groups = super::points::groups(&design, &links(&design), Units::Customary);
    let points: Vec<_> = groups.iter().flat_map(|group| &group.points).collect();
    let told = |point: &super::points::Point| {
        point.tags.iter().map(|concerned| format!("{} {}", concerned.tag, concerned.figures)).collect::<Vec<_>>()
    };
    assert_eq!(points.len(), 2);
    assert_eq!(points[0].what, "The equipment is 85 to 215 ft of run away. At most 50 ft are in sight.");
    assert_eq!(told(points[0]), ["P-1 130\u{a0}ft", "P-2 85\u{a0}ft", "P-3 215\u{a0}ft"]);
    assert_eq!(points[1].what, "The equipment is out of sight. At most 50 ft are in sight.");
    assert_eq!(told(points[1]), ["P-4 "]);
}

fn links(design: &Design) -> Vec<super::state::Link> {
    let link = |circuit: &Circuit| super::state::Link { tag: circuit.tag.clone(), anchor: circuit.tag.clone(), sheet: true };
    design.circuits.iter().map(link).collect()
}
