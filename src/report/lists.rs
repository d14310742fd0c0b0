//! To come.
/// x
pub fn purchase_csv(_: &super::ReportInput) -> Vec<u8> {
    Vec::new()
}
/// x
pub fn circuit_text(_: &crate::design::Circuit) -> String {
    String::new()
}
