//! To come.
/// x
pub fn purchase_csv(_: &super::ReportInput) -> Vec<u8> {
    Vec::new()
}
