//! The power circuit of a sized circuit, from its line terminals to its load, drawn without voltage and at rest.
//!
//! The drawing shows the design as it is: a contactor, a relay or a run that is not there leaves its conductors straight. The
//! arrangements of conductors stand in `layouts`, what these are put together from in `columns`, the upper end with lines and protective
//! device in `head`, the lower end with run, isolator and load in `foot`.

use crate::design::{Circuit, Status};
use crate::report::columns::load::method;
use crate::rules::units::Units;

mod columns;
mod foot;
mod head;
mod layouts;
mod names;
mod paper;
mod symbols;
mod words;

pub(super) use names::letters;
pub(super) use words::{is_fuse, is_release, power_runs, release};

pub(crate) use symbols::sprite;
pub(super) use symbols::{BREAKER, CONTACTOR, FUSE, SWITCH, Symbol, THREE_CONDUCTORS};

use layouts::Layout;

/// The drawing, empty for a circuit that is not sized.
pub(crate) fn power(circuit: &Circuit, anchor: &str, units: Units) -> String {
    if circuit.status == Status::NotSized {
        return String::new();
    }
    let layout = Layout::of(circuit);
    let mut paper = layout.draw(circuit, units);
    if circuit.quantity > 1 {
        paper.corner(&format!("\u{d7} {} identical circuits", circuit.quantity));
    }
    let title = format!("Power circuit of {}: {}", circuit.tag, method(circuit, units));
    let description = format!("{} From above: {}.", layout.tells(units), paper.told.join(", "));
    paper.finish(&format!("p{anchor}"), &title, &description)
}

#[cfg(test)]
mod tests;
