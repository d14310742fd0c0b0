//! To come.
/// x
pub fn write(_: &super::ReportInput) -> Result<Vec<u8>, String> {
    Err(String::new())
}
