//! stub
use crate::design::Circuit;
use crate::load::Case;
use crate::record::Record;
use crate::rules::RatedCurrents;
use crate::sizing::Tools;
use crate::sizing::assembly::Assembly;
use crate::supply::SupplyPoint;
pub(super) fn choose(
    _case: &Case,
    _currents: &RatedCurrents,
    _assembly: &Assembly<'_>,
    _point: &SupplyPoint,
    _tools: &Tools<'_>,
    _circuit: &mut Circuit,
    _record: &mut Record,
) {
}
